"""Repairs in stages: closed form of a beam plated under load, identities, walls that are matched by place."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from ladderfe.checks.members_there import divided_alike, members_there, rows_there
from ladderfe.checks.rows import Rows, look_at
from ladderfe.checks.staged import look_there, new_walls, staged_stresses
from ladderfe.checks.stress import stresses
from ladderfe.errors import ModelError
from ladderfe.mesh import build_mesh
from ladderfe.sections import Box, Channel, Plate, let_in, plated, properties, sleeved, thinned
from ladderfe.solve import solve_chassis

MY = 4
BUILT = Box(depth=140.0, width=70.0, top=3.0, bottom=3.0, minus=2.5, plus=2.5)
FOUND = thinned(BUILT, {"bottom": 1.5})
COVER = Plate(wall="bottom", thickness=5.0, width=50.0)
CASES = ("stands", "laden")


def state(made, shape, resultants, least=None):
    """A frame with these rails, and resultants (9, cases) in the middle of each of its rails' members."""
    spans = (made.Span(start=0.0, end=made.LENGTH, shape=shape, least=least),)
    mesh = build_mesh(made.chassis(rails=made.rails(spans=spans), crossmembers=()))
    rail = np.array(list(mesh.part("right rail").members))
    r = np.repeat(np.asarray(resultants, float)[None], len(rail), axis=0)
    x = mesh.lengths[rail] / 2
    rows = Rows(rail, x, mesh.along[rail, 0] + x, np.zeros(len(rail), dtype=bool), r)
    solution = SimpleNamespace(mesh=mesh, cases=tuple(SimpleNamespace(name=n) for n in CASES))
    return solution, rows, stresses(solution, rows)


def bent(*moments):
    out = np.zeros((9, len(moments)))
    out[MY] = moments
    return out


def noise(seed):
    return np.random.default_rng(seed).normal(size=(9, 2)) * np.array([1e3, 1e3, 1e3, 1e5, 1e6, 1e6, 1e7, 1e4, 1e-4])[
        :, None]


def hollow(box, plate=0.0):
    """A, z of the centroid and Iyy by rectangles: outline less inside, and a cover plate 50 mm wide below."""
    A_out, h = box.width * box.depth, box.depth - box.top - box.bottom
    A_in, z_in = (box.width - box.minus - box.plus) * h, (box.bottom - box.top) / 2
    z_p, A_p = -box.depth / 2 - plate / 2, 50 * plate
    A = A_out - A_in + A_p
    zc = (-A_in * z_in + A_p * z_p) / A
    inertia = box.width * box.depth**3 / 12 - A_in * h**2 / 12 - A_in * z_in**2 + 50 * plate**3 / 12 + A_p * z_p**2
    return A, zc, inertia - A * zc**2


def test_a_beam_plated_under_load(made):
    """M0 when plated, then M1: old metal M0 z/I_old + (M1 - M0) z'/I_new, the plate (M1 - M0) z'/I_new."""
    M0, M1 = -4e6, -11e6
    found, rows, _ = state(made, FOUND, bent(M0, M1))
    shape = plated(FOUND, [COVER])
    repaired = state(made, shape, bent(M0, M1))
    new = new_walls(found.mesh, repaired[0].mesh)
    assert set(new.values()) == {frozenset({"bottom plate"})}
    s = staged_stresses((found, rows), "stands", repaired, new)
    points = properties(shape.section()).points
    _, zc, old = hollow(FOUND)
    _, zn, both = hollow(FOUND, 5.0)
    laden = (M1 - M0) * (points.z - zn) / both
    wanted = laden + np.where(np.array(points.wall) == "bottom plate", 0.0, M0 * (points.z - zc) / old)
    assert s.normal[0, : len(points.z), 1] == pytest.approx(wanted, rel=1e-12)
    at_stage = s.normal[0, : len(points.z), 0]
    assert at_stage[np.array(points.wall) == "bottom plate"] == pytest.approx(0, abs=1e-9)
    assert s.von_mises[0, : len(points.z), 1] == pytest.approx(abs(wanted), rel=1e-12)
    unloaded = staged_stresses((found, rows), None, repaired, new)
    assert unloaded.normal[0, : len(points.z), 1] == pytest.approx(M1 * (points.z - zn) / both, rel=1e-12)


