"""The picture of real findings: walls where they are, values that are the printed ones, movements of the frame."""

import numpy as np
import pytest
from PIL import Image

from ladderfe.errors import ModelError
from ladderfe.report.colours import Scale
from ladderfe.report.findings_text import findings_text
from ladderfe.report.frame_scene import VALUES, frame_scene, wall_strips
from ladderfe.report.governing_text import place_words
from ladderfe.report.pictures import draw
from ladderfe.sections import properties

CASE = "front axle bounce"


@pytest.fixture(scope="module")
def scenes(demo_findings):
    return {what: frame_scene(demo_findings, CASE, what) for what in VALUES}


def walls_of(scene, part, wall):
    return [k for k, (p, w) in enumerate(zip(scene.parts, scene.walls, strict=True)) if (p, w) == (part, wall)]


# --- where the walls are ------------------------------------------------------------------------------------------


def test_walls_lie_where_the_tape_says(made):
    """A plain ladder: rails from 362.5 to 437.5 mm beside the centre line, 75 mm up and down; top walls level."""
    from ladderfe.checks import check

    scene = frame_scene(check(made.chassis()), "static", "von-mises")
    for part, sign in (("left rail", -1), ("right rail", 1)):
        own = np.concatenate([scene.quads[k] for k, p in enumerate(scene.parts) if p == part])
        y = np.sort(np.unique(np.abs(own[:, 1]).round(6)))
        assert (np.sign(own[:, 1]) == sign).all()
        assert (y.min(), y.max()) == pytest.approx((362.5, 437.5))
        assert (own[:, 2].min(), own[:, 2].max()) == pytest.approx((-75, 75))
        assert (own[:, 0].min(), own[:, 0].max()) == pytest.approx((0, 4000))
        top = scene.quads[walls_of(scene, part, "top")]
        assert top[..., 2] == pytest.approx(75)
        inner = scene.quads[walls_of(scene, part, "inner")]
        assert inner[..., 1] == pytest.approx(sign * 362.5)
    front = scene.quads[walls_of(scene, "front", "front")]
    assert front[..., 0] == pytest.approx(100 - 30), "crossmember at 100 mm, 60 wide: its front wall"
    assert (front[..., 1].min(), front[..., 1].max()) == pytest.approx((-362.5, 362.5))


def test_all_walls_are_drawn_once_and_whole(made):
    """Areas of the drawn walls of one rail: the outline's perimeter times the length."""
    from ladderfe.checks import check

    scene = frame_scene(check(made.chassis()), "static", "von-mises")
    own = scene.quads[[k for k, p in enumerate(scene.parts) if p == "left rail"]]
    area = np.linalg.norm(np.cross(own[:, 2] - own[:, 0], own[:, 3] - own[:, 1]), axis=1).sum() / 2
    assert area == pytest.approx(2 * (150 + 75) * 4000)


def test_kicked_and_sloping_parts_are_drawn_along_their_lines(demo_findings, scenes):
    """Corner quads of the left rail stay within half its outline of the path; the highest point is on the kick-up."""
    scene = scenes["von-mises"]
    own = np.concatenate([scene.quads[k] for k, p in enumerate(scene.parts) if p == "left rail"])
    path = demo_findings.chassis.rails[0].path
    height = np.interp(own[:, 0], [p.station for p in path], [p.height for p in path])
    assert np.abs(own[:, 2] - height).max() < 71 * 1.1  # half of 140 mm and what the slope of 20 degrees adds
    assert own[own[:, 2].argmax(), 0] > 2700


# --- values -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("what", "table"), [("von-mises", "von_mises"), ("bending", "normal"), ("shear", "shear")])
def test_the_legends_ends_are_the_extremes_of_the_findings(demo_findings, scenes, what, table):
    """Every stress found is at a corner of a wall: greatest and (for the signed one) least value alike."""
    c = demo_findings.solution.case(CASE)
    values = getattr(demo_findings.stresses, table)[:, :, c]
    values = np.abs(values) if what == "shear" else values
    assert scenes[what].highest == pytest.approx(values.max(), rel=1e-12)
    if what == "bending":
        assert scenes[what].lowest == pytest.approx(values.min(), rel=1e-12)


def test_the_greatest_utilisation_in_the_picture_is_the_printed_one(demo_findings, scenes):
    own = [u.ratio for u in demo_findings.utilisations if u.case == CASE]
    assert scenes["utilisation"].highest == pytest.approx(max(own), rel=1e-12)
    assert scenes["utilisation"].text(scenes["utilisation"].highest) == f"{100 * max(own):.1f} %"


