"""Colour maps: even, falling in lightness, readable with any colour vision; a clear break at 100 %.

CIELAB from sRGB: CIE 15 and IEC 61966-2-1, white D65 (values from memory).  Protan and deutan vision: F. Viénot,
H. Brettel, J. Mollon, Digital video colourmaps for checking the legibility of displays by dichromats, Color Research
and Application 24 (1999), in linear RGB (values from memory).
"""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.report.colours import BANDS, INK, LEFT, LEFT_EDGES, PAPER, SIGNED, SIZE, Scale, band_left, letters_on, rgb

TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.9505, 1.0, 1.089])
TO_LMS = np.array([[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.0299566, 0.184309, 1.46709]])
VISIONS = {
    "full": np.eye(3),
    "protan": np.array([[0, 2.02344, -2.52581], [0, 1, 0], [0, 0, 1]]),
    "deutan": np.array([[1, 0, 0], [0.494207, 0, 1.24827], [0, 0, 1]]),
}


def lab(colours, vision="full"):
    """CIELAB (k, 3) of sRGB (k, 3) 0 to 255 as seen with that vision."""
    part = np.asarray(colours, dtype=float) / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    if vision != "full":
        linear = np.clip(linear @ (np.linalg.inv(TO_LMS) @ VISIONS[vision] @ TO_LMS).T, 0, 1)
    ratio = linear @ TO_XYZ.T / WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


@pytest.mark.parametrize("vision", VISIONS)
@pytest.mark.parametrize("stops", [SIZE, SIGNED[8:], SIGNED[8::-1]], ids=["size", "tension", "compression"])
def test_lightness_falls_steadily(stops, vision):
    """Every step of a map is darker than the one before by 2 L* or more, so that order survives grey print."""
    lightness = lab([rgb(c) for c in stops], vision)[:, 0]
    assert (np.diff(lightness) < -2).all()
    assert lightness[0] - lightness[-1] > 55


@pytest.mark.parametrize("stops", [SIZE, SIGNED[8:], SIGNED[8::-1]], ids=["size", "tension", "compression"])
def test_steps_are_even(stops):
    """Steps of colour difference (CIELAB, 1976) vary by less than half of their mean; a rainbow varies by far more.

    The maps are even in CAM02-UCS; CIELAB stretches saturated blues, hence the wide limit.
    """
    steps = np.linalg.norm(np.diff(lab([rgb(c) for c in stops]), axis=0), axis=1)
    assert steps.std() / steps.mean() < 0.5


@pytest.mark.parametrize("vision", VISIONS)
def test_bands_break_at_100_per_cent(vision):
    """The jump at 100 % is above 30 in CIELAB whatever the vision, and lightness falls from band to band."""
    bands = lab([rgb(c) for c in BANDS], vision)
    assert (np.diff(bands[:, 0]) < -5).all()
    assert np.linalg.norm(bands[4] - bands[3]) > 30


def test_both_arms_of_the_signed_map_are_equally_dark():
    """Equal sizes of tension and compression differ by less than 6 L*."""
    lightness = lab([rgb(c) for c in SIGNED])[:, 0]
    assert np.abs(lightness - lightness[::-1]).max() < 6


def test_ends_of_the_scale_are_the_extremes(magnitude, ladder):
    """The lowest and highest value take the map's end colours; a signed zero is neutral."""
    scale = Scale.of(magnitude)
    assert (scale.low, scale.high) == (magnitude.values.min(), magnitude.values.max())
    assert scale.colours(np.array([scale.low, scale.high])).tolist() == [list(rgb(SIZE[0])), list(rgb(SIZE[-1]))]
    signed = Scale.of(ladder)
    assert signed.low == -signed.high
    assert np.abs(signed.colours(0.0).astype(int) - rgb("#f3f0e4")).max() <= 1  # table entry beside the middle


@pytest.mark.parametrize(
    ("value", "colour"),
    [(0.0, BANDS[0]), (0.2499, BANDS[0]), (0.2501, BANDS[1]), (0.9999, BANDS[3]), (1.0001, BANDS[4]), (1.51, BANDS[5]),
     (9.0, BANDS[5]), (np.nan, "#d5d9db")],
)
def test_utilisation_takes_the_band_of_its_share(utilisation, value, colour):
    """Bands change at 25, 50, 75, 100 and 150 %; above that the last one; grey where not checked."""
    assert tuple(Scale.of(utilisation).colours(value)) == rgb(colour)


def test_one_value_everywhere_still_has_a_colour(ladder):
    """A frame with one value only, or none at all, is drawn without a division by zero."""
    same = Scale.of(replace(ladder, kind="size", values=np.full_like(ladder.values, 3.0)))
    assert same.low < 3.0 < same.high
    none = Scale.of(replace(ladder, values=np.full_like(ladder.values, np.nan)))
    assert np.isfinite([none.low, none.high]).all()


@pytest.mark.parametrize("vision", VISIONS)
def test_bands_of_what_is_left_are_even_and_fall_in_lightness(vision):
    """Neighbours differ by more than 12 in CIELAB whatever the vision, ten times what is just seen side by side, and no
    step is more than twice another for full vision."""
    bands = lab([rgb(c) for c in LEFT], vision)
    assert (np.diff(bands[:, 0]) < -8).all()
    steps = np.linalg.norm(np.diff(bands, axis=0), axis=1)
    assert steps.min() > 12
    if vision == "full":
        assert steps.max() < 2 * steps.min()


def test_bands_of_what_is_left_begin_at_their_edges():
    """Edges belong to the band above them, rounding or not."""
    assert len(LEFT) == len(LEFT_EDGES) + 1
    assert [band_left(e) for e in (1.0, *LEFT_EDGES)] == [0, 0, 1, 2, 3, 4]
    assert [band_left(v) for v in (0.1 + 0.8, 2.25 / 2.5, 0.8999, 0.4999, 0.0)] == [0, 0, 1, 5, 5]


@pytest.mark.parametrize("fill", [*LEFT, PAPER, INK])
def test_letters_are_read_on_every_colour(fill):
    """Contrast of at least 3 to 1, as WCAG 2.1 (1.4.3) asks of large or bold letters."""

    def light(colour):
        part = np.array(rgb(colour)) / 255
        linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
        return float(linear @ (0.2126, 0.7152, 0.0722))

    both = sorted((light(fill), light(letters_on(fill))))
    assert (both[1] + 0.05) / (both[0] + 0.05) > 3