SHAPES = [
    BUILT, replace(BUILT, radius=9.0), Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=3.0, opens="+y"),
    Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=3.0, opens="-z", radius=8.0), plated(FOUND, [COVER]),
    thinned(BUILT, {"bottom": 0.0, "minus": 0.0}), sleeved(BUILT, 2.0),
]  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: type(s).__name__)
def test_no_repair_is_no_stage(made, shape):
    """Found = repaired under all resultants at once: what the case alone gives, for every stage."""
    forces = noise(1)
    own = state(made, shape, forces)
    for stage in CASES:
        s = staged_stresses(own[:2], stage, own, {})
        for name in ("normal", "shear", "mean"):
            there, wanted = getattr(s, name), getattr(own[2], name)
            assert there == pytest.approx(wanted, rel=1e-9, abs=1e-9 * np.abs(wanted).max())
    assert new_walls(own[0].mesh, own[0].mesh) == {}


@pytest.mark.parametrize("least", [replace(FOUND, bottom=1.0, plus=2.0), None])
def test_in_the_stage_old_metal_has_the_stress_as_found(made, least):
    """Unlike forces in both frames: at every point of the old walls the stage's own stress is that of the section as
    found there, by place; in the plate there is none.  Also where strength is judged by thinner walls."""
    found = state(made, FOUND, noise(2), least)
    over = plated(FOUND, [COVER]), None if least is None else plated(least, [COVER])
    repaired = state(made, over[0], noise(3), over[1])
    new = new_walls(found[0].mesh, repaired[0].mesh)
    s = staged_stresses(found[:2], "stands", repaired, new)
    before, after = (properties((least or FOUND).section()).points, properties((over[1] or over[0]).section()).points)
    met = 0
    for i, wall in enumerate(after.wall):
        if "plate" in wall:
            assert (s.normal[0, i, 0], s.shear[0, i, 0], s.von_mises[0, i, 0]) == (0, 0, 0)
            continue
        for k, other in enumerate(before.wall):
            if other == wall and np.hypot(after.y[i] - before.y[k], after.z[i] - before.z[k]) < 1e-6:
                met += 1
                for name in ("normal", "shear", "von_mises", "across"):
                    was = getattr(found[2], name)[0, k, 0]
                    assert getattr(s, name)[0, i, 0] == pytest.approx(was, rel=1e-9, abs=1e-9)
    assert met >= 10


@pytest.mark.parametrize("gone", ["bottom", "top", "minus", "plus"])
def test_a_wall_let_in_closes_a_channel_whose_metal_keeps_its_stress(made, gone):
    """A box less a wall is a channel with other names and turned the other way round: matched by place, shear by its
    direction.  Along the middles of the walls both sections have points."""
    channel = thinned(BUILT, {gone: 0.0})
    found = state(made, channel, noise(4))
    box = let_in(channel, gone, 3.0)
    repaired = state(made, box, noise(5))
    new = new_walls(found[0].mesh, repaired[0].mesh)
    assert set(new.values()) == {frozenset({_side(repaired[0].mesh, gone)})}
    s = staged_stresses(found[:2], "stands", repaired, new)
    sections = found[0].mesh.sections[found[2].section[0]], repaired[0].mesh.sections[s.section[0]]
    (before, after), met = (properties(x).points for x in sections), 0
    for i in range(len(after.wall)):
        for k in range(len(before.wall)):
            near = np.hypot(after.y[i] - before.y[k], after.z[i] - before.z[k]) < 1e-6
            w, v = sections[1].walls[after.index[i]], sections[0].walls[before.index[k]]
            way = np.dot(np.subtract(w.end, w.start), np.subtract(v.end, v.start)) / w.length / v.length
            middle = after.label[i].endswith("middle") and "middle" in before.label[k]
            if near and middle and abs(way) > 0.9:
                met += 1
                assert s.normal[0, i, 0] == pytest.approx(found[2].normal[0, k, 0], rel=1e-9)
                assert s.shear[0, i, 0] == pytest.approx(np.sign(way) * found[2].shear[0, k, 0], rel=1e-9)
    assert met >= 1
    assert np.abs(s.normal[0, [w in new[s_m(repaired)] for w in after.wall], 0]).max() == 0


def s_m(repaired):
    return int(repaired[1].member[0])


def _side(mesh, gone):
    return {"minus": "inner", "plus": "outer"}.get(gone, gone)  # on the right rail; the left one is its mirror image


