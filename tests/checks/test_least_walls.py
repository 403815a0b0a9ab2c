"""Strength by the thinnest walls read, stiffness by the mean ones: closed forms, and what stays as it is bit by bit."""

from dataclasses import replace
from functools import partial
from types import SimpleNamespace

import numpy as np
import pytest

from ladderfe.chassis import Span
from ladderfe.checks import check
from ladderfe.checks.least_walls import carried_over
from ladderfe.checks.stress import point_table
from ladderfe.checks.thin_walls import demands
from ladderfe.errors import ModelError
from ladderfe.mesh import build_mesh
from ladderfe.sections import Box, Channel, properties, thinned

findings = partial(check, assumptions=False)
N, VY, VZ, T, MY, MZ, B, LAST = range(8)
BOX = Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
THIN = Box(depth=150.0, width=75.0, top=2.0, bottom=2.0, minus=2.0, plus=2.0)
PITTED = Box(depth=150.0, width=75.0, top=3.0, bottom=1.5, minus=2.5, plus=2.0)
CHANNEL = Channel(depth=150.0, width=75.0, web=3.0, top=3.0, bottom=3.0, opens="+y")


def table(least, stiff):
    """Stress points of a section judged by `least` under the resultants of `stiff`."""
    mesh = SimpleNamespace(
        shapes=(stiff,), sections=(stiff.section(),), least_shapes=(least,), least_sections=(least.section(),)
    )
    return point_table(mesh)


def places(shape):
    points = properties(shape.section()).points
    return np.array(points.y), np.array(points.z)


def hollow(shape):
    """A, yc, zc, Iyy, Izz of a box by rectangles: outer less inner, parallel-axis theorem."""
    y0, y1 = shape.minus - shape.width / 2, shape.width / 2 - shape.plus
    z0, z1 = shape.bottom - shape.depth / 2, shape.depth / 2 - shape.top
    out, inner = shape.width * shape.depth, (y1 - y0) * (z1 - z0)
    A = out - inner
    yc, zc = -inner * (y0 + y1) / 2 / A, -inner * (z0 + z1) / 2 / A
    Iyy = shape.width * shape.depth**3 / 12 + out * zc**2 - inner * ((z1 - z0) ** 2 / 12 + ((z0 + z1) / 2 - zc) ** 2)
    Izz = shape.depth * shape.width**3 / 12 + out * yc**2 - inner * ((y1 - y0) ** 2 / 12 + ((y0 + y1) / 2 - yc) ** 2)
    Iyz = out * yc * zc - inner * ((y0 + y1) / 2 - yc) * ((z0 + z1) / 2 - zc)
    return A, yc, zc, Iyy, Izz, Iyz


def plane_stress(shape, force, moment_y, moment_z):
    """Stress at the points by N, My, Mz about the origin (reference line): unsymmetric bending, by rectangles."""
    A, yc, zc, Iyy, Izz, Iyz = hollow(shape)
    y, z = places(shape)
    my, mz = moment_y - force * zc, moment_z + force * yc
    a, b = np.linalg.solve(np.array([[Iyy, Iyz], [Iyz, Izz]]), [my, -mz])
    return force / A + a * (z - zc) + b * (y - yc)


@pytest.mark.parametrize("least", [THIN, PITTED], ids=["even", "uneven"])
@pytest.mark.parametrize("stiff", [BOX, replace(BOX, top=2.0, bottom=2.5)], ids=["symmetric", "uneven"])
def test_tension_and_bending_act_on_the_thin_walls_from_the_same_reference_line(least, stiff):
    """A bar pulled and bent: moments about the reference line are those of the section that carries stiffness."""
    normal = table(least, stiff).normal[0]
    _, yc, zc, *_ = hollow(stiff)
    assert normal[:, N] == pytest.approx(plane_stress(least, 1.0, zc, -yc), rel=1e-9)
    assert normal[:, MY] == pytest.approx(plane_stress(least, 0.0, 1.0, 0.0), rel=1e-9)
    assert normal[:, MZ] == pytest.approx(plane_stress(least, 0.0, 0.0, 1.0), rel=1e-9)


def test_shear_and_torque_in_thin_webs():
    """Webs share V as V/(2 H t) within a few percent (the flanges' part, handbook approximation); Bredt's T/(2 A t)
    exactly, on the thin walls' mid-lines."""
    found = table(THIN, BOX)
    webs = [k for k, name in enumerate(found.mean_walls[0]) if name in ("minus", "plus")]
    assert abs(found.mean[0][webs, VZ]) == pytest.approx(1 / (2 * 150 * 2), rel=0.05)
    assert abs(found.mean[0][webs, T]) == pytest.approx(1 / (2 * 73 * 148 * 2) * 148 / 150, rel=1e-6)


def test_shear_through_the_old_shear_centre_turns_a_box_with_unlike_webs():
    """Torque of V about the moved shear centre, added by Bredt: shear flows in sum are V through the old centre."""
    least = replace(BOX, plus=1.5)
    by = carried_over(properties(least.section()), properties(BOX.section()))
    away = properties(least.section()).ys  # the old one is at 0
    assert away < -1  # toward the thicker web
    assert by[T, VZ] == pytest.approx(-away)
    assert by[LAST] == pytest.approx(np.eye(8)[LAST])
    shear = table(least, BOX).shear[0]
    own = table(least, least).shear[0]
    assert shear[:, VZ] == pytest.approx(own[:, VZ] - away * own[:, T])