def test_a_web_that_shear_governs_is_coloured_by_it(made):
    """With a low limit on average web shear that criterion governs; the picture's greatest is that one."""
    from dataclasses import replace

    from ladderfe.checks import check

    c = made.chassis()
    f = check(replace(c, criteria=replace(c.criteria, shear=2.0)))
    assert f.utilisations[0].criterion == "web shear"
    top = f.utilisations[0]
    scene = frame_scene(f, top.case, "utilisation")
    assert scene.highest == pytest.approx(top.ratio, rel=1e-12)
    wall = int(np.unravel_index(scene.values.argmax(), scene.values.shape)[0])
    assert scene.walls[wall] in ("inner", "outer")


def test_values_sit_at_their_corners(demo_findings, scenes):
    """Prismatic walls of both rails: the value drawn at a corner is N/A + My z/Iyy - Mz y/Izz + B y z/I with the y, z
    and station that the corner itself has; I = int (y z)^2 dA of boxes of equal walls, mid-lines b by h, is b^2 h^2 t
    (b + h)/24, by hand."""
    f, scene = demo_findings, scenes["bending"]
    c, mesh = f.solution.case(CASE), f.solution.mesh
    strips = wall_strips(f)
    seen = set()
    for k in range(0, len(scene.quads), 3):
        m = int(strips.member[k])
        if mesh.parts[int(mesh.part_of()[m])].kind != "rail" or mesh.tapered[m]:
            continue
        q = properties(mesh.sections[int(mesh.section_of[m])])
        box = mesh.shapes[int(mesh.section_of[m])]
        wide, deep = box.width - box.top, box.depth - box.top
        racking = wide**2 * deep**2 * box.top * (wide + deep) / 24
        start, axes = mesh.end_points()[m, 0], mesh.axes[m]
        places = (scene.quads[k] - start) @ axes.T
        found = f.solution.resultants(np.full(4, m), places[:, 0])[..., c]
        for corner, (_, y, z) in enumerate(places):
            n, _, _, _, my, mz, bimoment, _, _ = found[corner]
            by_hand = n / q.A + my * z / q.Iyy - mz * y / q.Izz + bimoment * y * z / racking
            assert scene.values[k, corner] == pytest.approx(by_hand, rel=1e-6, abs=1e-6)
        seen.add((mesh.parts[int(mesh.part_of()[m])].name, scene.walls[k]))
    assert len(seen) == 8, "four walls of two rails"


def test_two_cases_differ(demo_findings, scenes):
    other = frame_scene(demo_findings, "rear axle bounce", "von-mises")
    assert np.abs(other.values - scenes["von-mises"].values).max() > 1
    assert np.abs(other.displacements - scenes["von-mises"].displacements).max() > 0.01
    assert other.case != scenes["von-mises"].case
    assert other.highest != scenes["von-mises"].highest


def test_something_else_to_colour_by_is_refused(demo_findings):
    with pytest.raises(ModelError) as caught:
        frame_scene(demo_findings, CASE, "redness")
    assert str(caught.value) == (
        "picture: 'redness' is not something to colour by. Use one of utilisation, von-mises, bending, shear."
    )


# --- movements, supports, loads -----------------------------------------------------------------------------------


def test_the_frame_is_shown_bent_not_sunk(scenes):
    """No rigid motion is left: mean movement and mean turning about the middle vanish."""
    scene = scenes["von-mises"]
    p, u = scene.quads.reshape(-1, 3), scene.displacements.reshape(-1, 3)
    arm = p - p.mean(axis=0)
    assert np.abs(u.mean(axis=0)).max() < 1e-9 * np.abs(u).max()
    assert np.abs(np.cross(arm, u).mean(axis=0)).max() < 1e-9 * np.abs(u).max() * 4000
    assert 0.1 < scene.greatest_deflection < 20, "the springs' 200 mm are not in it"


def corners_at_a_node(f, member):
    """Places, from the node, and movements of the corners of a member's first section, and the node's unknowns."""
    from ladderfe.report.frame_scene import corner_movements

    s, strips = f.solution, wall_strips(f)
    c = s.case("static")
    flat, place = (a.reshape(-1, 3) for a in (corner_movements(f, strips)[..., c], strips.corners))
    row = int(np.nonzero((f.rows.member == member) & (f.rows.x == 0))[0][0])
    own = np.nonzero(strips.rows.ravel() == row)[0]
    node = int(s.mesh.ends[member, 0])
    u = s.movements[s.frame.start[node] : s.frame.start[node + 1], c]
    return place[own] - s.mesh.nodes[node], flat[own], u


