"""Force in welds: plates as free bodies, V Q/I of a doubled beam, welds all round against a handbook's closed form."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from ladderfe.advice.weld_sizes import FilletSize, weld_sizes
from ladderfe.checks import check
from ladderfe.checks.plate_forces import PlateRun, couple_coefficients
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.stress import stresses
from ladderfe.checks.weld_butts import rows_at
from ladderfe.checks.weld_demands import demands_of, weld_demands
from ladderfe.checks.weld_joints import end_load, joint_demands, outline
from ladderfe.checks.weld_plates import free_body
from ladderfe.condition.plan_schema import PlateTable
from ladderfe.connections import PlateEnd, line_forces, weld_group, weld_steel
from ladderfe.connections.applied import Applied
from ladderfe.report.weld_text import weld_text
from ladderfe.sections import Box, Tube

PLATE = '[[plates]]\nkind = "{kind}"\nrail = "left"\n{wall}from = {a}\nto = {b}\nthickness = {t}\n{more}\n'
UNLOADED = '[repair]\nsupport = "unloaded"\n'
#: Depth, width and wall of the test frame's rails, mm; thickness and width of the plate on them.
H, W, WALL, T, BREADTH = 150.0, 75.0, 2.0, 3.0, 50.0


def plate(kind="flange", wall="bottom", a=1500, b=2000, t=T, more=f"width = {BREADTH:g}"):
    return PLATE.format(kind=kind, wall=f'wall = "{wall}"\n' if wall else "", a=a, b=b, t=t, more=more)


def demands(plans, folder, text, **more):
    if "base" not in more:
        plans.frame(folder)
    return weld_demands(plans.planned(folder, text, **more))


def carried_by_welds(flows):
    """(s, c) what the first end's weld and both seams up to each station have brought into the plate."""
    each = flows.flow.mean(axis=1).sum(axis=1) * np.diff(flows.station)[:, None]
    return flows.end_weld[0] + np.concatenate([np.zeros_like(each[:1]), np.cumsum(each, axis=0)])


@pytest.mark.parametrize("text", [
    plate(), plate(b=2120, more='ends = "tapered"\ntaper = 60'), plate(more='ends = "spear"'),
    plate(more="end_weld = false"), plate(kind="cheek", wall="outer", more="width = 100\noffset = 10"),
    plate(a=1300, b=1500), UNLOADED + plate(wall="top", a=2600, b=2800),
], ids=["square", "tapered", "spear", "no end weld", "cheek", "over a crossmember", "unloaded"])  # fmt: skip
def test_a_plate_is_a_free_body(plans, tmp_path, text):
    """At every station its welds up to there have brought in what it carries, in every case, to 1e-9 of the greatest;
    what is left at the rear end is in the weld across it."""
    flows = demands(plans, tmp_path, text).plates[0].flows
    size = np.abs(flows.carried).max()
    assert size > 100
    sums = carried_by_welds(flows)
    # a trapezium under flow that is linear over each interval is exact; the force itself is piecewise quadratic
    assert np.abs(sums - flows.carried).max() <= 1e-9 * size
    assert np.abs(sums[-1] - flows.end_weld[1]).max() <= 1e-9 * size


def test_flow_of_a_doubled_beam(plans, tmp_path):
    """V Q/I by hand, Jourawski: the shear is the test frame's own, from the solution's resultants at 3000 mm."""
    d = demands(plans, tmp_path, UNLOADED + plate(a=2850, b=3150))
    area = H * W - (H - 2 * WALL) * (W - 2 * WALL) + BREADTH * T
    arm = -(H + T) / 2
    z = arm * BREADTH * T / area
    own = (W * H**3 - (W - 2 * WALL) * (H - 2 * WALL) ** 3) / 12
    inertia = own + BREADTH * T**3 / 12 + BREADTH * T * arm**2 - area * z**2
    solution = d.findings.solution
    m = next(m for m in solution.mesh.part("left rail").members if solution.mesh.along[m][0] <= 3000
             < solution.mesh.along[m][1])  # fmt: skip
    x = np.array([3000 - solution.mesh.along[m][0]])
    shear = solution.resultants(np.array([m]), x)[0, 2]
    wanted = shear * BREADTH * T * (arm - z) / inertia
    flows = d.plates[0].flows
    middle = (flows.station[:-1] + flows.station[1:]) / 2
    found = np.stack([np.interp(3000, middle, v) for v in flows.flow.mean(axis=1).sum(axis=1).T])
    assert np.abs(wanted).max() > 10
    assert found == pytest.approx(wanted, rel=1e-3)  # shear changes along the beam, 10 mm count as one


