"""A drawing made once: SVG with real, escaped text and PNG of the same size, the same bytes each time."""

import io
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from ladderfe.report.colours import rgb
from ladderfe.report.labels import Box
from ladderfe.report.vector import SVG, Area, Drawing, Segments, Words, fitted, png_of, svg_of, width_of

ODD = 'a <b> & "c" $x_1$ ]]> 漢'


@pytest.fixture(scope="module")
def drawing():
    return Drawing(
        f"title {ODD}",
        200,
        100,
        (
            Area.of(Box(20, 30, 60, 70), "#c8501a", kind='odd "<kind>'),
            Segments((((100.0, 10.0), (100.0, 90.0)), ((120.0, 10.0), (120.0, 90.0))), "#000000", 4.0),
            Words(ODD, (5.0, 20.0), 10.0),
            Words("bell\x07 and half\ud800", (5.0, 95.0), 10.0, bold=True),
            Words("slant", (150.0, 80.0), 10.0, across="right", turn=45.0),
        ),
    )


def test_svg_is_xml_with_the_words_as_they_are(drawing):
    """A reader of XML gets back every word; characters that XML 1.0 forbids (section 2.2) are replaced."""
    text = svg_of(drawing)
    assert text.encode().startswith(SVG)
    root = ElementTree.fromstring(text)
    words = [e.text for e in root.iter("{http://www.w3.org/2000/svg}text")]
    assert words == [ODD, "bell\ufffd and half\ufffd", "slant"]
    assert root.find("{http://www.w3.org/2000/svg}title").text == f"title {ODD}"
    assert root.find("{http://www.w3.org/2000/svg}polygon").get("class") == 'odd "<kind>'
    assert root.get("viewBox") == "0 0 200 100"
    slanting = root.findall("{http://www.w3.org/2000/svg}text")[2]
    assert slanting.get("transform") == "rotate(-45 150 80)"  # SVG 1.1, 7.6: positive angles turn clockwise
    assert slanting.get("text-anchor") == "end"


def test_png_shows_the_shapes_where_they_are(drawing):
    """Colours at places, read from the picture."""
    picture = Image.open(io.BytesIO(png_of(drawing))).convert("RGB")
    assert picture.size == (200, 100)
    assert picture.getpixel((40, 50)) == rgb("#c8501a")
    assert picture.getpixel((15, 50)) == picture.getpixel((65, 50)) == (255, 255, 255)
    assert picture.getpixel((100, 50)) == picture.getpixel((120, 50)) == (0, 0, 0)
    assert picture.getpixel((110, 50)) == (255, 255, 255)
    assert np.asarray(picture)[85:99, 125:142].min() < 120  # the slanting word rises to its right end
    assert np.asarray(picture)[85:99, 146:165].min() > 200


def test_the_same_drawing_gives_the_same_bytes(drawing):
    assert png_of(drawing) == png_of(drawing)
    assert svg_of(drawing) == svg_of(drawing)


def test_boxes_of_words_follow_their_side():
    for across, share in (("left", 0.0), ("center", 0.5), ("right", 1.0)):
        box = Words("words", (100.0, 50.0), 12.0, across=across).box
        wide = width_of("words", 12.0)
        assert (box.left, box.right) == pytest.approx((100 - share * wide, 100 + (1 - share) * wide))
        assert box.top < 50 < box.bottom


def test_words_are_cut_to_their_room():
    assert fitted("short", 10, 500) == "short"
    cut = fitted("a very long name of a thing", 10, 80)
    assert cut.endswith("…")
    assert width_of(cut, 10) <= 80
