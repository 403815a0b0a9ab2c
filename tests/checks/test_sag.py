"""Sag of the rails between nodes: against closed forms, and against the frame with nodes close together."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks import check, comparison
from ladderfe.checks.sag import greatest_sags
from ladderfe.mesh import build_mesh
from ladderfe.solve import hanging_of, solve_chassis
from ladderfe.solve.analyse import analyse

SPACING = 20.0
#: Steps in tapers, the same finely in both, so that only the places looked at differ.
STEPS = 64


def sags(chassis):
    return {(s.rail, s.case): s for s in greatest_sags(chassis, solve_chassis(chassis, taper_steps=STEPS))}


def by_nodes(chassis):
    """The same by nodes alone, one every 20 mm: (rail, case) -> size and station."""
    front, rear = (a.station for a in chassis.axles)
    places = np.linspace(front, rear, 1 + int(np.ceil((rear - front) / SPACING)))
    mesh = build_mesh(chassis, extra=places.tolist(), taper_steps=STEPS)
    s = analyse(mesh, hanging_of(chassis, mesh))
    out = {}
    for name in ("left rail", "right rail"):
        part = mesh.part(name)
        nodes = np.append(mesh.ends[part.first : part.last, 0], mesh.ends[part.last - 1, 1])
        x, z = mesh.nodes[nodes, 0], s.movements[s.frame.start[nodes] + 2]
        ends = [z[np.argmin(np.abs(x - at))] for at in (front, rear)]
        share = ((x - front) / (rear - front))[:, None]
        between = (x >= front - 1e-6) & (x <= rear + 1e-6)
        gap = ((1 - share) * ends[0] + share * ends[1] - z)[between]
        worst = np.argmax(np.abs(gap), axis=0)
        for k, case in enumerate(s.cases):
            out[name, case.name] = float(gap[worst[k], k]), float(x[between][worst[k]])
    return out


def test_a_uniform_beam_with_overhangs(made):
    """Weightless rails with a uniform load on supports under them: 5 q l^4/384 EI less the two end moments' q a^2/2
    l^2/8 EI, plus the shear's M(middle)/GA; any text on strength of materials.  The load: axles of 900 kg less
    150 kg on 4 m of two rails; supports at 700 and 3300 mm.  Exact in the places looked at;
    the parabola through three of them tells the top of this quartic to 1e-6."""
    from ladderfe.sections import properties

    c = made.chassis(material=made.WEIGHTLESS)
    found = sags(c)
    q = 2 * 0.75 * 9806.65 / 2 / 4000.0
    p = properties(c.rails[1].spans[0].shape.section())
    bend, slide = 205_000 * p.Iyy, 205_000 / 2.6 / p.shear[1, 1]
    span, over = 2600.0, 700.0
    expected = 5 * q * span**4 / (384 * bend) - q * over**2 / 2 * span**2 / (8 * bend) + q * span**2 / 8 / slide
    for rail in ("left rail", "right rail"):
        assert found[rail, "static"].size == pytest.approx(expected, rel=1e-6)
        assert found[rail, "static"].station == pytest.approx(2000.0, abs=1.0)
        assert found[rail, "twice"].size == pytest.approx(2 * expected, rel=1e-6)


@pytest.mark.parametrize(
    ("model", "room", "cases"),
    [("test-frame", 1e-4, 99), ("light-lorry", 1e-4, 6), ("short-4x4", 5e-4, 99), ("pick-up", 5e-4, 6)],
)
def test_like_the_frame_with_nodes_close_together(demo_file, model, room, cases):
    """The frame once more with a node every 20 mm, which tells movements there whatever the members do inside.  It
    misses a peak by half of that: (10/2000)^2 of a sag that is a parabola over more than two metres, more of one that
    turns over a shorter length."""
    c = read_chassis(demo_file.with_name(f"{model}.toml"))
    c = replace(c, cases=c.cases[:cases])
    ours = sags(c)
    for (rail, case), (size, station) in by_nodes(c).items():
        if (rail, case) in ours:  # the condition on the scales is no case
            assert ours[rail, case].size == pytest.approx(size, rel=room)
            assert ours[rail, case].station == pytest.approx(station, abs=2 * SPACING)


@pytest.mark.parametrize("opens", ["-y", "+y"])
def test_open_rails_that_an_eccentric_load_twists(made, opens):
    """Channel rails under their own weight and the body's, few crossmembers: between nodes 1800 mm apart they twist
    with warping held, so that the reference line, beside the shear centre, sags otherwise than a beam."""
    shape = made.channel(150, 65, 4, opens)
    c = made.chassis(rails=made.rails(shape))
    ours, nodes = sags(c), by_nodes(c)
    for rail in ("left rail", "right rail"):
        size, station = nodes[rail, "static"]
        assert ours[rail, "static"].size == pytest.approx(size, rel=1e-4)
        assert ours[rail, "static"].station == pytest.approx(station, abs=2 * SPACING)


def test_a_load_on_one_rail_alone_sags_that_one(made):
    """A mass that the left rail carries: its sag is the greater one, and the comparison tells it."""
    c = made.chassis(
        mounts=(made.mount("tray", "left rail", 1900, -400),),
        masses=(made.mass("box", 0.3, (1900, -400, 0), ("tray",), aboard=False),),
    )
    f = check(replace(c, assumptions=()))
    found = {(s.rail, s.case): s.size for s in greatest_sags(c, f.solution)}
    assert found["left rail", "static"] > found["right rail", "static"] > 0
    assert comparison.rail_sags(f) == {case: found["left rail", case] for case in ("static", "twice")}
