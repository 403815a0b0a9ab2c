"""The demo's record in a real browser: nothing from outside, nothing cut, everything chosen follows.

Chromium is driven over its DevTools protocol; where there is none these tests are NOT RUN.
"""

from __future__ import annotations

import base64
import re

import pytest

#: Pages of the demo on A4.  The sheet, chapters of text and tables, two pages of unrolled rails: 30 to 50 by the width
#: of the fonts that the machine has.
PAGES = range(30, 51)
#: What fits on a page, px at 96 to the inch: A4 less the margins of print.css.
PAPER = (180 / 25.4 * 96, 264 / 25.4 * 96)
CHOOSE = """(name, number) => {{ const s = document.querySelector("{pane} select.case");
  s.value = String(number); s.dispatchEvent(new Event("change")); return s.value; }}"""
FRAMES = "new Promise((d) => requestAnimationFrame(() => requestAnimationFrame(d)))"


@pytest.fixture(scope="module")
def desk(browser, demo_record):
    page = browser.page(demo_record)
    yield page
    page.close()


def choose(page, number, pane="#frame-pane"):
    page.evaluate(f"({CHOOSE.format(pane=pane)})('', {number})")
    page.evaluate(FRAMES)


def picture(page):
    return page.evaluate("document.getElementById('frame-canvas').toDataURL()")


def table(page):
    return page.evaluate("document.getElementById('case-figures').innerText")


def test_nothing_is_fetched_and_nothing_complains(desk, demo_record):
    """The file alone, and data in it."""
    assert desk.complaints() == []
    outside = [u for u in desk.requests() if not u.startswith(("data:", "about:", demo_record.resolve().as_uri()))]
    assert outside == []
    assert desk.evaluate("document.getElementById('frame-canvas').dataset.drawn") == "WebGL"


def test_choosing_a_case_changes_frame_and_figures(desk):
    """Every other case looks different and says so; choosing the first again brings the first picture back."""
    seen = {}
    for number in (1, 6, 0):
        choose(desk, number)
        seen[number] = picture(desk), table(desk), desk.evaluate("document.querySelector('#bars .chosen')?.innerText")
    assert len({p for p, _, _ in seen.values()}) == 3
    assert "static" in seen[1][1]
    assert "one wheel bump, front right" in seen[6][1]
    assert "all cases together" in seen[0][1]
    assert seen[6][2].startswith("one wheel bump, front right")
    choose(desk, 1)
    assert picture(desk) == seen[1][0]


def test_choosing_the_state_as_built(desk):
    """As found 529.8 % and as built 143.3 % in this case, as the page of `ladderfe check --readings` says."""
    choose(desk, 6)
    bar = "document.querySelector('#bars .chosen .now').innerText + document.getElementById('bars-state').innerText"
    found, found_bar = (picture(desk), table(desk)), desk.evaluate(bar)
    desk.evaluate("document.querySelectorAll('input[name=state]')[1].click()")
    desk.evaluate(FRAMES)
    built, built_bar = (picture(desk), table(desk)), desk.evaluate(bar)
    desk.evaluate("document.querySelectorAll('input[name=state]')[0].click()")
    assert found[0] != built[0]
    assert "529.8" in found[1]
    assert "143.3" in built[1]
    assert "143.3" not in found[1]
    assert (found_bar[:5], built_bar[:5]) == ("529.8", "143.3")
    assert found_bar.endswith("as found")
    assert built_bar.endswith("as built")


def test_bars_choose_too(desk):
    """A click on a bar's name moves the menu."""
    desk.evaluate("document.querySelectorAll('#bars .pick')[2].click()")
    assert desk.evaluate("document.querySelector('#frame-pane select.case').value") == "3"
    choose(desk, 6)