def test_frames_solved_on_their_wheels(made):
    """A frame as found and repaired on the same stations: unloaded and staged stress of the repaired frame differ by
    the stage alone, and metal that was not touched keeps to what its own forces give."""
    cut = [0.0, 1500.0, 2500.0, made.LENGTH]

    def chassis(middle):
        shapes = (FOUND, middle, FOUND)
        spans = tuple(made.Span(start=a, end=b, shape=s) for a, b, s in zip(cut, cut[1:], shapes, strict=False))
        return made.chassis(rails=made.rails(spans=spans), cases=(made.STATIC, made.TWICE))

    found, repaired = solve_chassis(chassis(FOUND)), solve_chassis(chassis(plated(FOUND, [COVER])))
    rows = look_at(repaired)
    own = repaired, rows, stresses(repaired, rows)
    its = look_there(rows, repaired.mesh, found)
    new = new_walls(found.mesh, repaired.mesh)
    assert {tuple(sorted(names)) for names in new.values()} == {("bottom plate",)}
    s = staged_stresses((found, its), "static", own, new)
    k = [c.name for c in repaired.cases].index("static")
    was = stresses(found, its)
    apart = ~np.isin(rows.member, list(new))
    wide = min(s.normal.shape[1], was.normal.shape[1])
    assert s.normal[apart, :wide, k] == pytest.approx(was.normal[apart, :wide, k], abs=1e-9)
    twice = [c.name for c in repaired.cases].index("twice")
    plate = s.table.walls[s.section[np.flatnonzero(~apart)[0]]].index("bottom plate")
    here = np.flatnonzero(~apart)
    rails = here[[mesh_wall(s, r, plate) == "bottom plate" for r in here]]
    expected = own[2].normal[rails, plate, twice] - own[2].normal[rails, plate, k]
    assert s.normal[rails, plate, twice] == pytest.approx(expected, abs=1e-9)
    assert np.abs(expected).max() > 1


def mesh_wall(s, row, point):
    return s.table.walls[s.section[row]][point]


def test_what_does_not_match_is_told(made):
    found = state(made, thinned(BUILT, {"bottom": 0.0}), bent(1e6, 2e6))
    repaired = state(made, BUILT, bent(1e6, 2e6))
    with pytest.raises(ModelError, match="no case is called 'night'"):
        staged_stresses(found[:2], "night", repaired, {})
    with pytest.raises(ModelError, match="its wall bottom was not there as found"):
        staged_stresses(found[:2], "stands", repaired, {})
    elsewhere = replace(found[1], x=found[1].x + 1)
    with pytest.raises(ModelError, match="rows of the frame as found lie elsewhere"):
        staged_stresses((found[0], elsewhere), "stands", repaired, {})


def test_rows_are_found_again_by_their_place(made):
    """On a frame of its own every section is where it was; with a crossmember more the rails' sections are too, at
    nodes on the side that they are looked at from, and those of the new one are nowhere."""
    plain = solve_chassis(made.chassis(rails=made.rails()))
    rows = look_at(plain)
    again = rows_there(rows, plain.mesh, plain)
    assert (again.member == rows.member).all()
    assert again.x == pytest.approx(rows.x, abs=1e-9)
    assert divided_alike(plain.mesh, plain.mesh)
    chassis = made.chassis(rails=made.rails())
    one = chassis.crossmembers[0]
    more = replace(one, name="new", station_left=one.station_left + 333, station_right=one.station_right + 333)
    other = solve_chassis(replace(chassis, crossmembers=(*chassis.crossmembers, more)))
    assert not divided_alike(plain.mesh, other.mesh)
    there = members_there(plain.mesh, other.mesh)
    new = other.mesh.part("new").members
    assert (there[list(new)] == -1).all()
    assert (np.delete(there, list(new)) >= 0).all()
    rows = look_at(other)
    own = ~np.isin(rows.member, list(new))
    found = rows_there(rows, other.mesh, plain)
    assert found.along[own] == pytest.approx(rows.along[own])
    a, b = plain.mesh.along[found.member[own]].T
    at = a + (b - a) * found.x[own] / plain.mesh.lengths[found.member[own]]
    assert at == pytest.approx(rows.along[own], abs=1e-6)
    assert [
        plain.mesh.parts[k].name for k in plain.mesh.part_of()[found.member[own]]
    ] == [other.mesh.parts[k].name for k in other.mesh.part_of()[rows.member[own]]]
