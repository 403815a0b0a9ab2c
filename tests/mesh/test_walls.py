"""Sections that warp and rack, from the chassis to the solved frame: what walls share they move alike.

Kinematics of thin walls (common theory, no single source): about a channel's shear centre ys behind its web at yw the
sectorial coordinate is w = (yw - ys) z - (z - zs)(y - yw) less its mean, on all three walls' mid-lines; a box's walls
move along by f (y - py)(z - pz) about the middle p of its mid-lines, racking moves webs up by g (y - py)/2 and flanges
aside by g (z - pz)/2. Everything here is evaluated from the members' own end movements with these formulas.
"""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan

import numpy as np
import pytest

from ladderfe.elements import LineLoads
from ladderfe.elements.racking_loads import wall_arms
from ladderfe.mesh import RACKING, build_mesh
from ladderfe.mesh.walls import end_follow, place_follow
from ladderfe.sections import Box, Channel, properties, sectorial
from ladderfe.solve.band import Factor
from ladderfe.solve.body_forces import add_wrench
from ladderfe.solve.members import frame_of

EXACT = 1e-9
F, G = 2000.0, 1.0e5


class Solved:
    """A chassis held at its front (all six and the walls of the left rail's first node) and loaded at named places."""

    def __init__(self, chassis, loads, *, refine=1, energies=()):
        self.mesh = build_mesh(chassis, refine=refine)
        self.frame = frame_of(self.mesh)
        if energies:
            self.frame = replace(self.frame, energies=(*self.frame.energies, *(e(self) for e in energies)))
        start, left = self.frame.start, self.mesh.part("left rail").first
        nodal = np.zeros((self.frame.unknowns, 1))
        for place, wrench in loads.items():
            add_wrench(self.frame, self.mesh.places[place], np.array(wrench, float)[:, None], nodal)
        node = self.mesh.ends[left, 0]
        self.u = Factor(self.frame, np.arange(start[node], start[node + 1])).solve(nodal)
        self.nodal = nodal
        self.moved = self.frame.member_movements(self.u)
        self.ends = self.frame.end_forces(self.moved, 0 * self.moved)

    def member(self, part, station, before):
        """The member of a part that ends (before) or begins at a station."""
        own = self.mesh.part(part).members
        return next(m for m in own if abs(self.mesh.along[m, int(before)] - station) < 0.5)

    def node(self, part, station):
        return int(self.mesh.ends[self.member(part, station, False), 0])

    def shape(self, member):
        return self.mesh.shapes[self.mesh.section_of[member]]

    def walls(self, member, end, places):
        """(n, 3) movement of places (y, z) on the mid-lines at a member's end, member axes."""
        ux, uy, uz, rx, ry, rz, *more = self.moved[member, 8 * end : 8 * end + 8, 0]
        y, z = np.array(places, float).T
        along, side, up = ux + z * ry - y * rz, uy - z * rx, uz + y * rx
        shape = self.shape(member)
        if isinstance(shape, Box):
            g, f = more
            py, pz = (shape.minus - shape.plus) / 4, (shape.bottom - shape.top) / 4
            return np.stack([along + f * (y - py) * (z - pz), side + g * (z - pz) / 2, up + g * (y - py) / 2], axis=1)
        q, one = properties(self.mesh.sections[self.mesh.section_of[member]]), self.mesh.origin[member]
        w = sectorial_of(shape, (q.ys, q.zs), y, z)
        return np.stack([along - more[0] * (w + one[0] + one[1] * y + one[2] * z), side, up], axis=1)

    def rows(self, member, x):
        """(8,) resultants."""
        at = np.array([member]), np.array([float(x)])
        return self.frame.kernels.resultants(self.moved, self.ends, LineLoads.none(1), *at)[0, :, 0]


