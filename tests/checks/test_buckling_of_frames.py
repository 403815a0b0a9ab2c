"""Local buckling in whole frames: which walls lose width, utilisation on what is left, onset, shear, spring seats."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import check, thin_walls
from ladderfe.checks.buckling import buckling
from ladderfe.checks.thin_walls import demands, remaining_stress
from ladderfe.checks.web_forces import BEARING, seated_webs
from ladderfe.condition import as_found, readings_from_text
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.forces_text import forces_text
from ladderfe.sections import Box, Channel
from ladderfe.sections.effective import edge_places, effective_section, gross_stress, panel_table, patterns
from ladderfe.sections.panels import panels_of
from ladderfe.sections.patch_load import SeatedWeb

EXACT = 1e-9
THIN = Box(depth=100, width=150, top=2, bottom=2, minus=2, plus=2)


def findings(made, shape, **changes):
    """Findings of a straight ladder whose rails bend upright only: load and springs in the rails' planes, crossmembers
    without weight."""
    steel = replace(made.WEIGHTLESS, youngs_modulus=210e3)
    chassis = made.chassis(rails=made.rails(shape), material=steel, **changes)
    return check(chassis, assumptions=False)


@pytest.fixture(scope="module")
def thin(made):
    return findings(made, THIN)


@pytest.fixture(scope="module")
def stocky(made):
    return findings(made, Box(depth=100, width=100, top=4, bottom=4, minus=4, plus=4))


def test_utilisation_of_the_worked_box_is_its_moment_over_its_effective_modulus(thin):
    """W_eff = 26131.3143 mm3 (150 x 100 x 2 mm, fy 235; derived by hand) times the permissible 165 N/mm2, in every
    case, sagging and hogging alike; to the digits of W_eff and the little that rails rack."""
    f = thin
    uses = {u.case: u for u in f.buckling.effective if u.part == "left rail"}
    assert set(uses) == {"static", "twice"}
    own = [m in f.solution.mesh.part("left rail").members for m in f.rows.member]
    for name, u in uses.items():
        moment = np.abs(f.rows.resultants[own, 4, f.solution.case(name)]).max()
        assert u.ratio == pytest.approx(moment / (26131.3143 * 165), rel=1e-6)
        assert u.stress < 0
        assert u.area == pytest.approx(880.30834 / 984, rel=1e-6)
        assert abs(u.shift[1]) == pytest.approx(50 - 44.2282822, rel=1e-6)
        assert [kept for _, kept in u.lost] == [pytest.approx(0.644891574, rel=1e-6)]


def test_gross_walls_stay_for_stress_and_stiffness(thin):
    """The stresses of the findings are those of the gross section: (150 x 100^3 - 146 x 96^3)/12."""
    f = thin
    gross = (150 * 100**3 - 146 * 96**3) / 12
    peak = np.abs(f.stresses.normal[:, :, 1:]).max()
    assert peak == pytest.approx(np.abs(f.rows.resultants[:, 4, 1:]).max() * 50 / gross, rel=1e-6)
    assert max(u.ratio for u in f.buckling.effective) > max(
        u.ratio for u in f.utilisations if u.criterion == "bending"
    )


def test_stocky_walls_lose_nothing(stocky):
    b = stocky.buckling
    assert (b.effective, b.kept, b.shear, b.tubes) == ((), (), (), ())
    assert b.ratio == 0
    assert not b.slender
    assert not b.exceeded
    assert {w.rho for w in b.walls} == {1.0}
    assert all(w.onset < w.thickness for w in b.walls)


def test_left_and_right_lose_alike(thin):
    found = {side: [(u.case, u.along, u.ratio) for u in thin.buckling.effective if u.part == f"{side} rail"]
             for side in ("left", "right")}  # fmt: skip
    assert len(found["left"]) == 2
    for one, other in zip(found["left"], found["right"], strict=True):
        assert one[0] == other[0]
        assert one[1:] == pytest.approx(other[1:], rel=1e-6)


def test_onset_of_flanges(thin):
    """146/(28.4 x 2 x 0.673) = 3.82 mm in uniform compression."""
    flange = next(w for w in thin.buckling.walls if (w.part, w.wall) == ("left rail", "top"))
    assert flange.onset == pytest.approx(146 / (28.4 * 2 * (0.5 + 0.03**0.5)), rel=1e-9)
    assert (flange.held, flange.psi, flange.grade) == ("internal", pytest.approx(1.0), 4)


@pytest.mark.parametrize(("top", "bottom", "web"), [(4, 3, 1.7), (1.5, 4, 1.2), (1, 8, 0.9)])
def test_a_web_alone_at_its_onset_thickness_is_just_whole(made, top, bottom, web):
    """With the same forces on the section in which only that web has another thickness: rho is 1 just above its onset
    and less just below.  0.5 %: the web thins about its mid-line here and from inside there, so its place moves."""
    tall = Box(depth=240, width=60, top=top, bottom=bottom, minus=web, plus=web)
    f = findings(made, tall)
    found = next(w for w in f.buckling.walls if (w.part, w.wall) == ("right rail", "outer"))
    row = next(r for r in np.nonzero(f.rows.along == found.along)[0]
               if f.rows.member[r] in f.solution.mesh.part("right rail").members)  # fmt: skip
    moment = f.rows.resultants[row, 4, f.solution.case(found.case)]
    for factor, whole in ((1.005, True), (0.995, False)):
        section = replace(tall, plus=found.onset * factor).section()
        panel = next(i for i, p in enumerate(panels_of(section)) if p.name == "plus")
        assert (rho_of_panels(section, float(moment))[panel] == 1) == whole


def rho_of_panels(section, moment):
    """rho of the panels by the stress on the gross section under My alone."""
    table, zero = panel_table((section,)), np.zeros(1, dtype=np.int64)
    places = edge_places(table, zero).reshape(1, -1, 2)
    edges = gross_stress(table, zero, np.array([[0.0, moment, 0.0]]), places).reshape(1, -1, 2)
    return patterns(table, zero, edges, 1.0).rho[0]


def test_walls_below_half_are_named(made):
    """Clear 146 mm of 0.8 mm: lambda = 3.21, rho = (3.21 - 0.22)/3.21^2 = 0.29."""
    f = findings(made, replace(THIN, top=0.8))
    walls = {(part, wall): kept for part, wall, kept in f.buckling.below_half}
    x = 146 / 0.8 / 56.8
    assert walls[("left rail", "top")] == pytest.approx((x - 0.22) / x**2, rel=1e-6)
    assert all(kept < 0.5 for kept in walls.values())


def test_nothing_that_governs_is_left_out(thin, demo_findings, monkeypatch):
    """The same with every place and case looked at, however little it bears."""
    for f in (thin, demo_findings):
        monkeypatch.setattr(thin_walls, "WORTH", 0.0)
        monkeypatch.setattr(thin_walls, "LEAST", 0.0)
        every = buckling(f.solution, f.rows, f.stresses, f.chassis.criteria)
        assert len(every.looked_at[2].row) > len(f.buckling.looked_at[2].row)
        assert every.ratio == pytest.approx(f.buckling.ratio, rel=EXACT)


def test_stress_on_effective_walls_is_that_of_each_place_alone(demo_findings):
    """Places solved together against one by one, with the stress of warping added as on gross walls."""
    f = demo_findings
    d = demands(f.solution.mesh, f.rows, f.stresses, 235.0)
    chosen = d.slender()[:4]
    assert len(chosen)
    together = remaining_stress(d, f.stresses, chosen, d.effective(chosen))
    for k, n in enumerate(chosen):
        if (d.extra[n] == 0).all():
            section = d.sections[int(d.section[n])]
            _, alone = effective_section(section, *d.force[n], youngs_modulus=205e3)
            places = d.points.places[d.section[n]][None]
            held = d.points.panel[d.section[n]] < 0
            assert together[k, held] == pytest.approx(alone.stress(places)[0, held], rel=1e-6)
        one = remaining_stress(d, f.stresses, chosen[k : k + 1], d.effective(chosen[k : k + 1]))[0]
        assert together[k] == pytest.approx(one, rel=1e-6, abs=1e-6)


def test_stress_at_a_lost_tip_is_that_of_the_edge_that_is_left(demo_findings):
    """The demo's crossmember of channel loses a flange's tip: its "free edge" is where the cut wall ends."""
    f = demo_findings
    d = demands(f.solution.mesh, f.rows, f.stresses, 235.0)
    tips = [k for k, panels in enumerate(d.table.panels) if any(p.outstand for p in panels)]
    n = next(int(n) for n in d.slender() if int(d.section[n]) in tips)
    found, k = d.effective(np.array([n])), int(d.section[n])
    panel = next(i for i, p in enumerate(d.table.panels[k]) if found.patterns.lost[0, i] > 0)
    own = d.table.panels[k][panel]
    assert own.outstand
    lost = float(found.patterns.lost[0, panel])
    labels = f.stresses.table.labels[int(f.stresses.section[d.row[n]])]
    tip = next(p for p, text in enumerate(labels) if text.startswith(f"{own.name}, free edge"))
    inward = np.array(own.along) * (1 if own.tip == 0 else -1)
    place = d.points.places[k, tip]
    change = found.stress((place + lost * inward)[None, None])[0, 0] - gross_stress(
        d.table, d.section[[n]], d.force[[n]], place[None, None]
    )[0, 0]
    left = remaining_stress(d, f.stresses, np.array([n]), found)[0, tip]
    assert lost > 1
    assert left == pytest.approx(f.stresses.normal[d.row[n], tip, d.case[n]] + change, rel=EXACT)


def test_slender_webs_have_less_shear(plain_findings):
    """Test frame, 146 mm by 2 mm: tau_cr = 5.34 x 185 284 (2/146)^2 at E = 205 000, lambda_w = 0.76 sqrt(235/tau_cr),
    chi_w = 0.83/lambda_w; 824.9 kgf (the hand calculation) over the clear heights, 2 x 146 x 2 mm2 (EN 1993-1-5 5.2),
    are 13.85 N/mm2 in case "amplified"."""
    u = next(u for u in plain_findings.buckling.shear if u.case == "amplified" and u.part == "left rail")
    critical = 5.34 * np.pi**2 * 205e3 / 12 / 0.91 * (2 / 146) ** 2
    assert u.chi == pytest.approx(0.83 / (0.76 * (235 / critical) ** 0.5), rel=1e-9)
    assert u.limit == pytest.approx(100 * u.chi, rel=EXACT)
    at_axle = max(u.stress for u in plain_findings.buckling.shear if u.case == "amplified")
    assert at_axle == pytest.approx(824.9 * 9.80665 / 584, rel=5e-3)
    assert u.together == u.ratio


def test_shear_beside_bending(made):
    """Over half of its limit shear counts: bending + (2 ratio - 1)^2, EN 1993-1-5 7.1 without the flanges' moment;
    never less than shear alone asks (5.5): at 0.7 of its limit and hardly bent the first gives 0.16 + bending."""
    found = [u for u in findings(made, Box(depth=200, width=60, top=3, bottom=3, minus=0.6, plus=0.6)).buckling.shear
             if u.kind == "rail"]  # fmt: skip
    assert any(u.ratio > 0.5 for u in found)
    for u in found:
        expected = max(u.ratio, u.bending + (2 * u.ratio - 1) ** 2) if u.ratio > 0.5 else u.ratio
        assert u.together == pytest.approx(expected, rel=EXACT)


def test_shear_of_webs_hardly_bent_counts_whole(made):
    """Of each web and case the row that asks most: no row has more shear over its limit than is told."""
    f = findings(made, Box(depth=200, width=60, top=3, bottom=3, minus=0.6, plus=0.6))
    told = {(u.case, u.part, u.wall): u for u in f.buckling.shear if u.kind == "rail"}
    parts = f.solution.mesh.part_of()[f.rows.member]
    for (case, part, wall), u in told.items():
        c, own = f.solution.case(case), [p.name == part for p in f.solution.mesh.parts]
        rows = np.isin(parts, np.flatnonzero(own))
        names = [f.stresses.table.mean_walls[int(k)] for k in f.stresses.section[rows]]
        at = [[i for i, n in enumerate(walls) if n == wall] for walls in names]
        most = max(abs(s[i, c]) for s, k in zip(f.stresses.mean[rows], at, strict=True) for i in k)
        assert u.together >= most / u.limit * (1 - EXACT)


def test_spring_seats_push_webs(thin):
    """One seat a spring under the rail's middle: half the force into each web, which stands a patch of 50 mm."""
    f = thin
    assert len(f.buckling.seats) == 4
    web = SeatedWeb(height=96, thickness=2, flange_thickness=2, flange_sides=(73.0, 0.0), flange_held=True)
    for u in f.buckling.seats:
        spring = next(k for k, s in enumerate(f.solution.springs) if s.seats[0][0] == u.seat)
        assert u.case == "twice"
        assert u.force == pytest.approx(f.solution.support_forces[spring, f.solution.case("twice")], rel=EXACT)
        assert (u.share, u.rule) == (pytest.approx(0.5), "patch")
        assert u.resistance == pytest.approx(web.resistance(BEARING), rel=EXACT)
        assert u.ratio == pytest.approx(0.5 * u.force / (u.resistance * 165 / 235), rel=EXACT)
        assert u.together == pytest.approx(max(u.ratio, (u.ratio + 0.8 * u.bending) / 1.4), rel=EXACT)
        assert sum(u.shares) == pytest.approx(u.together, rel=EXACT)
        bent = replace(u, ratio=0.7, bending=1.05)
        assert bent.shares == pytest.approx((0.5, 0.6), rel=EXACT)
        assert replace(bent, rule="crippling").shares == pytest.approx((0.56, 0.84), rel=EXACT)  # EN 1993-1-3 6.1.11