def test_torque_of_a_moved_shear_centre_is_warping_torque_in_channels():
    """An open wall would take it as St-Venant's torque with stresses a hundred times as large."""
    least = replace(CHANNEL, bottom=1.5)
    by = carried_over(properties(least.section()), properties(CHANNEL.section()))
    assert by[T, VY] == by[LAST, VY] == pytest.approx(properties(least.section()).zs)
    shear, own = table(least, CHANNEL).shear[0], table(least, least).shear[0]
    assert shear[:, VY] == pytest.approx(own[:, VY] + by[T, VY] * (own[:, T] + own[:, LAST]))
    assert abs(shear[:, VY]).max() < 2 * abs(own[:, VY]).max()


def test_walls_that_bend_take_the_moments_of_the_stiffness_walls():
    """Plate bending, 6 m/t2: walls of 2 mm under the moments of walls of 3 mm, 9/4 of these' stress; at the corners
    within 3 % (the mid-lines end elsewhere)."""
    thin, thick = table(THIN, BOX).across[0], table(BOX, BOX).across[0]
    assert thin.max() == pytest.approx(9 / 4 * thick.max(), rel=0.03)


def worn(made, least, stiff=BOX, **more):
    spans = (Span(start=0.0, end=2000.0, shape=stiff, least=least), Span(start=2000.0, end=4000.0, shape=stiff))
    return made.chassis(rails=made.rails(spans=spans), **more)


def test_none_and_the_same_shape_change_nothing_at_all(made):
    """Equal objects, so nothing is worked out twice; stresses bit by bit."""
    plain, same = (findings(made.chassis(rails=made.rails(BOX))), findings(worn(made, BOX)))
    for f in (plain, same):
        assert f.solution.mesh.least_sections is f.solution.mesh.sections
        assert f.solution.mesh.least_shapes is f.solution.mesh.shapes
    two = findings(worn(made, None))
    assert np.array_equal(same.solution.movements, two.solution.movements)
    assert np.array_equal(same.stresses.von_mises, two.stresses.von_mises)


def test_frame_moves_by_the_mean_walls_and_is_stressed_by_the_least(made):
    """Movements and resultants bit by bit those of the thick walls; normal stress of every place of the front half
    (plain members) N/A + bending of rectangles under them; the rear half as before."""
    thick = worn(made, None, joint_model="springs")
    f, g = findings(worn(made, PITTED, joint_model="springs")), findings(thick)
    assert np.array_equal(f.solution.movements, g.solution.movements)
    left = {"left rail": PITTED.mirrored(), "right rail": PITTED}
    checked = 0
    for r, (m, along) in enumerate(zip(f.rows.member, f.rows.along, strict=True)):
        part = f.solution.mesh.parts[int(f.solution.mesh.part_of()[m])]
        if part.kind != "rail" or along > 1999 or f.solution.mesh.along[m, 1] > 2001:
            continue
        shape = left[part.name]
        n, _, _, _, my, mz = f.rows.resultants[r, :6, 1]
        stress = plane_stress(shape, n, my, mz)
        assert f.stresses.normal[r, : len(stress), 1] == pytest.approx(stress, rel=1e-9, abs=1e-9)
        checked += 1
    assert checked > 20
    behind = g.rows.along > 2001
    assert f.stresses.normal[f.rows.along > 2001] == pytest.approx(g.stresses.normal[behind], rel=1e-12, abs=1e-12)


def test_effective_walls_start_from_the_thin_gross_ones(made):
    """On plain members the stress on gross walls is N, My, Mz alone: nothing is left over for warping, so the forces
    were carried over to the thin walls' centroid; and walls of 1 mm buckle where those of 3 mm do not."""
    pulled = made.worked_chassis(made.STATIC, next(c for c in made.every_case() if c.kind == "drawbar pull"))
    f = findings(replace(pulled, rails=worn(made, PITTED).rails, joint_model="springs"))
    d = demands(f.solution.mesh, f.rows, f.stresses, 235.0)
    assert len(d.row) > 20
    assert np.abs(d.force[:, 0]).max() > 1000
    assert not d.extra.any()
    slender = replace(BOX, top=1.0, bottom=1.0)
    losing = {k[0] for k in findings(worn(made, slender)).buckling.kept}
    assert losing >= {"left rail", "right rail"}
    assert not findings(worn(made, None)).buckling.kept


def test_taper_of_the_least_walls(made):
    """Least walls that taper on rails of one thickness: at both ends and the middle those of the shape there."""
    span = Span(start=0.0, end=4000.0, shape=BOX, least=BOX, least_end=THIN)
    mesh = build_mesh(made.chassis(rails=made.rails(spans=(span,))))
    own = mesh.part("right rail").members
    tops = [[mesh.least_shapes[k].top for k in mesh.end_sections[m]] for m in own]
    assert tops[0][0] == 3.0
    assert tops[-1][1] == 2.0
    middles = mesh.along[list(own)].mean(axis=1)
    least = [mesh.least_shapes[mesh.section_of[m]].top for m in own]
    assert least == pytest.approx(3 - middles / 4000)
    assert {mesh.shapes[mesh.section_of[m]].top for m in own} == {3.0}


@pytest.mark.parametrize("least", [CHANNEL, replace(CHANNEL, opens="-y")])
def test_another_kind_is_refused(made, least):
    stiff = BOX if least is CHANNEL else CHANNEL
    with pytest.raises(ModelError, match=r"rail from 0 to 4000 mm: strength is judged by a channel of other form"):
        build_mesh(made.chassis(rails=made.rails(spans=(Span(start=0.0, end=4000.0, shape=stiff, least=least),))))


def test_mirrored_spans():
    span = Span(start=0.0, end=1.0, shape=BOX, shape_end=THIN, least=PITTED, least_end=thinned(PITTED, {"plus": 1.0}))
    assert span.mirrored().least == PITTED.mirrored()
    assert span.mirrored().mirrored() == span