def sectorial_of(channel, centre, y, z):
    """Sectorial coordinate about the shear centre, mean zero, at places on the mid-lines of a channel's walls."""
    yw, (ys, zs) = web_of(channel), centre
    high, low = (channel.depth - channel.top) / 2, -(channel.depth - channel.bottom) / 2
    wide = channel.width - channel.web / 2
    flange = yw - np.sign(yw) * wide / 2

    def swept(y, z):
        return (yw - ys) * z - (z - zs) * (y - yw)

    metal = np.array([wide * channel.top, (high - low) * channel.web, wide * channel.bottom])
    middle = swept(np.array([flange, yw, flange]), np.array([high, (high + low) / 2, low]))
    return swept(y, z) - metal @ middle / metal.sum()


def web_of(channel):
    """y of the mid-line of the web."""
    return (-1 if channel.opens == "+y" else 1) * (channel.width - channel.web) / 2


def channel(made, depth=150.0, width=75.0, wall=3.0, opens="-y"):
    return made.channel(depth, width, wall, opens)


def twisted(made, spans, askew=False):
    """A ladder with rails of these spans (right rail; the left one is its mirror image), loads far from symmetry;
    `askew`: its rails run outward and up."""
    at = {"rear right": 3900.0, "third right": 3000.0, "half right": 1900.0}
    mounts = tuple(made.mount(n, "right rail", s, made.HALF + 36.0) for n, s in at.items())
    path = ((0, made.HALF, 0), (4000, made.HALF + 150.0, 400.0)) if askew else None
    return made.chassis(rails=made.rails(spans=spans, path=path), mounts=mounts)


LOADS = {
    "rear right": (0, 300.0, F, 0, 0, 0),
    "third right": (500.0, 0, -F / 3, G, 0, G),
    "half right": (0, 0, F, G, 0, 0),
}


# ---------------------------------------------------------------- changes of section


def spans_of(made, boxes, opened=None):
    """Box, channel, box; the boxes with these walls, in the ladder's outline; closing plates inside."""
    first, last = boxes
    return (
        *(made.Span(start=s, end=e, shape=b) for s, e, b in first),
        made.Span(start=first[-1][1], end=last[0][0], shape=opened or channel(made)),
        *(made.Span(start=s, end=e, shape=b) for s, e, b in last),
    )


@pytest.fixture(scope="session")
def changing(made):
    """Rails that go over from box to channel and back: alike; flanges unlike; plates of 2 and 5; a wider box ahead."""
    alike, wide = made.box(150, 75, 3), made.box(150, 95, 3)
    thin, thick = made.box(150, 75, 3, minus=2), made.box(150, 75, 3, minus=5)
    tall, cut = made.box(150, 75, 3, top=5, bottom=2), replace(channel(made), top=5.0, bottom=2.0)
    return {
        "unlike flanges": spans_of(made, ([(0, 1000, tall)], [(2600, 4000, tall)]), cut),
        "alike": spans_of(made, ([(0, 1000, alike)], [(2600, 4000, alike)])),
        "unlike plates": spans_of(made, ([(0, 1000, thin)], [(2600, 4000, thick)])),
        "another box ahead": spans_of(made, ([(0, 600, wide), (600, 1000, thin)], [(2600, 4000, thick)])),
    }


@pytest.mark.parametrize("which", ["alike", "unlike plates", "unlike flanges", "another box ahead"])
@pytest.mark.parametrize(("side", "askew"), [("left", False), ("right", False), ("right", True)])
def test_walls_run_on_from_box_to_channel(made, changing, which, side, askew):
    """At the change the web that runs on and both flanges move along alike in all points, flanges aside and the web up
    and down too (1e-9 of what warping moves there).  The channel's sectorial coordinate, shear centre and origin are
    nowhere in the box's formula."""
    s = Solved(twisted(made, changing[which], askew), LOADS)
    for station in (1000.0, 2600.0):
        before, after = (s.member(f"{side} rail", station, b) for b in (True, False))
        opened = after if isinstance(s.shape(after), Channel) else before
        shape = s.shape(opened)
        yw, h, low = web_of(shape), (shape.depth - shape.top) / 2, -(shape.depth - shape.bottom) / 2
        web = [(yw, h), (yw, 0.4 * h), (yw, 0), (yw, low)]
        flanges = [(0.3 * yw, h), (-yw, h), (0, low), (-yw, low)]
        one, two = s.walls(before, 1, web + flanges), s.walls(after, 0, web + flanges)
        warps = abs(s.u[s.frame.start[s.node(f"{side} rail", station)] + 7, 0]) * abs(yw) * h
        assert warps > 1e-3
        assert two[:, 0] - one[:, 0] == pytest.approx(0, abs=EXACT * np.abs(one[:, 0]).max())
        assert two[:4, 2] == pytest.approx(one[:4, 2], rel=EXACT)
        assert two[4:, 1] - one[4:, 1] == pytest.approx(0, abs=EXACT * np.abs(one[4:, 1:]).max())
        box = before if opened == after else after
        racked = s.walls(box, int(box == before), [(yw, 0), (-yw, 0)])[:, 2]
        rigid = s.walls(opened, int(opened == before), [(yw, 0), (-yw, 0)])[:, 2]
        assert abs(racked[1] - rigid[1]) > 1e-3 * abs(racked[0])  # the web that ends moves on its own