def test_bending_beside_a_seat_is_on_effective_walls(thin):
    """EN 1993-1-5 7.2 with 4.6, from memory: the moment at the seat over W_eff = 26131.3143 mm3 (above) times 165."""
    f = thin
    for u in f.buckling.seats:
        part, c = f.solution.mesh.part(u.part), f.solution.case(u.case)
        here = [m in part.members and abs(x - u.along) < 1
                for m, x in zip(f.rows.member, f.rows.along, strict=True)]  # fmt: skip
        moment = np.abs(f.rows.resultants[here, 4, c]).max()
        assert u.bending == pytest.approx(moment / (26131.3143 * 165), rel=1e-6)


def test_bending_beside_shear_is_on_effective_walls(made):
    """Flanges 160 x 2 mm lose width: bending beside shear over a half is the stress on what is left, however little it
    is beside the greatest of the frame (`effective_section` alone, My only)."""
    shape = Box(depth=200, width=160, top=2, bottom=2, minus=0.6, plus=0.6)
    f = findings(made, shape)
    found = [u for u in f.buckling.shear if u.kind == "rail" and u.ratio > 0.5]
    assert found
    for u in found:
        part, c = f.solution.mesh.part(u.part), f.solution.case(u.case)
        here = [m in part.members and x == u.along for m, x in zip(f.rows.member, f.rows.along, strict=True)]
        stresses = []
        for moment in f.rows.resultants[here, 4, c]:
            _, left = effective_section(shape.section(), 0.0, float(moment), youngs_modulus=210e3)
            corners = np.array([[[y, z] for y in (-80.0, 80.0) for z in (-100.0, 100.0)]])
            stresses.append(np.abs(left.stress(corners)).max())
        assert u.bending == pytest.approx(max(stresses) / 165, rel=2e-2)