def test_a_plate_welded_under_load_feels_what_comes_after(plans, tmp_path):
    """Welded as it stands in a case, that case brings nothing and each other its difference."""
    whole = demands(plans, tmp_path, UNLOADED + plate()).plates[0].flows
    text = '[repair]\nsupport = "static"\n' + plate()
    d = weld_demands(plans.planned(tmp_path, text))
    k = [c.name for c in d.findings.solution.cases].index("static")
    after = d.plates[0].flows
    assert np.abs(after.carried[:, k]).max() <= 1e-9 * np.abs(after.carried).max()
    wanted = whole.carried - whole.carried[:, k, None]
    assert np.allclose(after.carried, wanted, atol=1e-9 * np.abs(whole.carried).max())


def test_jumps_come_in_over_their_length():
    """A force of 1000 N that comes in at one node, spread over 100 mm: 5 N/mm in each weld there, none elsewhere."""
    force = np.array([0.0, 0.0, 1000.0, 1000.0])[:, None]
    run = PlateRun(("p",), np.array([0.0, 200, 200, 400]), np.array([0, 0, 1, 1]), np.zeros(4), force, np.zeros((4, 1)))
    square = PlateEnd(zone=0.0, across=1.0)
    flows = free_body(run, (0.0, 400.0), (square, square), 100.0)
    assert flows.station.tolist() == [0, 150, 200, 250, 400]
    assert flows.flow[:, 0, :, 0].tolist() == pytest.approx(np.array([[0, 0], [5, 5], [5, 5], [0, 0]]))
    assert flows.end_weld[:, 0].tolist() == [0.0, 1000.0]


def test_the_weld_across_an_upright_plate_carries_its_couple(plans, tmp_path):
    """M z/I by hand for the section; at the ends the greatest line force is the plate's thickness times the greatest
    stress in it as the stresses of all members have it (on its faces, 1.5 mm off its middle: 2 %)."""
    d = demands(plans, tmp_path, UNLOADED + plate(kind="cheek", wall="outer", a=1800, b=2200, more="width = 100"))
    own, solution = d.plates[0], d.findings.solution
    mesh, b = solution.mesh, 100.0
    inertia = (W * H**3 - (W - 2 * WALL) * (H - 2 * WALL) ** 3) / 12 + T * b**3 / 12
    for k, end in enumerate(own.ends):
        m = next(m for m in mesh.part("left rail").members if abs(mesh.along[m][k] - end.station) < 1)
        section = int(mesh.section_of[m])
        found = couple_coefficients(mesh.shapes[section], mesh.sections[section], ["outer plate"])
        assert found[4] == pytest.approx(T * b**3 / 12 / inertia, rel=1e-9)  # of My
        rows = rows_at(solution, "left", end.station)
        s, r = stresses(solution, rows), rows.member.tolist().index(m)
        points = [p for p, w in enumerate(s.table.walls[int(s.section[r])]) if w == "outer plate"]
        corner = T * np.abs(s.normal[r, points]).max(axis=0)
        assert end.flow == pytest.approx(corner[1:].max(), rel=0.02)
        assert end.flow > 3 * abs(end.across) / b
    sizes = [f for f in weld_sizes(d, weld_steel("S235")).plates if f.kind == "end"]
    assert [f.force for f in sizes] == [e.flow for e in own.ends]