@pytest.mark.parametrize("which", ["alike", "another box ahead"])
def test_a_rail_with_changes_is_exact_whatever_the_mesh(made, changing, which):
    """Every member in two and in three: the same movements, warping and racking at all old nodes, the same bimoment and
    racking force next to the change; rounding."""
    seen = []
    for refine in (1, 2, 3):
        s = Solved(twisted(made, changing[which]), LOADS, refine=refine)
        nodes = [s.node(f"{side} rail", x) for side in ("left", "right") for x in (100.0, 600.0, 1000.0, 1900.0, 2600.0)
                 if which != "alike" or x != 600.0]  # fmt: skip
        movement = np.concatenate([s.u[s.frame.start[n] : s.frame.start[n + 1], 0] for n in nodes])
        rows = [s.rows(s.member("right rail", x, False), 0.0) for x in (1000.0, 2600.0)]
        seen.append((movement, np.array(rows)))
    for movement, rows in seen[1:]:
        assert movement == pytest.approx(seen[0][0], rel=1e-8, abs=EXACT * np.abs(movement[:6]).max())
        assert rows / np.abs(rows).max(axis=0) == pytest.approx(seen[0][1] / np.abs(rows).max(axis=0), abs=1e-8)


@pytest.mark.parametrize("flanges", [(3.0, 3.0), (2.0, 5.0)])
def test_the_web_runs_on_from_channel_to_channel(made, flanges):
    """150 deep, then 120 deep with other flanges: the web they share moves along alike.  On it the sectorial coordinate
    about the reference line is yw z, wherever the shear centres are."""
    top, bottom = flanges
    deep = channel(made)
    low = Channel(depth=120.0, width=75.0, web=3.0, top=top, bottom=bottom, opens="-y")
    spans = (made.Span(start=0, end=1700, shape=deep), made.Span(start=1700, end=4000, shape=low))
    s = Solved(twisted(made, spans), LOADS)
    for side in ("left", "right"):
        before, after = (s.member(f"{side} rail", 1700.0, b) for b in (True, False))
        yw = web_of(s.shape(before))
        z = np.array([50.0, 10.0, 0.0, -50.0])
        found = []
        for member, end in ((before, 1), (after, 0)):
            ux, _, _, _, ry, rz, f, _ = s.moved[member, 8 * end : 8 * end + 8, 0]
            found.append(ux + z * ry - yw * rz - f * yw * z)
            one = s.mesh.origin[member]
            w = sectorial(s.mesh.sections[s.mesh.section_of[member]], np.stack([0 * z + yw, z], axis=1))
            assert w + one[0] + one[1] * yw + one[2] * z == pytest.approx(yw * z, abs=1e-9 * 75 * 75)
        assert found[1] == pytest.approx(found[0], rel=EXACT)


def test_walls_run_on_from_box_to_box(made):
    """Closing plates of 5, then of 2 mm: the outer web and both flanges move along, up and aside alike."""
    spans = (
        made.Span(start=0, end=1700, shape=made.box(150, 75, 3, minus=5)),
        made.Span(start=1700, end=4000, shape=made.box(150, 75, 3, minus=2)),
    )
    s = Solved(twisted(made, spans), LOADS)
    for side, sign in (("left", -1), ("right", 1)):
        places = [(sign * 36.0, 73.5), (sign * 36.0, -20.0), (0.0, 73.5), (sign * -30.0, -73.5)]
        one, two = (s.walls(s.member(f"{side} rail", 1700.0, b), int(b), places) for b in (True, False))
        assert abs(s.u[s.frame.start[s.node(f"{side} rail", 1700.0)] + 7, 0]) * 36.0 * 73.5 > 1e-3
        assert two == pytest.approx(one, abs=EXACT * np.abs(one).max())


