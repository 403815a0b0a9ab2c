"""The greatest of many cases: groups of points against plain loops, bands of the rails, the envelope against all
stresses."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from ladderfe.checks import check
from ladderfe.checks.by_wall import by_wall
from ladderfe.checks.envelope import LONG, SHORT, envelope, rail_bands


@pytest.fixture(scope="module")
def many(made):
    return check(made.worked_chassis(), assumptions=False)


# --- groups -------------------------------------------------------------------------------------------------------


def by_loops(values, section, walls, owner):
    """The first greatest size of every owner, wall and case, one after the other: (row, point)."""
    out = {}
    for o in sorted(set(owner.tolist())):
        rows = np.nonzero(owner == o)[0]
        for wall in dict.fromkeys(w for r in rows for w in walls[section[r]]):
            for c in range(values.shape[2]):
                best = None
                for r in rows:
                    for p, name in enumerate(walls[section[r]]):
                        size = abs(values[r, p, c])
                        if name == wall and (best is None or size > best[0] * (1 + 1e-9)):
                            best = size, int(r), p
                out[o, wall, c] = best[1:]
    return out


def test_groups_find_what_plain_loops_find():
    """Random values of few sizes, so that most are alike with others, in sections of different walls."""
    rng = np.random.default_rng(7)
    walls = (("top", "top", "web"), ("inner", "bottom", "top", "inner"), ("web",))
    section, owner = rng.integers(0, 3, 60), np.sort(rng.integers(0, 4, 60))
    values = rng.integers(-3, 4, (60, 4, 5)).astype(float) * (1 + 1e-13 * rng.standard_normal((60, 4, 5)))
    groups = by_wall(section, walls, owner)
    found = groups.first_greatest(groups.sizes(values))
    expected = by_loops(values, section, walls, owner)
    at = {
        (int(groups.owner[g]), groups.wall[g], c): (int(groups.row[n]), int(groups.point[n]))
        for (g, c), n in np.ndenumerate(found)
    }
    assert at == expected
    assert list(dict.fromkeys((o, w) for o, w, _ in at)) == list(dict.fromkeys((o, w) for o, w, _ in expected))


def test_utilisations_of_many_cases_are_those_of_plain_loops(many):
    s, c = many.stresses, many.chassis.criteria
    part_of = many.solution.mesh.part_of()[many.rows.member]
    names = [p.name for p in many.solution.mesh.parts]
    for criterion, stress, walls, limit in (
        ("bending", s.normal, s.table.walls, c.bending),
        ("web shear", s.mean, s.table.mean_walls, c.shear),
        ("von Mises", s.von_mises, s.table.walls, c.von_mises),
    ):
        own = {(u.part, u.wall, u.case): u for u in many.utilisations if u.criterion == criterion}
        expected = by_loops(stress[:, :, 1:], s.section, walls, part_of)
        assert len(own) == len(expected)
        for (owner, wall, case), (row, point) in expected.items():
            u = own[names[owner], wall, many.solution.cases[case + 1].name]
            assert u.stress == stress[row, point, case + 1]
            assert u.along == many.rows.along[row]
            assert u.ratio == abs(u.stress) / limit


# --- bands --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("side", ["left rail", "right rail"])
def test_bands_cover_the_rail_and_split_no_member(demo_findings, side):
    mesh = demo_findings.solution.mesh
    part = mesh.part(side)
    cuts = rail_bands(mesh, demo_findings.chassis, part)
    ends = mesh.along[part.first : part.last]
    assert cuts[0] == ends[0, 0]
    assert cuts[-1] == ends[-1, 1]
    assert (np.diff(cuts) >= SHORT).all()
    for a, b in ends:
        assert any(p <= a and b <= q for p, q in pairwise(cuts)), (a, b)


def test_bands_end_at_crossmembers_and_both_rails_at_the_same_stations(demo_findings):
    """Those 80 mm from the ends of the rails make no band of their own."""
    mesh, c = demo_findings.solution.mesh, demo_findings.chassis
    left, right = (rail_bands(mesh, c, mesh.part(f"{s} rail")) for s in ("left", "right"))
    assert {1020.0, 1520.0, 2500.0} <= set(left.tolist())
    assert not {80.0, 3820.0} & set(left.tolist())
    assert left == pytest.approx(right, abs=1e-6)
    assert max(np.diff(left)) < LONG


# --- the envelope ---------------------------------------------------------------------------------------------------


def test_every_band_and_wall_tells_the_greatest_stress_over_limit_in_it(many):
    """All stresses of the rows in the band looked through once more, whatever their case."""
    mesh, s, c = many.solution.mesh, many.stresses, many.chassis.criteria
    found = envelope(many.chassis, many.solution, many.rows, s)
    assert {r.use.part for r in found} == {p.name for p in mesh.parts}
    for r in found:
        members = [
            m for m in mesh.part(r.use.part).members
            if r.start - 1e-6 <= min(mesh.along[m]) and max(mesh.along[m]) <= r.end + 1e-6
        ]  # fmt: skip
        most = 0.0
        for k in np.nonzero(np.isin(many.rows.member, members))[0]:
            i = int(s.section[k])
            for names, stress, limit in (
                (s.table.walls[i], s.normal, c.bending),
                (s.table.walls[i], s.von_mises, c.von_mises),
                (s.table.mean_walls[i], s.mean, c.shear),
            ):
                own = [p for p, name in enumerate(names) if name == r.use.wall]
                most = max(most, float(np.abs(stress[k, own, 1:]).max(initial=0)) / limit)
        assert r.use.ratio == pytest.approx(most, rel=1e-8, abs=1e-12)
        assert r.start - 1e-6 <= r.use.along <= r.end + 1e-6


def test_the_envelope_holds_what_governs_every_part(many):
    rows = envelope(many.chassis, many.solution, many.rows, many.stresses)
    for part in many.solution.mesh.parts:
        top = next(u for u in many.utilisations if u.part == part.name)
        assert max(r.use.ratio for r in rows if r.use.part == part.name) == pytest.approx(top.ratio, rel=1e-9)
    assert len({r.use.case for r in rows}) > 3, "several cases govern somewhere"


def test_of_cases_that_are_alike_the_first_governs(made):
    twins = (made.STATIC, made.TWICE, replace(made.TWICE, name="twice again"))
    f = check(made.chassis(cases=twins), assumptions=False)
    rows = envelope(f.chassis, f.solution, f.rows, f.stresses)
    assert {r.use.case for r in rows if r.use.ratio > 1e-9} == {"twice"}


def test_parts_but_rails_have_one_band(many):
    rows = envelope(many.chassis, many.solution, many.rows, many.stresses)
    for part in many.solution.mesh.parts:
        if part.kind != "rail":
            own = [r for r in rows if r.use.part == part.name]
            assert len({(r.start, r.end) for r in own}) == 1
            assert len({r.use.wall for r in own}) == len(own)