def test_a_seat_counts_in_every_case_that_pushes_it(thin):
    """Of the case that asks most as told, of others by their own force and bending; all over a limit are counted."""
    f = thin
    for u in f.buckling.seats:
        by_case = dict(u.by_case)
        assert by_case[u.case] == u.together == max(by_case.values())
        k = next(k for k, s in enumerate(f.solution.springs) if s.seats[0][0] == u.seat)
        pushed = [c.name for c, force in zip(f.solution.cases, f.solution.support_forces[k], strict=True) if force > 0]
        assert set(by_case) == set(pushed) - {f.solution.cases[0].name}
    twice = replace(f.buckling.seats[0], by_case=tuple((c.name, 1.5) for c in f.solution.cases[1:]))
    over = replace(f, buckling=replace(f.buckling, seats=(twice,)))
    assert {name for name, _ in over.cases_over()} == {c.name for c in f.solution.cases[1:]}


def test_seats_that_no_web_stands_under_are_told(made, thin):
    """Over a hole in the bottom of a box, and on tubes, which have no flat wall."""
    assert (thin.buckling.webless, "NOT CHECKED" in " ".join(buckling_text(thin))) == ((), False)
    rows = "side,station,wall,reading,to,rim\nleft,3250,bottom,hole,3350,0\n"
    frame = made.chassis()
    f = check(as_found(frame, readings_from_text(rows, "r.csv", frame)).chassis, assumptions=False)
    bare = ("rear axle, left spring, seat 1", "left rail", 3300.0)
    assert f.buckling.webless == (bare,)
    assert len(f.buckling.seats) == 3
    words = " ".join(" ".join(buckling_text(f)).split())
    assert f"NOT CHECKED: force at {bare[0]} (left rail at 3300 mm): the rail has no upright web" in words
    tubes = findings(made, made.Tube(diameter=140, wall=6)).buckling
    assert (len(tubes.seats), len(tubes.webless)) == (0, 4)