# ---------------------------------------------------------------- kinks


@pytest.mark.parametrize("shape", ["box", "channel"])
@pytest.mark.parametrize("plane", ["plan", "height"])
@pytest.mark.parametrize(("angle", "runs_on"), [(5.0, True), (29.0, True), (31.0, False), (60.0, False)])
def test_warping_runs_on_through_kinks_up_to_30_degrees(made, shape, plane, angle, runs_on):
    """Up to 30 degrees (the design's own limit; judgement, no source) the node carries the rail's warping and racking
    and they are shared; above it the walls are held in shape.  Below, twist at both sides of the kink sends bimoment
    through it."""
    rise = 400.0 * tan(radians(angle))
    there = (made.HALF + rise, 0) if plane == "plan" else (made.HALF, rise)
    path = ((0, made.HALF, 0), (2000, made.HALF, 0), (2400, *there))
    own = made.RAIL if shape == "box" else channel(made)
    mounts = (made.mount("tip", "right rail", 2400.0, *there), made.mount("before", "right rail", 1900.0, made.HALF))
    c = made.chassis(rails=made.rails(own, path=path), mounts=mounts, crossmembers=made.LADDER[:1])
    s = Solved(c, {"tip": (0, 0, F, 2 * G, 0, G), "before": (0, 0, 0, 3 * G, 0, 0)})
    node, kind = s.node("right rail", 2000.0), 2 if shape == "box" else 1
    assert int(s.mesh.extras[node]) == (kind if runs_on else 0)
    before, after = (s.member("right rail", 2000.0, b) for b in (True, False))
    one, two = s.moved[before, 14:16, 0], s.moved[after, 6:8, 0]
    if shape == "channel":
        assert (one[1], two[1]) == (0, 0)
    free = np.abs(s.moved[before, 6:8, 0]).max()  # what warps at the other end
    if runs_on:
        assert one == pytest.approx(two, rel=EXACT)
        assert np.abs(one).max() > 0.01 * free
    else:
        assert (one.tolist(), two.tolist()) == ([0, 0], [0, 0])
    sent = [s.rows(m, x)[6] for m, x in ((before, s.mesh.lengths[before]), (after, 0.0))]
    if runs_on:
        assert sent[0] == pytest.approx(sent[1], rel=1e-7, abs=1e-9 * G * 75)
    else:
        assert abs(sent[0] - sent[1]) > 0.01 * abs(sent[1])


# ---------------------------------------------------------------- where loads act


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_mount_on_a_channel_rail_acts_where_it_sits(made, side):
    """Rails with both ends built in, an upright force halfway.  On the web's mid-line it twists the rail, at the shear
    centre (e = 3 b²/(h + 6b) behind the web) it does not, on the flanges' tips it does so the more: twist grows with
    the lever from the shear centre, in a straight line but for what V itself does (walls' shear, below a tenth)."""
    sign = -1 if side == "left" else 1
    wide, high = 75.0 - 1.5, 150.0 - 3.0
    e, web = 3 * wide**2 / (high + 6 * wide), made.HALF + 36.0
    places = {"centre": web + e, "web": web, "tip": web - wide}  # open inward
    mounts = tuple(made.mount(n, f"{side} rail", 2000.0, sign * y) for n, y in places.items())
    c = made.chassis(rails=made.rails(channel(made)), mounts=mounts, crossmembers=())
    twist = {}
    for name in places:
        mesh = build_mesh(c)
        frame = frame_of(mesh)
        nodal = np.zeros((frame.unknowns, 1))
        add_wrench(frame, mesh.places[name], np.array([[0, 0, F, 0, 0, 0.0]]).T, nodal)
        parts = [mesh.part(f"{x} rail") for x in ("left", "right")]
        held = [mesh.ends[p.first, 0] for p in parts] + [mesh.ends[p.last - 1, 1] for p in parts]
        start = frame.start
        held = np.concatenate([np.arange(start[n], start[n + 1]) for n in held])
        u = Factor(frame, held).solve(nodal)
        twist[name] = u[start[mesh.places[name].node] + 3, 0]
    assert sign * twist["web"] < 0  # pushed up on the inner side of the shear centre
    assert abs(twist["centre"]) < 0.1 * abs(twist["web"])
    steps = (twist["web"] - twist["centre"]) / e, (twist["tip"] - twist["web"]) / wide
    assert steps[1] == pytest.approx(steps[0], rel=EXACT)