@pytest.mark.parametrize(("end", "held"), [
    (PlateEnd(zone=0.0, across=1.0), 1.0), (PlateEnd(zone=80.0), 0.0),
    (PlateEnd(zone=60.0, across=1 / 3, tapered=True), 1 / 27), (PlateEnd(zone=60.0, tapered=True), 0.0),
], ids=["square", "no end weld", "tapered", "spear"])  # fmt: skip
def test_welds_close_the_couple_of_a_plate(end, held):
    """By statics: the same couple all along comes in at one end and goes out at the other, in the weld across as far as
    its width goes (b^3 of an even gradient) and by opposite flows in both edges on the arm between them."""
    b, couple = 50.0, 1e6
    zero = np.zeros((2, 1))
    run = PlateRun(("p",), np.array([0.0, 400]), np.array([0, 0]), np.zeros(2), zero, zero, np.full((2, 1), couple))
    flows = free_body(run, (0.0, 400.0), (end, end), 100.0, None, b)
    assert flows.weld_couple[:, 0] == pytest.approx([held * couple] * 2)
    s = flows.station
    at = np.linspace(0, 1, 5)
    for half in (slice(0, None), slice(None, None, -1)):
        total, way = held * couple, 1.0 if half.step is None else -1.0
        for i in range(len(s) - 1):
            x = s[i] + at * (s[i + 1] - s[i])
            away = x if way > 0 else 400 - x
            width = b * np.where(away < end.zone, end.across + (1 - end.across) * away / (end.zone or 1), 1.0)
            arm = width if end.tapered else np.full_like(x, b)
            flow = flows.flow[i, 0, :, 0][:, None] * (1 - at) + flows.flow[i, 1, :, 0][:, None] * at
            if away.max() <= 200 or away.min() < end.zone:
                assert flow[0] == pytest.approx(-flow[1])
                y = way * flow[1] * arm
                total += (7 * y[0] + 32 * y[1] + 12 * y[2] + 32 * y[3] + 7 * y[4]) / 90 * (s[i + 1] - s[i])  # Boole
        assert total == pytest.approx(couple, rel=1e-9)


def test_boxing_plates_and_walls_put_back_are_found(plans, tmp_path):
    """A flush boxing plate is a wall of the box it makes, and a plate over a hole is the wall that was gone."""
    plans.frame(tmp_path, plans.CHANNEL)
    text = plate(kind="boxing", wall="", a=1400, b=2700, more='face = "inside"')
    boxed = demands(plans, tmp_path, text, base="frame.toml")
    assert [e.name for e in boxed.plates[0].edges] == ["lower edge", "upper edge"]
    assert boxed.plates[0].width == 150 - 2 * 4  # between the flanges; 150 over their edges
    assert {r.kind: r.length for r in boxed.runs} == {"seam": 2 * 1300}
    outside = demands(plans, tmp_path, text.replace("inside", "outside"), base="frame.toml")
    assert outside.plates[0].width == 150
    assert {r.kind: r.length for r in outside.runs} == {"seam": 2 * 1300}
    unsaid = demands(plans, tmp_path, text.replace('face = "inside"', ""), base="frame.toml")
    assert unsaid.plates[0].width == 142
    assert "inside, between the flanges, when left out" in PlateTable.model_fields["face"].description
    (tmp_path / "hole").mkdir()
    over = demands(plans, tmp_path / "hole", plate(a=1950, b=2150, more=""), readings="left,2000,bottom,hole,2080,10\n")
    found = over.plates[0]
    assert found.force != 0
    assert np.abs(carried_by_welds(found.flows) - found.flows.carried).max() <= 1e-9 * np.abs(found.flows.carried).max()


@pytest.mark.parametrize("face", ["inside", "outside"])
def test_square_ends_of_a_boxing_plate_are_no_weld(plans, tmp_path, face):
    """At a channel's open side there is no wall for a weld across to be on: what the plate carries up to its end, force
    and couple, comes in along both edges."""
    plans.frame(tmp_path, plans.CHANNEL)
    d = demands(plans, tmp_path, plate(kind="boxing", wall="", a=1400, b=2700, more=f'face = "{face}"'),
                base="frame.toml")  # fmt: skip
    own = d.plates[0]
    assert [(e.length, e.across, e.flow) for e in own.ends] == [(0, 0, 0)] * 2
    assert np.abs(own.flows.end_weld).max() == np.abs(own.flows.weld_couple).max() == 0
    assert np.abs(own.flows.end_couple[:, 1:]).max() > 1e4
    assert not [f for f in weld_sizes(d, weld_steel("S235")).plates if f.kind == "end" and f.length]
    assert any("no weld is counted across its ends" in w for w in remarks(d.states))


@pytest.mark.parametrize("face", ["inside", "outside"])
def test_tapered_ends_of_a_boxing_plate_are_no_weld(plans, tmp_path, face):
    """Between a channel's flanges a plate that narrows lies on nothing: its seams end where it is whole, and bring in
    there what it carries; metres and forces are those of one plate."""
    turn = '[[cases]]\nname = "turn"\nkind = "cornering"\nside = "left"\nacceleration = 0.4\n'
    plans.frame(tmp_path, plans.CHANNEL, turn)
    more = f'face = "{face}"\nends = "tapered"\ntaper = 50'
    d = demands(plans, tmp_path, plate(kind="boxing", wall="", a=1400, b=2700, more=more), base="frame.toml")
    assert {r.kind: r.length for r in d.runs} == {"seam": 2 * (1300 - 2 * 50)}
    own = d.plates[0]
    assert [e.length for e in own.ends] == [0, 0]
    assert (own.flows.station[0], own.flows.station[-1]) == (1450, 2650)
    assert np.abs(own.flows.end_weld).max() == 0
    assert [e.zone for e in own.ends] == [2 * own.width] * 2  # with no weld across: AISC 360 F13.3, from memory
    size = np.abs(own.flows.carried).max()
    assert size > 100
    assert np.abs(carried_by_welds(own.flows) - own.flows.carried).max() <= 1e-9 * size
    (told,) = (w for w in remarks(d.states) if "tapered ends" in w)
    assert "No weld is counted along or across its tapered ends" in told