def test_seats_aside_load_one_web_more(made):
    """Springs 20 mm inside the rails' middles, webs 148 mm apart: 1/2 + 20/148 of the force into the inner web."""
    axles = tuple(replace(a, spring_base=2 * made.HALF - 40) for a in made.AXLES)
    for u in findings(made, THIN, axles=axles).buckling.seats:
        assert (u.wall, u.share) == ("inner", pytest.approx(0.5 + 20 / 148, rel=1e-6))


def test_webs_with_bends_cripple():
    channel = Channel(depth=150, width=60, web=4, top=4, bottom=4, opens="+y", radius=8).section()
    ((panel, web),) = seated_webs(channel, float("inf"), 235.0, 210e3)
    assert (panel.name, web.rule, web.radius) == ("web", "crippling", pytest.approx(4.0))
    assert web.height == pytest.approx(146.0)  # between the flanges' mid-lines
    assert web.flange_sides == (pytest.approx(52.0), 0)
    assert not web.flange_held
    sharp = seated_webs(replace(Channel(depth=150, width=60, web=4, top=4, bottom=4, opens="+y")).section(), 1e9, 235.0,
                        210e3)  # fmt: skip
    assert [(w.rule, w.height, w.flange_sides[0]) for _, w in sharp] == [("patch", 142.0, 56.0)]


