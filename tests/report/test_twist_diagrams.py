"""Diagrams of twist: what is drawn is what was found; SVG with real text; the same bytes each time."""

import io
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from ladderfe.report import twist_diagrams as room
from ladderfe.report.twist_diagrams import twist_diagrams
from ladderfe.report.twist_words import energy_bars, knm_per_deg


@pytest.fixture(scope="module")
def drawn(demo_twist):
    return {d.name: d for d in twist_diagrams(demo_twist)}


def words_of(svg):
    """All text of a drawing."""
    root = ElementTree.fromstring(svg)
    return " ".join("".join(e.itertext()).strip() for e in root.iter() if e.tag.endswith("}text"))


def test_names_and_kinds(drawn):
    assert list(drawn) == ["twist-angle", "wheel-loads", "twist-energy"]
    for d in drawn.values():
        picture = Image.open(io.BytesIO(d.png))
        assert picture.width > 1000
        assert len(picture.convert("RGB").getcolors(1 << 24)) > 50
        assert ElementTree.fromstring(d.svg).tag.endswith("}svg")


def test_svg_holds_real_text_and_no_date(drawn, demo_twist):
    text = words_of(drawn["twist-angle"].svg)
    for c in demo_twist.chassis.crossmembers:
        assert c.name in text
    for name, t in demo_twist.twisted.items():
        assert f"{name} {knm_per_deg(t.stiffness):.3f} kN m/deg" in text
    for word in ("front axle", "rear axle", "station, mm rearward", "twist, degrees", demo_twist.chassis.title):
        assert word in text
    for d in drawn.values():
        assert "<dc:date>" not in d.svg
        assert not re.search(r"20\d\d-\d\d-\d\d", d.svg)


def test_wheel_loads_say_where_wheels_lift(drawn, demo_twist):
    text = words_of(drawn["wheel-loads"].svg)
    for lift in demo_twist.lifts:
        assert f"{lift.name} raised" in text
        for c in lift.lifting:
            assert f"{c.height:.0f} mm" in text
    assert "wheel load, kN" in text
    assert "bump stop" in text


def test_energy_names_every_bar_with_its_share(drawn, demo_twist):
    text = words_of(drawn["twist-energy"].svg)
    for b in energy_bars(demo_twist):
        assert b.name in text
        assert f"{100 * b.total:.1f} %" in text
    for what in ("bending", "torsion", "joints"):
        assert what in text


def test_lines_are_the_angles_found(demo_twist):
    """Twist counted from the front axle: at the rear axle 1 kN m over the stiffness."""
    axes = room._angle(demo_twist).axes[0]
    front, rear = (a.station for a in demo_twist.chassis.axles)
    found = {}
    for line in axes.lines:
        x, y = np.asarray(line.get_xdata(), float), np.asarray(line.get_ydata(), float)
        if len(x) > 2:
            found[round(float(np.interp(rear, x, y)), 9)] = float(np.interp(front, x, y))
    wanted = [round(1 / knm_per_deg(t.stiffness), 9) for t in demo_twist.twisted.values()]
    assert sorted(found) == pytest.approx(sorted(wanted), rel=1e-8)
    assert list(found.values()) == pytest.approx([0.0] * 4, abs=1e-12)
    marks = {float(line.get_xdata()[0]) for line in axes.lines if len(line.get_xdata()) == 2}
    assert {(c.station_left + c.station_right) / 2 for c in demo_twist.chassis.crossmembers} <= marks


def test_panels_show_the_wheel_loads_found(demo_twist):
    panels = room._wheels(demo_twist).axes
    by_title = {p.get_title(loc="left"): p for p in panels}
    for lift in demo_twist.lifts:
        lines = by_title[f"{lift.name} raised"].lines
        shown = [line.get_ydata() for line in lines if list(line.get_xdata()) == list(lift.height)]
        assert np.array(shown) == pytest.approx(lift.wheel_forces / 1000)


def test_bars_are_the_shares_found(demo_twist):
    axes = room._energy(demo_twist).axes[0]
    lengths = [p.get_width() for p in axes.patches]
    bars = energy_bars(demo_twist)
    wanted = [100 * getattr(b, what) for what in ("bending", "torsion", "joints") for b in bars]
    assert lengths == pytest.approx(wanted, abs=1e-9)
    assert sum(lengths) == pytest.approx(100.0, abs=0.1)


def test_the_same_findings_give_the_same_bytes(drawn, demo_twist):
    assert room._saved("twist-energy", room._energy, demo_twist) == drawn["twist-energy"]


def test_names_that_look_like_formulas_or_run_on(plain_twist):
    """Dollar signs, letters that no font here has, a very long title: drawn as they are, no warning."""
    c = plain_twist.chassis
    names = ("$a_b$", "梁", "x" * 60, "rear")
    odd = tuple(replace(x, name=n) for x, n in zip(c.crossmembers, names, strict=True))
    odd = replace(c, title="$x^2$ " + "very long " * 30, crossmembers=odd)
    d = room._saved("twist-angle", room._angle, replace(plain_twist, chassis=odd))
    text = words_of(d.svg)
    assert "$a_b$" in text
    assert "$x^2$ very long" in text
    assert "…" in text


def test_joints_at_a_level_of_their_own_have_a_line(plain_twist):
    levels = {**plain_twist.levels, "as stated": plain_twist.levels["high"]}
    own = replace(plain_twist, levels=levels, used="as stated")
    assert "as stated" in words_of(room._saved("twist-angle", room._angle, own).svg)