def twisted_ladder(made, **more):
    """A mass beside the left rail, so that it twists, warps and racks."""
    from ladderfe.checks import check

    mounts = (made.mount("tray", "left rail", 1300, -600),)
    masses = (made.mass("box", 0.1, (1300, -600, 0), ("tray",)),)
    return check(made.chassis(mounts=mounts, masses=masses, **more))


def test_corners_move_as_their_sections_do(made):
    """A rail that stays plain (a tube) bends with plane sections: corners differ by rotation times arm."""
    f = twisted_ladder(made, rails=made.rails(made.Tube(diameter=120, wall=3)))
    arms, moves, u = corners_at_a_node(f, f.solution.mesh.part("left rail").first)
    assert len(u) == 6
    for arm, moved in zip(arms, moves, strict=True):
        assert moved == pytest.approx(u[:3] + np.cross(u[3:], arm), rel=1e-9, abs=1e-12)


def test_corners_of_boxes_rack_and_warp(made):
    """On top of that racking g moves webs up and flanges sideways by g/2 (z, y), warping f corners along by f y z."""
    f = twisted_ladder(made)
    arms, moves, u = corners_at_a_node(f, f.solution.mesh.part("left rail").first)
    plain = u[:3] + np.cross(u[3:6], arms)
    _, y, z = arms.T
    own = np.stack([u[7] * y * z, u[6] * z / 2, u[6] * y / 2], axis=1)
    assert moves == pytest.approx(plain + own, rel=1e-9, abs=1e-12)
    assert np.abs(own).max() > 0.01


def test_corners_of_channels_warp(made):
    """On top of that they move along by -w f; thin channel, mid-lines b by h, shear centre e = 3 b^2/(6 b + h) outside
    the web (any text on thin walls): w = -e h/2 at the web's top corner and (b - e) h/2 at the tip, right rail open to
    the left, the other way below."""
    f = twisted_ladder(made, rails=made.rails(made.channel(120, 50, 4, "-y")))
    arms, moves, u = corners_at_a_node(f, f.solution.mesh.part("right rail").first)
    b, h = 48.0, 116.0
    e = 3 * b**2 / (6 * b + h)
    w = np.sign(arms[:, 2]) * np.interp(arms[:, 1], [-25.0, 23.0], [(b - e) * h / 2, -e * h / 2])
    w[np.abs(arms[:, 2]) < 1e-9] = 0.0  # the middle of the web
    own = -u[6] * w
    assert moves[:, 1:] == pytest.approx((u[:3] + np.cross(u[3:6], arms))[:, 1:], rel=1e-9, abs=1e-12)
    assert moves[:, 0] == pytest.approx(u[0] + np.cross(u[3:6], arms)[:, 0] + own, rel=1e-6, abs=1e-9)
    assert np.abs(own).max() > 0.1 * np.abs(moves[:, 0]).max()


@pytest.mark.parametrize("what", ["von-mises", "utilisation"])
def test_the_magnification_is_a_round_number(scenes, what):
    m = scenes[what].magnification
    assert m / 10 ** np.floor(np.log10(m)) in (1.0, 2.0, 5.0)
    assert 0.005 * 3900 < m * scenes[what].greatest_deflection <= 0.03 * 3900 * (1 + 1e-9)


def test_the_user_may_choose_the_magnification(demo_findings):
    assert frame_scene(demo_findings, CASE, "bending", 0).magnification == 0
    assert frame_scene(demo_findings, CASE, "bending", 37.5).magnification == 37.5


def test_supports_stand_at_the_seats_with_their_forces(demo_findings, scenes):
    s = demo_findings.solution
    c = s.case(CASE)
    supports = scenes["bending"].supports
    assert len(supports) == 8, "two eyes for each of four springs"
    told = [n for n in scenes["bending"].names if n.kind == "force"]
    wanted = [f"{n.removesuffix(' spring')} {s.support_forces[k, c] / 1000:.2f} kN on both eyes"
              for k, n in enumerate(s.supports[:4])]  # fmt: skip
    assert [n.words for n in told] == wanted
    assert [n.point[0] for n in told] == [680.0, 680.0, 3050.0, 3050.0], "once, in the middle between both eyes"
    assert {p.point[0] for p in supports} == {250.0, 1110.0, 2520.0, 3580.0}