def test_over_a_limit_on_effective_walls_only_counts(made):
    """A limit between the stress on gross and that on effective walls."""
    f = findings(made, THIN)
    gross = max(u.stress if u.stress > 0 else -u.stress for u in f.utilisations if u.criterion == "bending")
    left = max(abs(u.stress) for u in f.buckling.effective)
    limits = made.Criteria(bending=(gross + left) / 2, shear=1e3, von_mises=1e3)
    again = findings(made, THIN, criteria=limits)
    assert again.utilisations[0].ratio < 1
    assert again.buckling.exceeded
    assert again.exceeded


def test_thin_tubes_are_named(made):
    """Class 3 ends at 90 eps^2: 59.6 times as wide as thick at a yield stress of 355."""
    crosses = (*made.LADDER[:2], made.cross("rear", 3900.0, made.Tube(diameter=120, wall=1.2)))
    steel = replace(made.WEIGHTLESS, youngs_modulus=210e3, yield_stress=355.0)
    b = check(made.chassis(rails=made.rails(THIN), material=steel, crossmembers=crosses), assumptions=False).buckling
    assert b.tubes == (("rear", pytest.approx(100.0), pytest.approx(90 * 235 / 355)),)


def test_jacks_and_stands_push_webs(made):
    """By hand, EN 1993-1-5 6.2 to 6.5 type (a), from memory, for 96 x 2 mm webs on 2 mm flanges, 235 N/mm2: m1 =
    (2 + 15 x 2)/2 = 16, l_y = 50 + 2 x 2 (1 + 4) = 70 mm, F_cr = 0.9 x 6 x 210000 x 2^3/96 = 94500 N, lambda =
    sqrt(70 x 2 x 235/94500) = 0.590, F = 0.5/lambda x 32900 = 27880 N.  Half of the jack's force in each web."""
    mounts = tuple(made.mount(f"{s} pad {x}", f"{s} rail", float(x), y)
                   for s, y in (("left", -made.HALF), ("right", made.HALF)) for x in (1000, 2900))  # fmt: skip
    pads = tuple(m.name for m in mounts)
    jack = made.CaseSpec(name="jack", kind="jack", at=pads[:1], factor=1.1)
    stands = made.CaseSpec(name="stands", kind="stands", at=pads)
    both = made.CaseSpec(name="twice the jack", kind="combination", of=(("jack", 2.0),))
    axles = tuple(replace(a, pull=float("inf")) for a in made.AXLES)
    f = findings(made, THIN, mounts=mounts, axles=axles, cases=(made.STATIC, jack, stands, both))
    s, found = f.solution, {u.seat: u for u in f.buckling.seats}
    push = s.support_forces[s.supports.index(f"{pads[0]}, along z")]
    stand = s.support_forces[[s.supports.index(p) for p in pads], s.case("stands")]
    jacked = found[pads[0]]
    assert set(found) >= set(pads)
    assert (jacked.case, jacked.force) == ("twice the jack", pytest.approx(2 * push[s.case("jack")], rel=EXACT))
    assert dict(jacked.by_case).keys() == {"jack", "stands", "twice the jack"}
    resistance = 0.5 / (70 * 2 * 235 / 94500) ** 0.5 * 70 * 2 * 235
    assert jacked.ratio == pytest.approx(push[s.case("jack")] / (resistance * 165 / 235), rel=1e-6)
    assert [found[p].force for p in pads[1:]] == pytest.approx(stand[1:], rel=EXACT)
    told = " ".join(" ".join(forces_text(f)).split())
    most = next(u for u in f.buckling.seats if u.seat in pads)
    assert f"{most.seat} asks most, {most.force / 2000:.2f} of {resistance * 165 / 235000:.2f} kN on one web" in told