def test_a_pull_on_a_channels_web_is_a_bimoment(made):
    """A force P along the rail on the web's mid-line, z above the middle: it works on u = -w f with w = (yw - ys) z =
    -e z for a right rail open inward, so B ahead of it is P w more than behind; on the web's middle no more."""
    wide, high, z, P = 73.5, 147.0, 60.0, 5000.0
    e = 3 * wide**2 / (high + 6 * wide)
    at = {"upper": z, "middle": 0.0}
    mounts = tuple(made.mount(n, "right rail", 2000.0, made.HALF + 36.0, h) for n, h in at.items())
    c = made.chassis(rails=made.rails(channel(made)), mounts=mounts, crossmembers=made.LADDER[:1])
    for name, height in at.items():
        s = Solved(c, {name: (P, 0, 0, 0, 0, 0)})
        before, after = (s.member("right rail", 2000.0, b) for b in (True, False))
        jump = s.rows(before, s.mesh.lengths[before])[6] - s.rows(after, 0.0)[6]
        assert jump == pytest.approx(-P * e * height, rel=1e-8, abs=1e-6 * P)


@pytest.mark.parametrize("sides", [(3.0, 3.0), (2.0, 5.0)])
@pytest.mark.parametrize("place", [(36, 0), (20, 73.5), (-36, 40), (60, 10), (5, -90), (-70, 95)])
def test_line_loads_and_mounts_act_alike(made, sides, place):
    """On a box rail, inside and beyond its walls: the work of unit forces on racking and warping is the same for a line
    load's point and a place's movement; by hand for equal walls: upright fz y/2 on the web, and beyond it, on a rigid
    bracket that turns with it by -g/2, (2 y1 - y)/2; lying walls alike; along fx y1 z1."""
    box = made.box(150, 75, 3, minus=sides[0], plus=sides[1])
    mesh = build_mesh(made.chassis(rails=made.rails(box)))
    frame = frame_of(mesh)
    m = mesh.part("right rail").first
    own = frame.kernels.racking.take(np.flatnonzero(frame.kernels.racking_at == m))
    arms = wall_arms(own, np.array([place], float))[0]
    moved = place_follow(mesh.shapes[mesh.section_of[m]], mesh.sections[mesh.section_of[m]], mesh.origin[m], RACKING,
                         np.array(place, float))  # fmt: skip
    assert arms == pytest.approx([moved[1, 0], moved[0, 1], moved[0, 2]], rel=EXACT, abs=1e-12)
    if sides[0] == sides[1]:
        y, z = place
        y1, z1 = np.clip(y, -36, 36), np.clip(z, -73.5, 73.5)
        assert arms == pytest.approx([y1 * z1, (2 * z1 - z) / 2, (2 * y1 - y) / 2], rel=EXACT)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_crossmember_above_or_below_the_rail_turns_with_the_flange(made, side):
    """Flanges' lines turn by rx + g/2, webs' by rx - g/2 (the kernel's definition)."""
    shape = made.box(120, 60, 3)
    origin = np.zeros(3)
    on_top = end_follow(shape, shape.section(), origin, RACKING, np.array([0.0, side * 90.0]), "met")
    on_web = end_follow(shape, shape.section(), origin, RACKING, np.array([30.0, 0.0]), "met")
    assert on_top[0, 3] == 0.5
    assert on_web[0, 3] == -0.5