@pytest.mark.parametrize("ends", ["", 'ends = "tapered"', 'ends = "spear"', "end_weld = false"])
@pytest.mark.parametrize("kind", ["flange", "boxing"])
def test_welds_across_ends_are_as_long_where_they_are_counted_and_where_they_are_sized(plans, tmp_path, kind, ends):
    plans.frame(tmp_path, plans.CHANNEL)
    text = plate(kind=kind, wall="bottom" if kind == "flange" else "", a=1400, b=2700, more=ends)
    d = demands(plans, tmp_path, text, base="frame.toml")
    counted = sum(r.length for r in d.runs if r.kind == "end")
    assert sum(e.length for e in d.plates[0].ends) == pytest.approx(counted)


def handbook(depth, width, moment, about):
    """Greatest N/mm of a rectangle of lines: bending by S = w d + d^2/3 about the width's axis (Blodgett, Table 5, from
    memory), torque by r J_w^-1 with J_w = (w + d)^3/6."""
    if about == "x":
        section = width * depth + depth**2 / 3
    elif about == "z":
        section = width * depth + width**2 / 3
    else:
        section = (width + depth) ** 3 / 6 / np.hypot(width / 2, depth / 2)
    return moment / section


@pytest.mark.parametrize("about", ["x", "y", "z"])
def test_a_box_welded_all_round_under_a_moment(about):
    start, end = (np.stack([p[:, 0], 0 * p[:, 0], p[:, 1]], axis=1) for p in outline(Box(
        depth=80.0, width=60.0, top=2.0, bottom=2.0, minus=2.0, plus=2.0)))  # fmt: skip
    moment = 1e6 * np.eye(3)["xyz".index(about)]
    found = line_forces(weld_group(start, end), Applied.of((0, 0, 0), (0, 0, 0), moment)).greatest
    assert found == pytest.approx(handbook(80.0, 60.0, 1e6, about), rel=1e-12)


def test_a_tube_is_as_long_as_its_girth():
    start, end = outline(Tube(diameter=60.0, wall=3.0))
    assert np.linalg.norm(end - start, axis=1).sum() == pytest.approx(np.pi * 60, rel=1e-3)


def test_joint_welds_carry_what_the_crossmembers_bring(made):
    """Of a frame in cases of every kind: loads at the ends against the resultants in the crossmember, face by face, and
    the greatest line force against the closed form of the rectangle, all six components added at the four corners."""
    solution = check(made.worked_chassis(*made.every_case()), assumptions=False).solution
    mesh = solution.mesh
    assert len(mesh.joints) == 6
    for joint, demand in zip(mesh.joints, joint_demands(solution), strict=True):
        _, force, moment = end_load(solution, joint)
        # what acts on the face with normal +x' of the part: on the rail at its left end, minus that at its right end
        x = np.array([0.0 if joint.end == 0 else mesh.lengths[joint.member]])
        n, vy, vz, t, my, mz = solution.resultants(np.array([joint.member]), x)[0, :6]
        sign = 1.0 if joint.end == 0 else -1.0
        scale = np.abs(moment).max()
        # x' right = vehicle y, y' forward = -x, z' up
        assert np.abs(force - sign * np.stack([-vy, n, vz], axis=1)).max() <= 1e-9 * max(np.abs(force).max(), 1.0)
        assert np.abs(moment - sign * np.stack([-my, t, mz], axis=1)).max() <= 1e-9 * scale
        d, w = 80.0, 60.0
        length = 2 * (d + w)
        ix, iz = d**2 * (d / 6 + w / 2), w**2 * (w / 6 + d / 2)
        f, m = force[1:], moment[1:]
        corners = []
        for px in (-w / 2, w / 2):
            for pz in (-d / 2, d / 2):
                q = f / length
                turn = m[:, 1] / (ix + iz)
                q = q + np.stack([turn * pz, -m[:, 0] / ix * pz + m[:, 2] / iz * px, -turn * px], axis=1)
                corners.append(np.linalg.norm(q, axis=1))
        assert demand.flow == pytest.approx(np.max(corners), rel=1e-9)
        assert demand.length == length
        assert demand.thickness == 2.0


