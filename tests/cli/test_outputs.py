"""Where results go: what is refused before anything is calculated, and what happens when nobody takes them."""

import io
import os
import resource
import signal
import subprocess
import sys

import pytest

from ladderfe.cli.main import run
from ladderfe.report.files import PNG


@pytest.fixture
def ladderfe(capsys):
    """Run a command: (status, stdout, stderr)."""

    def call(*args):
        status = run([str(a) for a in args])
        return status, *capsys.readouterr()

    return call


@pytest.fixture
def mine(plain_file, tmp_path):
    """A chassis file of one's own, and a variant laid over it."""
    file = tmp_path / "my.toml"
    file.write_text(plain_file.read_text())
    (tmp_path / "variant.toml").write_text('base = "my.toml"\ntitle = "variant"\n')
    return file


@pytest.fixture
def nothing_calculated(monkeypatch):
    """The check itself must not be reached."""
    for room in ("check", "picture"):
        monkeypatch.setattr(f"ladderfe.cli.{room}.check", lambda *a, **k: pytest.fail("calculated first"))


@pytest.mark.usefixtures("nothing_calculated")
class TestRefusedBeforehand:
    """Status 2 and a sentence, and every file as it was."""

    @pytest.mark.parametrize("args", [("picture", "{}", "{}"), ("check", "{}", "--picture", "{}")])
    def test_the_chassis_file_as_its_own_picture(self, ladderfe, mine, args):
        before = mine.read_bytes()
        status, _, err = ladderfe(*(a.format(mine) for a in args), "--overwrite")
        assert status == 2
        assert err == f"{mine}: pictures are written as PNG files. Name it my.png.\n"
        assert mine.read_bytes() == before

    @pytest.mark.parametrize("file", ["my.toml", "variant.toml"])
    @pytest.mark.parametrize("name", ["link.png", "hard.png"])
    def test_the_chassis_file_or_its_base_by_another_name(self, ladderfe, mine, tmp_path, file, name):
        (tmp_path / "link.png").symlink_to(mine)
        (tmp_path / "hard.png").hardlink_to(mine)
        before = mine.read_bytes()
        status, _, err = ladderfe("picture", tmp_path / file, tmp_path / name, "--overwrite")
        assert status == 2
        assert "is a file that was read, and stays as it is" in err
        assert mine.read_bytes() == before

    def test_the_chassis_file_among_the_results(self, ladderfe, mine, tmp_path):
        file = mine.rename(tmp_path / "findings.txt")
        before = file.read_bytes()
        status, _, err = ladderfe("check", file, "--out", tmp_path, "--overwrite")
        assert status == 2
        assert "is a file that was read, and stays as it is" in err
        assert file.read_bytes() == before

    @pytest.mark.parametrize("name", ["frame.jpg", "frame", "frame.png.txt"])
    def test_a_picture_that_would_be_no_png(self, ladderfe, mine, tmp_path, name):
        status, _, err = ladderfe("picture", mine, tmp_path / name)
        assert status == 2
        assert "pictures are written as PNG files. Name it frame" in err
        assert not (tmp_path / name).exists()

    @pytest.mark.parametrize("args", [("picture", "{file}", "{there}"), ("check", "{file}", "--picture", "{there}")])
    def test_a_picture_that_is_there_already(self, ladderfe, mine, tmp_path, args):
        there = tmp_path / "there.png"
        there.write_bytes(PNG)
        status, _, err = ladderfe(*(a.format(file=mine, there=there) for a in args))
        assert (status, err) == (2, f"{there}: is there already. Choose another name or add --overwrite.\n")

    def test_another_file_of_that_name(self, ladderfe, mine, tmp_path):
        (tmp_path / "photo.png").write_text("no picture at all")
        status, _, err = ladderfe("picture", mine, tmp_path / "photo.png", "--overwrite")
        assert status == 2
        assert "is no earlier result of the same kind, so it is not overwritten" in err
        folder = tmp_path / "results"
        folder.mkdir()
        (folder / "hand.txt").write_text("notes of my own")
        status, _, err = ladderfe("check", mine, "--out", folder, "--overwrite")
        assert status == 2
        assert "hand.txt: is no earlier result of the same kind" in err
        assert (folder / "hand.txt").read_text() == "notes of my own"

    @pytest.mark.parametrize(
        "args", [("picture", "{}/a/p.png"), ("check", "--picture", "{}/a/p.png"), ("check", "--out", "{}/a/b")]
    )
    def test_a_folder_that_is_not_there(self, ladderfe, mine, tmp_path, args):
        status, _, err = ladderfe(args[0], mine, *(a.format(tmp_path) for a in args[1:]))
        assert status == 2
        assert f"the folder {tmp_path}/a does not exist. Make it first, or choose another." in err
        assert not (tmp_path / "a").exists()


def test_results_without_readings_over_results_with_some(ladderfe, mine, tmp_path):
    """Tables and drawings of the readings would be read as belonging to the frame as built: they go, and it is said."""
    table, folder = tmp_path / "read.csv", tmp_path / "results"
    table.write_text("side,station,wall,reading\nleft,2000,bottom,1.5\n")
    ladderfe("check", mine, "--quick", "--readings", table, "--out", folder)
    with_readings = {p.name for p in folder.iterdir()}
    status, out, err = ladderfe("check", mine, "--quick", "--out", folder, "--overwrite")
    assert (status in (0, 1), err) == (True, "")
    left = {p.name for p in folder.iterdir()}
    assert not [n for n in left if n.startswith(("as-found", "readings", "unrolled"))]
    gone = with_readings - left
    assert {"as-found-walls.csv", "readings-places.csv", "unrolled-readings.png"} < gone
    told = out.split("Taken away, for they belonged to the earlier results: ")[1].split(".\n")[0]
    assert set(told.split(", ")) == gone


