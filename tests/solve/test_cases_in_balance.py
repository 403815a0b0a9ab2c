"""Six components of every case of every model and of frames made up by Hypothesis: the self-check's residuals, of the
frame and of the whole vehicle, and sums of its own for a handful."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.chassis import CaseSpec, Damper, Links, Mount, read_chassis
from ladderfe.checks.balance import residuals
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # rounding only
G = 9806.65  # mm/s2
MODELS = sorted((Path(__file__).parents[2] / "models").glob("*.toml"))


def with_every_kind(statics, c):
    """A model with one case at least of every kind, at mounts of its own frame; axles hang on springs that hold."""
    first, last = c.crossmembers[0], c.crossmembers[-1]
    def inside(name, station, height, side):
        rail = c.rails[0 if side == "left" else 1]
        half = float(np.interp(station, *np.array([(p.station, p.half_spacing) for p in rail.path]).T))
        return Mount(name=f"{side} {name}", part=rail.name, station=station, y=rail.sign * half, height=height)
    front, rear = (a.station for a in c.axles)
    places = [("front pad", front + 0.1 * (rear - front)), ("rear pad", rear - 0.1 * (rear - front)),
              ("eye", c.rails[0].start + 30)]
    mounts = [inside(n, x, -70.0, side) for n, x in places for side in ("left", "right")]
    mounts.append(Mount(name="ball", part=last.name, station=last.station_left + 120, y=0.0, height=-110.0))
    mounts.append(Mount(name="winch", part=first.name, station=first.station_left - 90, y=0.0, height=60.0))
    mounts += [m for m in c.mounts if m.name not in {x.name for x in mounts}]
    axles = tuple(replace(a, pull=np.inf) for a in c.axles)
    light = sum(a.load for a in c.axles) * G
    cases = [replace(k, force=np.sign(k.force) * min(abs(k.force), 0.2 * light)) for k in statics.every_kind()]
    return replace(c, mounts=tuple(mounts), axles=axles, cases=tuple(cases))  # fmt: skip


@pytest.mark.parametrize("path", MODELS, ids=lambda p: p.stem)
def test_every_model_in_every_kind_of_case(statics, path):
    """Its own cases and one of every kind; from inside and from outside, and the in-plane holds carry nothing."""
    own = read_chassis(path)
    c = with_every_kind(statics, own)
    kinds = {k.name for k in c.cases}
    mounts = (*c.mounts, *(m for m in own.mounts if m.name not in {x.name for x in c.mounts}))
    if {m for k in own.cases for m in k.at} <= {m.name for m in own.mounts}:
        c = replace(c, mounts=mounts, cases=(*c.cases, *(k for k in own.cases if k.name not in kinds)))
    s = solve_chassis(c)
    assert np.abs(residuals(c, s)).max() < EXACT
    assert np.abs(residuals(c, s, vehicle=True)).max() < EXACT
    assert np.abs(s.support_forces[-3:]).max() < EXACT * np.abs(s.support_forces[:4]).max()
    for name in ("static", "left turn", "braking", "drive-off", "raised"):
        assert statics.left_over(c, s, name) == pytest.approx(np.zeros(6), abs=EXACT), name


def number(low, high):
    """Whole numbers: places on a tape measure, and shrinking to plain ones."""
    return st.integers(int(low), int(high)).map(float)


@st.composite
def linked(draw, name, station, base):
    """Kind, links and damper of an axle."""
    kind = draw(st.sampled_from(["eyes", "arms", "track bar", "pivots", "none"]))
    inward = 1 if name == "front" else -1
    reach, eye = draw(number(300, 800)), draw(number(250, 500))
    low, roll = draw(number(-180, -20)), draw(number(-450, -50))
    out = {"seats": ((station, 1.0),)}
    if kind in ("eyes", "none"):
        out["seats"] = ((station - eye, 0.5), (station + eye, 0.5))
    if kind == "eyes":
        out["links"] = Links(kind="eyes", station=station - eye, spacing=base, height=low, side_height=roll)
    elif kind == "arms":
        out["links"] = Links(kind="arms", station=station + inward * reach, spacing=base, height=low, side_height=low)
    elif kind == "track bar":
        bar = draw(number(-350, 350))
        out["links"] = Links(kind="arms", station=station + inward * reach, spacing=base, height=low,
                             side_height=roll, side_station=station + draw(number(-150, 150)), side_y=bar)  # fmt: skip
    elif kind == "pivots":
        out |= {"kind": "independent", "motion_ratio": draw(st.sampled_from([0.6, 1.0])),
                "links": Links(kind="pivots", station=station + draw(number(-100, 100)), spacing=base - 40.0,
                               height=low, side_height=roll)}  # fmt: skip
    if draw(st.booleans()):
        at = station + draw(number(-120, 120))
        out["damper"] = Damper(station=at, spacing=base + 80, height=90.0, force=draw(number(500, 2500)))
    return out


@st.composite
def vehicles(draw, made, statics):
    """Small frames: rails that differ, spread and rise, masses off the middle, uneven wheels, any links."""
    rise, spread = draw(number(0, 140)), draw(number(0, 60))
    path = ((0, 360, 30), (1000, 390, 0), (2500, 390 + spread, 0), (2950, 390 + spread, rise), (4000, 400, rise))
    other = draw(number(0, 40))
    rails = (made.rail("left", made.box(140, 70, 2.5), path=path),
             made.rail("right", made.box(120, 70, 3), path=tuple((x, y + other, z) for x, y, z in path)))
    heights = (27.0, 0.0, rise)
    rungs = tuple(replace(x, height_left=h, height_right=h) for x, h in zip(made.LADDER, heights, strict=True))
    axles = []
    for name, station in statics.ENDS:
        load, lean = 0.9 + draw(number(0, 30)) / 100, draw(number(-4, 4)) / 100
        base = draw(number(700, 860))
        more = draw(linked(name, station, base)) | {"anti_roll": draw(st.sampled_from([0.0, 5e6]))}
        axles.append(made.axle(name, station, load, spring_base=base, wheel_loads=(load / 2 + lean, load / 2 - lean),
                               pull=np.inf, track=draw(number(1380, 1560)), tyre_radius=draw(number(320, 390)), **more))
    c = made.chassis(rails=rails, crossmembers=rungs, axles=tuple(axles), body=made.Body(
        start=40, end=3960, split=draw(number(1700, 2300)), stiffening=draw(st.sampled_from([1.0, 1.5]))),
        ground=draw(number(-700, -450)), centre_height=draw(number(600, 800)))
    mounts = (made.mount("a", "middle", 1900, draw(number(-200, 200)), -20),
              made.mount("b", "left rail", 1000, -300, 300))
    place = (draw(number(900, 3000)), draw(number(-150, 150)), draw(number(0, 600)))
    load = made.mass("load", draw(number(20, 120)) / 1000, place, ("a", "b"), aboard=draw(st.booleans()))
    c = statics.fitted(made, replace(c, mounts=mounts), masses=(load,))
    return replace(c, cases=statics.every_kind())  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_made_up_frames_in_every_kind_of_case(statics, made, data):
    """Nothing left over in any of the six components, from inside, from outside, and by sums made here."""
    c = data.draw(vehicles(made, statics))
    s = solve_chassis(c)
    assert np.abs(residuals(c, s)).max() < EXACT
    assert np.abs(residuals(c, s, vehicle=True)).max() < EXACT
    way = 6e3 * np.array([-np.cos(np.pi / 6), 0.5, 0])
    outside = {"static": [], "cross-axle": [], "right turn": [], "braking": [], "drive-off": [],
               "winch": [(statics.mount(c, "winch"), way)], "nose": [(statics.mount(c, "ball"), (0, 0, -0.2 * G))],
               "drawbar push": [(statics.mount(c, "ball"), (-9e3, 0, 0))]}  # fmt: skip
    for name, forces in outside.items():
        k = s.case(name)
        borne = [(p, s.share[k] * np.asarray(f)) for p, f in forces]
        assert statics.left_over(c, s, name, outside=borne) == pytest.approx(np.zeros(6), abs=EXACT), name
    k, left = s.case("dug in"), 9e3 * np.array([-np.cos(np.pi / 6), -0.5, 0])
    pulled = [(statics.mount(c, "winch"), s.share[k] * left)]
    assert statics.left_over(c, s, "dug in", outside=pulled, hub=True) == pytest.approx(np.zeros(6), abs=EXACT)
    body, k = statics.masses(c, s), s.case("pothole")
    up = statics.wrench(statics.spring_places(c), np.outer(s.support_forces[:4, s.case("static")], [0, 0, 1]))
    push = s.ground[0, :, k] - [0, 0, s.ground[0, 2, s.case("static")]]
    field = statics.newton_euler(body, up + statics.wrench(statics.feet(c, hub=True)[0], push))
    assert s.field[:, k] == pytest.approx(field, rel=1e-8, abs=EXACT * G)


def test_a_case_of_every_kind_is_among_them(statics):
    """None is forgotten when a kind is added."""
    from ladderfe.cases.build import _KINDS

    assert {c.kind for c in statics.every_kind()} == set(_KINDS)
    assert CaseSpec(name="a", kind="static").kind in _KINDS