def test_springs_that_pull_the_frame_down_hang(demo_findings):
    """Pushing at all seats at rest; on stands the axles hang from all of them; the limit couple with a wheel pushed up
    makes the springs of one diagonal pull."""
    s = demo_findings.solution
    for case, wanted in (
        ("static", {}), ("stands", {"front left", "front right", "rear left", "rear right"}),
        ("one wheel bump, front left", {"front right", "rear left"}),
    ):  # fmt: skip
        hanging = {p.point for p in frame_scene(demo_findings, case).supports if p.hangs}
        own = {
            tuple(float(v) for v in s.mesh.nodes[s.mesh.places[n].node] + s.mesh.places[n].arm)
            for spring in s.springs
            if spring.name.removesuffix(" spring") in wanted
            for n, _ in spring.seats
        }
        assert hanging == own, case


def test_a_stand_that_the_frame_has_come_off_is_named(demo_findings):
    """Beside it no arrow; the other three have theirs.  Level stands carry all."""
    scene = frame_scene(demo_findings, "stands, one 10 mm low")
    told = [n for n in scene.names if "lifted" in n.words]
    pad = next(m for m in demo_findings.chassis.mounts if m.name == "front jack pad left")
    assert [n.words for n in told] == ["front jack pad left lifted"]
    assert told[0].point[:2] == pytest.approx((pad.station, pad.y))
    assert sum(load.applied for load in scene.loads) == 3
    level = frame_scene(demo_findings, "stands")
    assert not any("lifted" in n.words for n in level.names)
    assert sum(load.applied for load in level.loads) == 4


def test_loads_point_where_they_push(plain_findings):
    """Static line loads of the right rail: 256 and 332.5 kg/m straight down; masses not listed draw nothing."""
    scene = frame_scene(plain_findings, "static", "von-mises")
    assert [load.label for load in scene.loads] == [
        "body, front part\n256.0 kg/m on each rail", "body, rear part\n332.5 kg/m on each rail",
    ]  # fmt: skip
    for load, q in zip(scene.loads, (0.256, 0.3325), strict=True):
        assert load.vectors[:, 2] == pytest.approx(-q * 9.80665, rel=2e-6)
        assert np.abs(load.vectors[:, :2]).max() == 0


def test_masses_and_weights_are_labelled_in_kg_as_on_the_page(demo_findings, made):
    """Listed masses with their kg; rails that carry unlike are told apart."""
    from ladderfe.checks import check

    page = " ".join(findings_text(demo_findings, "x").split())
    scene = frame_scene(demo_findings, CASE)
    for m in demo_findings.chassis.masses:
        assert f"{m.name} {1000 * m.mass:.0f} kg" in {load.label for load in scene.loads}
        assert f"{m.name} {1000 * m.mass:.0f} kg" in page
    heavy = made.axle("front", made.FRONT, wheel_loads=(0.5, 0.4)), made.axle("rear", made.REAR, wheel_loads=(0.5, 0.4))
    f = check(made.chassis(axles=heavy), assumptions=False)
    label = frame_scene(f, "static").loads[0].label
    left, right = (1e6 * line.at_start for line in f.solution.carried.lines[:2])
    assert left > right
    assert label == f"body, front part\nleft {left:.1f}, right {right:.1f} kg/m"


def test_sides_and_crossmembers_are_named(demo_findings, scenes):
    names = scenes["bending"].names
    sides = {n.words: n.point for n in names if n.kind == "side"}
    assert sides["LEFT RAIL"][1] < 0 < sides["RIGHT RAIL"][1]
    assert [n.words for n in names if n.kind == "part"] == [m.name for m in demo_findings.chassis.crossmembers]
    assert all(abs(n.point[1]) < 1 for n in names if n.kind == "part")


@pytest.mark.parametrize("case", ["static", "amplified", "front axle bounce", "rear axle bounce"])
@pytest.mark.parametrize(
    ("what", "criterion"), [("utilisation", None), ("von-mises", "von Mises"), ("bending", "bending")]
)
def test_picture_and_table_name_the_same_place(demo_findings, plain_findings, what, criterion, case):
    """Part, wall and place of the row that governs the case, to the last digit that the table prints."""
    for f in (demo_findings, plain_findings):
        u = next(u for u in f.utilisations if u.case == case and criterion in (None, u.criterion))
        scene = frame_scene(f, case, what)
        found = {scene.place(m.wall, m.corner) for m in scene.marked()}
        assert f"{u.part}, {u.wall}, {place_words(u)}" in found