def test_diagrams_follow_the_choice(desk):
    """Both menus are one choice; the drawings of another case are unpacked by the page itself."""
    words = (
        "document.getElementById('diagrams-pane').innerText + document.querySelector('#diagrams-pane svg').innerHTML"
    )
    choose(desk, 6)
    first = desk.evaluate(words)
    choose(desk, 1, "#diagrams-pane")
    assert desk.evaluate("document.querySelector('#frame-pane select.case').value") == "1"
    assert "Case: static" in desk.evaluate(words)
    assert desk.evaluate("document.querySelectorAll('#diagrams-pane .for-wide svg').length") == 2
    choose(desk, 6)
    assert desk.evaluate(words) == first


def test_keys_and_pointer_turn_the_frame(desk):
    """Arrow keys, a drag, plus, and 0 for the first view."""
    choose(desk, 6)
    first = picture(desk)
    desk.evaluate("(document.getElementById('frame-canvas').scrollIntoView({block: 'center'}), 1)")
    desk.evaluate("document.getElementById('frame-canvas').focus()")
    for key in ("ArrowLeft", "+"):
        before = picture(desk)
        desk.send("Input.dispatchKeyEvent", type="keyDown", key=key)
        desk.evaluate(FRAMES)
        assert picture(desk) != before
    desk.send("Input.dispatchKeyEvent", type="keyDown", key="0")
    desk.evaluate(FRAMES)
    assert picture(desk) == first
    x, y = desk.evaluate("(() => { const b = document.getElementById('frame-canvas').getBoundingClientRect();"
                         " return [b.x + b.width / 2, b.y + b.height / 2]; })()")  # fmt: skip
    for kind, at in (("mousePressed", x), ("mouseMoved", x + 60), ("mouseReleased", x + 60)):
        desk.send("Input.dispatchMouseEvent", type=kind, x=at, y=y, button="left", buttons=1, clickCount=1)
    desk.evaluate(FRAMES)
    assert picture(desk) != first


def test_pointing_at_a_wall_tells_its_figure(desk):
    """Somewhere along a line across the stage there is a wall."""
    told = desk.evaluate("""(() => { const b = document.getElementById('frame-canvas').getBoundingClientRect();
      const out = new Set();
      for (let k = 1; k < 60; k += 1) {
        stage.point({ clientX: b.x + b.width / 2, clientY: b.y + b.height * k / 60 });
        out.add(document.getElementById('frame-place').textContent);
      }
      return [...out]; })()""")
    assert any(re.fullmatch(r"(left|right) rail, \w+, \d+ mm: \d+ %( OVER)?", words) for words in told)


def test_without_webgl_the_frame_is_painted(demo_record, browser):
    """A second browser whose WebGL is switched off."""
    with type(browser)("--disable-webgl", "--disable-3d-apis") as other:
        page = other.page(demo_record)
        assert page.evaluate("document.getElementById('frame-canvas').dataset.drawn") == "Canvas 2D"
        first = picture(page)
        choose(page, 1)
        assert picture(page) != first
        assert page.complaints() == []


def test_a_narrow_screen_needs_no_sideways_scrolling(browser, demo_record):
    """360 px wide, as small phones are; what is wider scrolls in a box of its own."""
    page = browser.page(demo_record, 360, 740)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    walls = "document.querySelector('#record .walls')"
    assert page.evaluate(f"{walls}.closest('.scroll').scrollWidth <= {walls}.closest('.scroll').clientWidth")
    loose = page.evaluate("""[...document.querySelectorAll('main *')].filter((e) => !e.closest('.scroll')
      && e.getClientRects().length && e.getBoundingClientRect().right > 360.5).map((e) => e.outerHTML.slice(0, 90))""")
    assert loose == []
    small = page.evaluate("""[...document.querySelectorAll('button, select')].filter((e) => e.getClientRects().length
      && e.getBoundingClientRect().height < 24).map((e) => e.outerHTML.slice(0, 90))""")
    assert small == [], "WCAG 2.2, 2.5.8: targets of 24 px at least"
    page.close()