@pytest.mark.skipif(sys.platform != "linux", reason="names of files are UTF-8 elsewhere")
@pytest.mark.parametrize("args", [("check", "--quick", "--out", "results"), ("twist", "--out", "results"),
                                  ("report", "--quick", "--output", "record.html")])  # fmt: skip
def test_names_of_files_that_are_no_utf_8_stop_nothing(plain_file, tmp_path, args):
    """A name in an old code page, of the chassis file and of the readings: what cannot be written becomes "?"; all was
    calculated before, and lost."""
    file, table = (os.fsdecode(name) for name in (b"fr\xe4me.toml", b"gr\xf6\xdfe.csv"))
    (tmp_path / file).write_text(plain_file.read_text())
    (tmp_path / table).write_text("side,station,wall,reading\nleft,2000,bottom,1.5\n")
    command = [sys.executable, "-m", "ladderfe", args[0], file, *args[1:], "--readings", table]
    env = {**os.environ, "PYTHONIOENCODING": "utf-8:strict"}
    done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, check=False)
    assert done.returncode in (0, 1)
    assert b"Traceback" not in done.stdout + done.stderr
    page = {"check": "findings.txt", "twist": "twist.txt"}.get(args[0])
    text = (tmp_path / args[-1] / page if page else tmp_path / args[-1]).read_text()
    assert "fr?me.toml" in text
    assert "gr??e.csv" in text


def test_signs_that_a_terminal_does_not_know_stop_nothing(plain_file, tmp_path):
    """Latin-1 has no arrow; ladderfe's own pages are plain, names in a chassis file need not be."""
    file = tmp_path / "frame.toml"
    file.write_text(plain_file.read_text().replace("Test frame", "Frame \u2192 \u00fc"), encoding="utf-8")
    env = {**os.environ, "PYTHONIOENCODING": "latin-1:strict"}
    command = [sys.executable, "-m", "ladderfe", "hand", "--alone", str(file)]
    done = subprocess.run(command, env=env, capture_output=True, check=False)
    assert done.returncode in (0, 1)
    assert b"Traceback" not in done.stderr
    assert b"Frame ? \xfc" in done.stdout


def test_results_interrupted_half_way_leave_nothing(ladderfe, mine, tmp_path, monkeypatch):
    """Ctrl-C while the pictures are drawn: status 130, and neither the folder nor a hidden one is there."""

    def stopped(*args, **kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("ladderfe.report.pictures.draw", stopped)
    before = sorted(tmp_path.iterdir())
    status, _, err = ladderfe("check", mine, "--quick", "--out", tmp_path / "results")
    assert (status, err) == (130, "Stopped.\n")
    assert sorted(tmp_path.iterdir()) == before


def test_ctrl_c_is_status_130(ladderfe, monkeypatch):
    """128 + SIGINT, as shells count it; here while it waits for the chassis on standard input."""

    class Waiting(io.StringIO):
        def read(self, *_):
            raise KeyboardInterrupt

    monkeypatch.setattr(sys, "stdin", Waiting())
    assert ladderfe("check", "-") == (130, "", "Stopped.\n")


def test_standard_input_as_chassis_file(ladderfe, plain_file, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO(plain_file.read_text()))
    status, out, _ = ladderfe("check", "-", "--quick")
    assert status == 0
    assert out.startswith("Test frame for closed forms\n")

    terminal = io.StringIO()
    monkeypatch.setattr(terminal, "isatty", lambda: True)
    monkeypatch.setattr(sys, "stdin", terminal)
    status, _, err = ladderfe("check", "-")
    assert status == 2
    assert '"-" reads the chassis from standard input, and nothing is piped into it: name a file.' in err


# --- a program of its own: what the shell sees -------------------------------------------------------------------


def started(*args, **kwargs):
    command = [sys.executable, "-m", "ladderfe", *map(str, args)]
    return subprocess.Popen(command, stderr=subprocess.PIPE, text=True, **kwargs)


def no_room():
    """From here on no file may grow: stands for a disk that is full."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


@pytest.mark.parametrize("args", [("hand", "--alone"), ("check", "--quick", "--json"), ("check", "--help")])
def test_a_full_disk_is_one_line_and_status_2(plain_file, tmp_path, args):
    with open(tmp_path / "page", "w") as page:
        child = started(args[0], plain_file, *args[1:], stdout=page, preexec_fn=no_room)
        _, err = child.communicate()
    assert err == "The output could not be written (File too large).\n"
    assert child.returncode == 2


def test_complaints_that_cannot_be_written_change_no_status(tmp_path):
    with open(tmp_path / "complaints", "w") as complaints:
        command = [sys.executable, "-m", "ladderfe", "check", str(tmp_path / "none.toml")]
        done = subprocess.run(command, stderr=complaints, preexec_fn=no_room, check=False)
    assert done.returncode == 2


@pytest.mark.parametrize("args", [("hand", "--alone"), ("check", "--help")])
def test_a_reader_that_goes_away_is_no_finding(plain_file, args):
    """Status as shells give it to any program that a broken pipe stops (128 + SIGPIPE), and silence."""
    reader, writer = os.pipe()
    os.close(reader)
    child = started(args[0], plain_file, *args[1:], stdout=writer)
    os.close(writer)
    _, err = child.communicate()
    assert (child.returncode, err) == (128 + signal.SIGPIPE, "")