def test_of_places_that_are_alike_the_picture_takes_the_tables(plain_findings):
    """Left and right of a symmetric frame, or two walls at one corner: whichever row comes first in the table."""
    from dataclasses import replace

    own = [u for u in plain_findings.utilisations if u.case == "static" and u.ratio > 1e-3]
    alike = [u for u in own if u.ratio > own[0].ratio * (1 - 1e-9)]
    assert {u.part for u in alike} == {"left rail", "right rail"}
    for u in alike:
        first = replace(plain_findings, utilisations=(u, *(o for o in plain_findings.utilisations if o is not u)))
        scene = frame_scene(first, "static")
        mark = scene.marked()[0]
        assert scene.place(mark.wall, mark.corner) == f"{u.part}, {u.wall}, {place_words(u)}"


def test_places_on_crossmembers_are_told_by_y(made):
    """A crossmember that works hardest: thin, and the only one that carries."""
    from ladderfe.checks import check

    hook = made.mount("hook", "middle", 1900, 60.0)
    load = made.mass("load", 0.3, (1900, 60.0, 0), ("hook",), aboard=False)
    thin = (made.LADDER[0], made.cross("middle", 1900.0, made.box(30, 30, 1.5)), made.LADDER[2])
    f = check(made.chassis(mounts=(hook,), masses=(load,), crossmembers=thin), assumptions=False)
    u = f.utilisations[0]
    assert u.part == "middle"
    scene = frame_scene(f, u.case)
    assert scene.place(scene.marked()[0].wall, scene.marked()[0].corner) == f"middle, {u.wall}, {place_words(u)}"


def test_stations_along_the_edge(demo_findings, scenes):
    c = demo_findings.chassis
    marks = scenes["bending"].stations
    assert marks[0] == c.rails[1].start
    assert marks[-1] == c.rails[1].end
    assert {a.station for a in c.axles} <= set(marks)
    assert {m.station_right for m in c.crossmembers} <= set(marks)


# --- the drawn picture --------------------------------------------------------------------------------------------

SEEN = [("left rail", "top", 1700.0), ("left rail", "outer", 3150.0), ("rear", "top", 3820.0)]


@pytest.fixture(scope="module")
def picture(scenes, tmp_path_factory):
    """The demo's normal stress, drawn without OpenGL, and its pixels."""
    path = tmp_path_factory.mktemp("scene") / "bending.png"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("LADDERFE_PICTURES", "plain")
        info = draw(scenes["bending"], path, size=(1400, 800))
    with Image.open(path) as image:
        return info, np.asarray(image.convert("RGB")).astype(int)


def test_the_legends_limits_are_the_printed_extremes(demo_findings, picture):
    info, _ = picture
    c = demo_findings.solution.case(CASE)
    normal = demo_findings.stresses.normal[:, :, c]
    assert (info.lowest, info.highest) == pytest.approx((normal.min(), normal.max()), rel=1e-12)
    printed = [abs(u.stress) for u in demo_findings.utilisations if (u.case, u.criterion) == (CASE, "bending")]
    assert max(abs(info.lowest), abs(info.highest)) == pytest.approx(max(printed), rel=1e-12)


@pytest.mark.parametrize("place", SEEN, ids=lambda p: f"{p[0]}, {p[1]}")
def test_pixels_have_the_colour_of_the_value_that_was_found_there(scenes, picture, place):
    """The middle of a known wall, nearest to a station: the map's colour at the wall's value there.  The middle of a
    quad lies on the edge of its two triangles, where the value is the mean of two corners; half a pixel of gradient and
    rounding make a few of 255."""
    info, pixels = picture
    scene = scenes["bending"]
    part, wall, station = place
    own = walls_of(scene, part, wall)
    k = min(own, key=lambda q: abs(scene.quads[q, :, 0].mean() - station))
    x, y = np.floor(info.project(scene.drawn[k].mean(axis=0)[None])[0]).astype(int)
    expected = info.scale.colours(scene.values[k, [0, 2]].mean()).astype(int)
    assert np.abs(pixels[y, x] - expected).max() <= 6


def test_known_walls_have_unlike_colours(scenes):
    """Compressed top, tension below: what the pixels are compared with tells the walls apart."""
    scene = scenes["bending"]
    scale = Scale.of(scene)
    seen = []
    for wall in ("top", "bottom"):
        values = scene.values[walls_of(scene, "left rail", wall)].ravel()
        seen.append(scale.colours(values[np.abs(values).argmax()]).astype(int))
    assert np.abs(seen[0] - seen[1]).max() > 60