CONTRAST = """(() => {
  const linear = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  const light = (c) => 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
  const numbers = (text) => text.match(/[\\d.]+/g).map(Number);
  const ground = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const c = numbers(getComputedStyle(at).backgroundColor);
      if (c.length === 3 || c[3] > 0.99) return c;
    }
    return [255, 255, 255];
  };
  const poor = [];
  let looked = 0;
  for (const e of document.querySelectorAll('body *')) {
    const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
    if (!own || e.closest('svg, script, style, .skip') || !e.getClientRects().length) continue;
    const style = getComputedStyle(e);
    const [a, b] = [light(numbers(style.color)), light(ground(e))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    looked += 1;
    if (ratio < (large ? 3 : 4.5)) poor.push([e.outerHTML.slice(0, 80), ratio]);
  }
  return { looked, poor };
})()"""


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_contrast_is_that_of_level_aa(browser, demo_record, dark):
    """Source: WCAG 2.1, success criterion 1.4.3: 4.5 to 1, and 3 to 1 for large letters; luminance as there."""
    page = browser.page(demo_record, dark=dark)
    found = page.evaluate(CONTRAST)
    assert found["looked"] > 500
    assert found["poor"] == []
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (ground == "rgb(21, 26, 30)") == dark, "the two schemes are two"
    page.close()


def test_figures_fit_on_paper(browser, demo_record):
    """As printed: no drawing wider or higher than a page, none that may be broken; the still picture stands in for
    the frame."""
    page = browser.page(demo_record, round(PAPER[0]), 1000, media="print")
    found = page.evaluate("""[...document.querySelectorAll('figure')].map((f) => {
      const own = [...f.querySelectorAll("svg, img, canvas")].map((e) => e.getBoundingClientRect())
        .filter((b) => b.width);
      return [f.className, getComputedStyle(f).breakInside, Math.max(0, ...own.map((b) => b.right)),
              Math.max(0, ...own.map((b) => b.height)), own.length];
    })""")
    assert len(found) >= 6
    for name, inside, right, high, drawn in found:
        assert drawn, f"{name} is empty"
        assert inside == "avoid"
        assert right <= PAPER[0] + 1, name
        assert high <= PAPER[1], name
    assert page.evaluate("document.querySelector('.stage').getClientRects().length") == 0
    cut = page.evaluate("""[...document.querySelectorAll('.scroll')].filter((e) => e.scrollWidth > innerWidth + 1)
      .map((e) => e.getAttribute('aria-label'))""")
    assert cut == [], "tables are no wider than the paper"
    page.close()


def test_it_prints_on_so_many_pages_and_the_sheet_on_one(desk, browser, demo_record):
    """Pages are counted in the PDF; printed alone, the first page of the record is one page."""
    whole = base64.b64decode(desk.send("Page.printToPDF", preferCSSPageSize=True)["data"])
    assert len(re.findall(rb"/Type /Page\b(?!s)", whole)) in PAGES
    page = browser.page(demo_record)
    page.evaluate("document.querySelectorAll('.chapter').forEach((e) => e.remove())")
    sheet = base64.b64decode(page.send("Page.printToPDF", preferCSSPageSize=True)["data"])
    assert len(re.findall(rb"/Type /Page\b(?!s)", sheet)) == 1
    page.close()


@pytest.mark.parametrize("name", ["short-4x4.toml", "short-4x4-readings.csv"])
def test_inputs_are_saved_as_they_were(desk, plain_file, name):
    """What the button hands out is the file."""
    text = desk.evaluate(f"block('inputs').files.find((f) => f.name === '{name}').text")
    assert text.encode() == (plain_file.parent / name).read_bytes()


def test_chapters_fold_and_links_open_them(browser, demo_record):
    """Open at first; one button folds all, a link of the contents opens its own, and printing opens the rest."""
    page = browser.page(demo_record)
    folds = "[...document.querySelectorAll('details.fold')].filter((f) => f.open).length"
    many = page.evaluate("document.querySelectorAll('details.fold').length")
    assert many > 8
    assert page.evaluate(folds) == many
    page.evaluate("document.getElementById('fold-all').click()")
    assert page.evaluate(folds) == 0
    page.evaluate("document.querySelector('.contents a[href=\"#twist\"]').click()")
    assert page.evaluate(folds) == 1
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(folds) == many
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert page.evaluate(folds) == 1
    page.close()
