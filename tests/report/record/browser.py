"""A headless Chromium by its DevTools protocol over two pipes: messages of JSON that end with a zero byte.

Source of the protocol: the commands and events of its published description, https://chromedevtools.github.io
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import tempfile
import time

#: How long anything may take, s: the machine may be busy with all other tests.
PATIENCE = 240
FLAGS = (
    "--headless=new", "--no-sandbox", "--remote-debugging-pipe", "--no-first-run", "--disable-extensions",
    "--enable-unsafe-swiftshader", "--hide-scrollbars", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-dev-shm-usage", "--mute-audio",
)  # fmt: skip


def chromium():
    """The path of a Chromium, or None."""
    return next((p for name in ("chromium", "chromium-browser") if (p := shutil.which(name))), None)


class Browser:
    """One process; flags beyond the usual ones may be given."""

    def __init__(self, *flags):
        self.folder = tempfile.TemporaryDirectory(prefix="ladderfe-browser-", ignore_cleanup_errors=True)
        own_read, their_write = os.pipe()
        their_read, own_write = os.pipe()
        command = [chromium(), *FLAGS, *flags, f"--user-data-dir={self.folder.name}", "about:blank"]
        # descriptors 3 and 4 are those that the browser reads and writes
        line = f'exec "$@" 3<&{their_read} 4>&{their_write}'
        self.process = subprocess.Popen(
            ["bash", "-c", line, "browser", *command], pass_fds=(their_read, their_write),
            stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(their_read)
        os.close(their_write)
        os.set_blocking(own_read, False)
        self.reader, self.writer = own_read, own_write
        self.held, self.number, self.events = b"", 0, []

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.process.terminate()
        try:
            self.process.wait(timeout=20)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self.reader)
        os.close(self.writer)
        self.folder.cleanup()

    def _message(self, end):
        while b"\0" not in self.held:
            if time.monotonic() > end:
                raise TimeoutError("the browser does not answer")
            if self.process.poll() is not None:
                raise RuntimeError(f"the browser ended with status {self.process.returncode}")
            try:
                self.held += os.read(self.reader, 1 << 20)
            except BlockingIOError:
                time.sleep(0.01)
        text, _, self.held = self.held.partition(b"\0")
        return json.loads(text)

    def send(self, method, session=None, **params):
        """Send a command; returns its result.  Events that come meanwhile are kept."""
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if session:
            message["sessionId"] = session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self.writer, data) :]
        end = time.monotonic() + PATIENCE
        while True:
            answer = self._message(end)
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']['message']}")
                return answer["result"]
            self.events.append(answer)

    def page(self, path, width=1280, height=900, dark=False, media=""):
        """A page of that size that shows a file, loaded to its end."""
        return Page(self, path, (width, height), dark, media)


class Page:
    """A page and what it told: errors, requests."""

    def __init__(self, browser, path, size, dark, media):
        self.browser = browser
        self.target = browser.send("Target.createTarget", url="about:blank")["targetId"]
        self.session = browser.send("Target.attachToTarget", targetId=self.target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.send(f"{domain}.enable")
        wide, high = size
        self.send("Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=1, mobile=False)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.send("Emulation.setEmulatedMedia", media=media, features=[scheme])
        self.send("Page.navigate", url=path.resolve().as_uri())
        self.until("document.readyState === 'complete' && location.href.startsWith('file:')")
        self.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def send(self, method, **params):
        return self.browser.send(method, self.session, **params)

    def evaluate(self, expression):
        """The value of an expression of JavaScript, promises waited for."""
        done = self.send("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in done:
            raise RuntimeError(str(done["exceptionDetails"].get("exception", {}).get("description", done)))
        return done["result"].get("value")

    def until(self, expression):
        end = time.monotonic() + PATIENCE
        while not self.evaluate(expression):
            if time.monotonic() > end:
                raise TimeoutError(expression)
            time.sleep(0.02)

    def told(self, method):
        """Events of this page under that name."""
        self.evaluate("1")
        mine = [e for e in self.browser.events if e.get("sessionId") == self.session]
        return [e["params"] for e in mine if e["method"] == method]

    def complaints(self):
        """Exceptions, errors and warnings of the console, and what the browser itself complains of."""
        said = [str(p["exceptionDetails"]) for p in self.told("Runtime.exceptionThrown")]
        said += [str(p["args"]) for p in self.told("Runtime.consoleAPICalled") if p["type"] in ("error", "warning")]
        return said + [str(p["entry"]) for p in self.told("Log.entryAdded") if p["entry"]["level"] == "error"]

    def requests(self):
        """Addresses that the page asked for."""
        return [p["request"]["url"] for p in self.told("Network.requestWillBeSent")]

    def close(self):
        self.browser.send("Target.closeTarget", targetId=self.target)