def test_bolted_joints_have_no_weld(made):
    bolted = made.Joint(kind="bolted", stiffness=made.RIGID.stiffness, given=True)
    parts = (made.cross("front", 100.0, joint_left=bolted), *made.LADDER[1:])
    found = demands_of(check(made.chassis(crossmembers=parts), assumptions=False), None).joints
    assert ["bolts" in j.why for j in found] == [True, False, False, False, False, False]
    assert found[0].lines is None


def test_the_thickness_as_read_counts(plans, tmp_path):
    """A crossmember on a web that was read thinner: the reading limits the leg."""
    d = demands(plans, tmp_path, plate(), readings="left,1400,inner,1.3,,\n")
    own = {(j.part, j.rail): j.thinner for j in d.joints}
    assert own["crossmember second", "left rail"] == 1.3
    assert own["crossmember second", "right rail"] == WALL


def test_butt_joints_take_the_stress_across_and_the_shear_along(plans, tmp_path):
    """A square splice against the stress M z/I + N/A of the rail by hand, at its top and bottom fibres; seams take no
    normal stress; nothing of the case in which it is welded."""
    text = '[repair]\nsupport = "static"\n[[splices]]\nrail = "left"\nstation = 1800\ncut = "square"\n'
    text += '[[inserts]]\nrail = "right"\nwall = "bottom"\nfrom = 1500\nto = 1900\n'
    d = demands(plans, tmp_path, text)
    by = SimpleNamespace(**{b.where.split(" ")[0]: b for b in d.butts})
    solution = d.findings.solution
    k = [c.name for c in solution.cases].index("static")
    own = by.at
    assert np.abs(own.stress.across[:, k]).max() == 0
    m = next(m for m in solution.mesh.part("left rail").members if solution.mesh.along[m][0] <= 1800
             < solution.mesh.along[m][1])  # fmt: skip
    r = solution.resultants(np.array([m]), np.array([1800 - solution.mesh.along[m][0]]))[0]
    inertia = (W * H**3 - (W - 2 * WALL) * (H - 2 * WALL) ** 3) / 12
    wanted = np.abs(r[4] - r[4, k]).max() * (H / 2) / inertia
    assert np.abs(own.stress.across).max() == pytest.approx(wanted, rel=0.02)  # at mid-lines or faces: 1.3 %
    assert np.abs(by.seams.stress.across).max() == 0
    assert np.abs(by.seams.stress.along).max() > 0
    assert set(by.seams.groups) == {"seams"}


def test_sleeves_and_plates_of_one_name(plans, tmp_path):
    """Two plates on both faces of one wall bear one name; a sleeve has slots and no fillets."""
    text = plate(kind="sleeve", wall="", a=2600, b=3100, more="")
    text += plate(more="width = 50\nend_weld = false") + plate(t=2, more='width = 30\nface = "inside"')
    w = weld_sizes(demands(plans, tmp_path, text), weld_steel("S235"))
    told = [(p.plate.kind, p.plate.thickness, [f.kind for f in own]) for p, own in w.by_plate()]
    assert told == [("flange", 3, ["edge"] * 2 + ["end"] * 2), ("flange", 2, ["edge"] * 2 + ["end"] * 2)]
    assert w.by_plate()[0][1][0].length == 500
    assert len(w.slots) == 8
    page = weld_text(w, "file")
    assert page.count("flange plate, left rail, bottom, 1500 to 2000 mm:") == 2


def test_a_throat_that_has_no_room_counts_as_far_as_it_has():
    """Planned 2.1 on a wall of 1.8: 0.7 x 1.8 can be made; runs of 50 mm carry over 50 - 2 x 1.26."""
    f = FilletSize(about="", weld="", kind="edge", force=0.0, case="", place="", throat=0.63, leg=0.9, limit=1.8,
                   wall=0.0, planned=2.1, length=100.0, anchor=0.0, broken=())  # fmt: skip
    assert f.use == pytest.approx(0.5)
    assert f.pitch == pytest.approx((50 - 2.52) / 0.5)
    assert replace(f, planned=1.0).use == pytest.approx(0.63)
    assert replace(f, planned=None).use == pytest.approx(0.5)
