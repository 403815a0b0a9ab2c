"""`ladderfe repair`: stories of repairs with numbers by hand beside what the command says, its status, what it
refuses."""

from __future__ import annotations

import json

import pytest

from ladderfe.cli.main import EXCEEDED, UNUSABLE, run

RUST = "{side},{at},bottom,1.0,,\n"
BOTH_RUSTED = RUST.format(side="left", at=2000) + RUST.format(side="right", at=2000)
#: What the reading at 2000 mm speaks for.
START, END = 1750, 2250


@pytest.fixture
def told(plans, tmp_path, capsys):
    """From the text of a plan to the document that the command prints, and its status."""

    def ask(text, *, readings="", section="", more=""):
        plans.frame(tmp_path, section, more)
        status = run(["repair", str(plans.plan(tmp_path, text, readings=readings)), "--json"])
        out = capsys.readouterr()
        assert not out.err
        return json.loads(out.out), status

    return ask


def along(document, side, station):
    """(built, found, repaired) of the stretch of a rail at a station."""
    for row in document["stretches"]["rows"]:
        name, reach = row[0].split(" rail, ")
        a, b = reach.removesuffix(" mm").split(" to ")
        if name == side and float(a) <= station <= float(b):
            return row[1:4]
    raise AssertionError(station)


def box_modulus(top, bottom, side, *, width=75, depth=150, lap=0.0, lap_width=73.0):
    """I over the distance of the farther face, by rectangles: a box, and a plate lapped under its bottom."""
    h = depth - top - bottom
    parts = [
        (width * top, (depth - top) / 2, width * top**3 / 12),
        (width * bottom, (bottom - depth) / 2, width * bottom**3 / 12),
    ]
    parts += [(2 * side * h, (bottom - top) / 2, 2 * side * h**3 / 12)]
    parts += [(lap_width * lap, -(depth + lap) / 2, lap_width * lap**3 / 12)]
    area = sum(a for a, *_ in parts)
    mid = sum(a * z for a, z, _ in parts) / area
    inertia = sum(own + a * (z - mid) ** 2 for a, z, own in parts)
    return inertia / max(depth / 2 - mid, depth / 2 + lap + mid)


def test_patch_one_wall_or_wrap_three_let_in_or_lap(told):
    """Bottom walls down to half at mid-span, where the moment of the plain frame does not hang on stiffness: stress
    goes with 1/Z, by rectangles.  A piece let in brings all back; a lap of 2 mm does more than that, three walls
    wrapped too, for more weld; every lap leaves the rust in and breaks rules that the let-in piece keeps."""
    rows = f"from = {START - 100}\nto = {END + 100}\n"
    let_in, _ = told(f'[[inserts]]\nrail = "both"\nwall = "bottom"\n{rows}', readings=BOTH_RUSTED)
    lap = f'[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\nthickness = 2\n{rows}'
    one, _ = told(lap, readings=BOTH_RUSTED)
    sides = "".join(lap.replace("doubler", "cheek").replace('"bottom"', f'"{w}"') for w in ("inner", "outer"))
    three, _ = told(lap + sides, readings=BOTH_RUSTED)
    built, rusty = box_modulus(2, 2, 2), box_modulus(2, 1, 2)
    for document in (let_in, one, three):
        as_built, as_found, _ = along(document, "left", 2000)
        assert as_found / as_built == pytest.approx(built / rusty, rel=0.01)  # mid-lines against rectangles
    assert along(let_in, "left", 2000)[2] == pytest.approx(along(let_in, "left", 2000)[0], rel=1e-9)
    assert along(one, "left", 2000)[2] / along(one, "left", 2000)[0] == pytest.approx(
        built / box_modulus(2, 1, 2, lap=2), rel=0.015
    )
    assert along(three, "left", 2000)[2] < along(one, "left", 2000)[2]
    metres = [sum(d["weld m"].values()) for d in (let_in, one, three)]
    length = (END - START + 200) / 1000
    assert metres == pytest.approx([2 * 2 * (length + 0.073), 2 * 2 * (length + 0.073),
                                    2 * 2 * (3 * length + 0.073 + 2 * 0.148)])  # fmt: skip
    assert not let_in["rules not kept"]
    for document in (one, three):
        broken = " ".join(document["rules not kept"])
        assert "part left by mean of the wall under it is 0.5, at least 0.8" in broken
        assert "welds across a flange is 2, at most 0" in broken
    assert "part of the rail's depth" in " ".join(three["rules not kept"])


def test_should_i_box_the_channel_all_of_it_or_half(told, plans):
    """150 x 65 x 4 opened inward, 3 mm plates flush between the flanges: J of a rail from 5.8e3 to 2.78e6 mm4 (x 480,
    by Bredt); the frame in twist stiffens, by far less for half of it, and the open half beyond the boxing's end works
    more than it did before."""
    box = '[[plates]]\nkind = "boxing"\nrail = "both"\nfrom = 0\nto = {}\nthickness = 3\n'
    every, _ = told(box.format(4158), section=plans.CHANNEL, more=plans.TWIST)
    half, status = told(box.format(2000), section=plans.CHANNEL, more=plans.TWIST)
    open_j = (2 * 63 + 146) * 4**3 / 3
    closed_j = 4 * (61.5 * 146) ** 2 / (2 * 61.5 / 4 + 146 / 4 + 146 / 3)
    steps = {row[3] for row in half["steps"]["rows"]}
    assert all(s == pytest.approx(closed_j / open_j, rel=0.01) for s in steps)
    assert not every["steps"]["rows"]  # it ends at the rail's own ends
    stiff = "torsional stiffness kN m/deg"
    before, all_of, part = every[stiff]["as built"], every[stiff]["as repaired"], half[stiff]["as repaired"]
    assert before < part < 0.6 * all_of
    _, found, repaired = along(half, "left", 3000)
    assert repaired > 1.2 * found
    assert any("2000 to 4158" in row[0] for row in half["worse"]["rows"])
    assert any("next crossmember is 600 mm, at most 150 mm" in a for a in half["rules not kept"])
    assert not every["rules not kept"]
    assert status == EXCEEDED
    for name in ("cases", "parts", "stretches"):  # the worst as repaired first
        ratios = [row[3] for row in half[name]["rows"]]
        assert ratios == sorted(ratios, reverse=True)
    assert half["weld m"]["seam"] == pytest.approx(4 * 2.0)


def test_rear_crossmember_is_gone_is_it_structural(told, plans):
    """A frame of two rails and four crossmembers in twist: without the last one it is softer, the next one works more,
    and a common box of the same outside size is proposed."""
    gone, status = told('[repair]\n[[remove]]\ncrossmember = "rear"\n', more=plans.TWIST)
    twist = gone["torsional stiffness kN m/deg"]
    assert twist["as repaired"] < 0.95 * twist["as built"]
    parts = {row[0]: row[1:4] for row in gone["parts"]["rows"]}
    assert parts["rear"][2] is None
    assert parts["third"][2] > 1.05 * parts["third"][0]
    assert gone["sizes instead"]["rows"][0][:2] == ["rear", "box 80 x 60 x 2"]
    assert status == EXCEEDED
    back, _ = told(
        '[repair]\n[[crossmembers]]\nname = "rear"\nshape = "tube"\ndiameter = 76\nwall = 3\n', more=plans.TWIST
    )
    assert back["torsional stiffness kN m/deg"]["as repaired"] > twist["as repaired"]
    # once round a tube of 76 x 3 at both ends
    assert back["weld m"]["crossmember joint"] == pytest.approx(2 * 3.14159 * 0.073, rel=0.01)


def test_what_plate_do_i_need(told):
    """Thickness by the section alone, then the same as a plan: stress with the plate is as built or less, half a
    millimetre thinner is not; its length is the rust and 25 mm at both ends."""
    asked, _ = told("[repair]\n", readings=BOTH_RUSTED)
    (left, _) = asked["what rusted walls need"]
    enough = next(t / 2 for t in range(1, 20) if box_modulus(2, 1, 2, lap=t / 2) >= box_modulus(2, 2, 2))
    assert f"A lapped plate would be {enough:g} mm thick, from 1725 to 2275 mm." in left
    assert "let in 2 mm from 1750 to 2250 mm" in left
    plate = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\nfrom = 1725\nto = 2275\nthickness = {}\n'
    built, _, with_it = along(told(plate.format(enough), readings=BOTH_RUSTED)[0], "left", 2000)
    assert with_it <= built * 1.01
    built, _, thinner = along(told(plate.format(enough - 0.5), readings=BOTH_RUSTED)[0], "left", 2000)
    assert thinner > built


def test_old_and_new_metal_lie_apart_where_it_is_welded_standing(told):
    """Welded while it stands in the very case that is looked at alone, new metal carries nothing of it."""
    only = '[repair]\nsupport = "static"\n'
    plate = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\nfrom = 1700\nto = 2300\nthickness = 2\n'
    document, _ = told(only + plate, readings=BOTH_RUSTED)
    assert document["support while welding"]["case"] == "static"
    for piece, found, old, new, old_free, new_free in document["old and new metal"]["rows"]:
        assert "doubler" in piece
        assert new < new_free < found
        assert old > old_free


def test_the_page_fits_and_names_its_parts(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    text = ('[repair]\ntitle = "A plate and a splice"\n[[plates]]\nkind = "cheek"\nrail = "left"\nwall = "outer"\n'
            'from = 1500\nto = 2300\nthickness = 2\nends = "spear"\n'
            '[[splices]]\nrail = "left"\nstation = 1900\ncut = "angled"\n')  # fmt: skip
    file = plans.plan(tmp_path, text, readings="left,1800,outer,1.7,,\n")
    run(["repair", str(file), "--every-case"])
    page = capsys.readouterr().out
    for words in ("A plate and a splice", "In short", "as repaired", "Old and new metal", "Steps of stiffness",
                  "Weld and mass", "Rules that are kept", "The price of left 1900 mm", "45 degrees in side view",
                  "What next", "brake and fuel lines", "battery and control units"):  # fmt: skip
        assert words in page, words
    assert max(len(line) for line in page.splitlines() if str(tmp_path) not in line) <= 100
    for verdict in (" safe", "roadworthy", " passes", " legal "):
        assert verdict not in page


def test_what_is_refused(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    assert run(["repair", str(tmp_path / "no.toml")]) == UNUSABLE
    assert "does not exist" in capsys.readouterr().err
    bad = plans.plan(tmp_path, '[[inserts]]\nrail = "left"\nwall = "botom"\nfrom = 1\nto = 900\nmade = "glue"\n')
    assert run(["repair", str(bad)]) == UNUSABLE
    told = capsys.readouterr().err
    assert "2 problems; nothing was calculated." in told
    assert 'made: must be "both sides", "backing strip", "root run" or "one side"' in told
    assert run(["schema", "--repair", "--overlay"]) == UNUSABLE
    capsys.readouterr()
    assert run(["schema", "--repair"]) == 0
    assert "InsertTable" in json.loads(capsys.readouterr().out)["$defs"]


def test_readings_named_on_the_command_count_instead_of_the_plan_s(plans, tmp_path, capsys):
    """By rectangles: 1.6 mm left of 2 mm in the bottoms instead of the plan's 1.0, and 10 % off walls nobody read
    where that is asked."""
    plans.frame(tmp_path)
    text = '[[inserts]]\nrail = "both"\nwall = "bottom"\nfrom = 1650\nto = 2350\n'
    file = plans.plan(tmp_path, text, readings=BOTH_RUSTED)
    later = tmp_path / "later.csv"
    later.write_text(plans.HEAD + BOTH_RUSTED.replace("1.0", "1.6"))

    def found_over_built(*options):
        run(["repair", str(file), "--json", *options])
        out = capsys.readouterr()
        assert not out.err
        document = json.loads(out.out)
        built, found, _ = along(document, "left", 2000)
        return found / built, document["as found"]

    own, told = found_over_built()
    built = box_modulus(2, 2, 2)
    assert own == pytest.approx(built / box_modulus(2, 1, 2), rel=0.01)  # mid-lines against rectangles
    assert told["file"] == str(tmp_path / "plan.csv")
    other, told = found_over_built("--readings", str(later), "--reach", "300")
    assert other == pytest.approx(built / box_modulus(2, 1.6, 2), rel=0.01)
    assert (told["file"], told["options"]["reach"]) == (str(later), 300)
    lost, _ = found_over_built("--unread-loss", "10")
    assert lost == pytest.approx(built / box_modulus(1.8, 1, 1.8), rel=0.01)
    run(["repair", str(file), "--readings", str(later)])
    page = " ".join(capsys.readouterr().out.split())
    assert "(as read in" in page
    assert "2 readings at 2 places" in page
    run(["weld", str(file), "--readings", str(later), "--json"])
    assert json.loads(capsys.readouterr().out)["as found"]["file"] == str(later)
    plain = plans.plan(tmp_path, text, name="plain")
    for command in ("repair", "weld"):
        assert run([command, str(plain), "--pool", "50"]) == UNUSABLE
        assert "go with --readings FILE.csv, or with a plan that names its readings" in capsys.readouterr().err


def test_joints_of_a_chassis_file_are_welded_to_walls_as_read(plans, tmp_path, capsys):
    """Of a chassis file: the wall beside a joint is as thick as it was read."""
    base = plans.frame(tmp_path)
    table = tmp_path / "read.csv"
    table.write_text(plans.HEAD + "left,1200,inner,1.25,,\n")
    run(["weld", str(base), "--json", "--readings", str(table), "--reach", "400"])
    document = json.loads(capsys.readouterr().out)
    columns, joints = document["joints"]["columns"], document["joints"]["rows"]
    rows = [dict(zip(columns, row, strict=True)) for row in joints]
    walls = {r["rail"]: r["wall mm"] for r in rows if abs(r["station mm"] - 1200) < 400}
    assert walls == {"left rail": 1.25, "right rail": 2.0}
    run(["weld", str(base), "--readings", str(table)])
    assert "1 reading at 1 place" in " ".join(capsys.readouterr().out.split())


def test_compare_takes_plans_beside_chassis_files(plans, tmp_path, capsys):
    base = plans.frame(tmp_path)
    plate = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "{}"\nfrom = 1700\nto = 2300\nthickness = 2\n'
    one = plans.plan(tmp_path, plate.format("bottom"), readings=BOTH_RUSTED, name="one")
    two = plans.plan(tmp_path, plate.format("bottom") + plate.format("top"), name="two")
    run(["compare", str(base), str(one), str(two), "--json"])
    document = json.loads(capsys.readouterr().out)
    (weld,) = (row for row in document["frame"] if row["name"] == "weld by the plan")
    assert weld["values"][0] is None
    assert weld["values"][1:] == pytest.approx([4 * 0.673, 8 * 0.673])
    assert weld["unit"] == "m"
    run(["repair", str(one), "--json"])
    cases = {row[0]: row[3] for row in json.loads(capsys.readouterr().out)["cases"]["rows"]}
    compared = {row["name"]: row["values"] for row in document["greatest utilisation by case"]}
    assert {name: values[1] for name, values in compared.items()} == pytest.approx(cases)
    assert compared["static"][0] != pytest.approx(compared["static"][2], rel=0.01)
    assert [f["file"] for f in document["files"]][1:] == [f"{one}, as repaired", f"{two}, as repaired"]
    tops = [max(row["values"][k] for row in document["greatest utilisation by case"]) for k in range(3)]
    assert tops == pytest.approx([tops[0]] * 3, rel=1e-6)  # what governs lies over the front axle: less weld first
    assert document["files"][0]["file"] == f"{base}, as built, nothing rusted"  # for one brings readings
    assert document["ranked by greatest utilisation"] == [f["file"] for f in document["files"]][1:]
    run(["compare", str(base), str(one), str(two)])
    page = " ".join(capsys.readouterr().out.split())
    assert "Without a rank: A, as built, nothing rusted (" in page
    assert "With --readings FILE.csv the frame as found stands in the ranks too." in page
    run(["compare", str(two), str(base)])
    page = capsys.readouterr().out
    assert "weld by the plan, m" in page
    ranks = page[page.index("Ranked, the lowest greatest utilisation first") :].splitlines()[3:5]
    assert [line.split()[0] for line in ranks] == ["B", "A"]
    assert [line.split()[-2] for line in ranks] == ["none", "5.38"]


def test_compare_takes_the_readings_that_were_named_for_plans_too(plans, tmp_path, capsys):
    """As `repair` has it: a plan that names no readings is repaired from those named, not from the frame as built; and
    the options of readings count for it."""
    base = plans.frame(tmp_path)
    plate = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\nfrom = 1700\nto = 2300\nthickness = 2\n'
    plan = plans.plan(tmp_path, plate)
    table = tmp_path / "named.csv"
    table.write_text("side,station,wall,reading,to,note\n" + BOTH_RUSTED)
    named = ["--readings", str(table), "--unread-loss", "10"]
    run(["repair", str(plan), *named, "--json"])
    rows = json.loads(capsys.readouterr().out)["cases"]["rows"]
    run(["compare", str(base), str(plan), *named, "--json"])
    document = json.loads(capsys.readouterr().out)
    compared = {row["name"]: row["values"] for row in document["greatest utilisation by case"]}
    assert {name: values[2] for name, values in compared.items()} == pytest.approx({row[0]: row[3] for row in rows})
    assert {name: values[1] for name, values in compared.items()} == pytest.approx({row[0]: row[2] for row in rows})
    names = [f["file"].removeprefix(str(base)) for f in document["files"]]
    assert names[:2] == [", as built", f", as found by {table}"]
    assert len(document["ranked by greatest utilisation"]) == 2
    run(["compare", str(base), str(plan), *named])
    page = " ".join(capsys.readouterr().out.split())
    assert "Without a rank: A, as built, nothing rusted (" in page
    assert "With --readings" not in page
    assert compared["static"][2] > 1.02 * compared["static"][0]  # a tenth less of all that nobody read


def test_moved_axles_and_new_crossmembers_are_set_beside_the_frame_as_it_was(plans, tmp_path, capsys):
    """Members are no longer the same, and old metal is still told apart: it is found again by its place."""
    plans.frame(tmp_path)
    text = (
        '[repair]\nsupport = "static"\n[[axles]]\nname = "rear"\nstation = 3400\n[[crossmembers]]\nname = "fifth"\n'
        'station = 2000\nshape = "tube"\ndiameter = 60\nwall = 3\n[[plates]]\nkind = "doubler"\nrail = "left"\n'
        'wall = "top"\nfrom = 1500\nto = 2300\nthickness = 2\n'
    )
    run(["repair", str(plans.plan(tmp_path, text))])
    page = " ".join(capsys.readouterr().out.split())
    assert "not known" not in page
    assert "old, standing" in page or "standing" in page
    assert "fifth none none" in page
    assert "crossmember fifth crossmember joint 0.36" in page  # twice round a tube of 60 x 3: 2 pi 57


def test_what_cannot_be_welded_is_one_sentence_with_the_file(plans, tmp_path, capsys):
    """A channel that lost a flange is an angle, which no plate boxes."""
    plans.frame(tmp_path, plans.CHANNEL)
    text = '[[plates]]\nkind = "boxing"\nrail = "left"\nfrom = 1400\nto = 2700\nthickness = 3\n'
    file = plans.plan(tmp_path, text, readings="left,1800,bottom,hole,1900,10\n")
    assert run(["repair", str(file)]) == UNUSABLE
    told = capsys.readouterr().err
    assert str(file) in told
    assert "is left there, no channel. Let in the lost wall first." in told


def test_a_plan_given_to_another_command_is_told_where_it_belongs(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    assert run(["check", str(plans.plan(tmp_path, "[repair]\n"))]) == UNUSABLE
    told = capsys.readouterr().err
    assert "looks like a repair plan, and a chassis file is expected here. Give it to `ladderfe repair`" in told


def staged_rows(document):
    return [row[2:4] for row in document["old and new metal"]["rows"]]


@pytest.mark.parametrize("change", [
    '[[crossmembers]]\nname = "fifth"\nstation = 2000\nshape = "box"\ndepth = 80\nwidth = 60\nwall = 2\nradius = 0\n',
    '[[remove]]\ncrossmember = "third"\n',
    '[[crossmembers]]\nname = "third"\nwall = 3\n',
])  # fmt: skip
def test_old_metal_keeps_its_stress_where_crossmembers_change(told, change):
    """Both rails bend alike under even loads, so that a crossmember between them carries nothing, whether it is put in,
    taken out or made anew: old and new metal of plates on both rails stay what they are without the change."""
    only = '[repair]\nsupport = "static"\n'
    plate = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\nfrom = 1700\nto = 2300\nthickness = 2\n'
    plain, _ = told(only + plate, readings=BOTH_RUSTED)
    changed, _ = told(only + change + plate, readings=BOTH_RUSTED)
    assert changed["support while welding"]["not known for"] == ""
    for before, after in zip(staged_rows(plain), staged_rows(changed), strict=True):
        assert after == pytest.approx(before, rel=0.01)  # the joints hold the rails' webs a little
        assert before[0] > 2 * before[1]
    whole = [d["support while welding"]["greatest utilisation"] for d in (plain, changed)]
    assert whole[1] == pytest.approx(whole[0], rel=0.05)


def test_old_metal_is_not_told_where_a_mount_hangs_on_what_is_taken_out(plans, tmp_path, capsys):
    more = ('[[mounts]]\nname = "box mount"\non = "third"\n[[masses]]\nname = "box"\nmass = 50\n'
            'on = ["box mount"]\naboard = true\n')  # fmt: skip
    plans.frame(tmp_path, "", more)
    text = ('[repair]\nsupport = "static"\n[[crossmembers]]\nname = "third"\nwall = 3\n[[inserts]]\nrail = "left"\n'
            'wall = "bottom"\nfrom = 1700\nto = 2300\n')  # fmt: skip
    run(["repair", str(plans.plan(tmp_path, text, readings=RUST.format(side="left", at=2000)))])
    page = " ".join(capsys.readouterr().out.split())
    assert "Standing: not known, for box mount hangs on third, which is taken out" in page


def page_of(plans, folder, capsys, text, command="repair", **more):
    run([command, str(plans.plan(folder, text, **more))])
    out = capsys.readouterr()
    assert not out.err
    return " ".join(out.out.split())


def test_what_next_names_only_the_metal_that_stays(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    piece = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = {}\nto = {}\n'
    rust = RUST.format(side="left", at=2000)
    for reach, words in (((1780, 2300), f"{START} to 1780"), ((1650, 2200), f"2200 to {END}"),
                         ((1850, 2150), f"{START} to 1850 and 2150 to {END}")):  # fmt: skip
        page = page_of(plans, tmp_path, capsys, piece.format(*reach), readings=rust)
        assert f"no insert of the plan replaces: left bottom {words} mm. Let pieces in there" in page
    for pieces in (piece.format(1650, 2350), piece.format(1650, 2000) + piece.format(2000, 2350)):
        assert "no insert of the plan replaces" not in page_of(plans, tmp_path, capsys, pieces, readings=rust)


def test_how_it_stands_while_welded_is_told_as_assumed_where_the_plan_is_silent(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    plate = '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "top"\nfrom = 1700\nto = 2300\nthickness = 2\n'
    silent = page_of(plans, tmp_path, capsys, plate)
    assert "Old and new metal, assumed unloaded, as the plan states nothing" in silent
    stated = page_of(plans, tmp_path, capsys, '[repair]\nsupport = "unloaded"\n' + plate)
    assert "Old and new metal, welded unloaded, as the plan states" in stated
    assert "assumed unloaded" not in stated


def test_pieces_without_metres_of_their_own_have_a_row(plans, tmp_path, capsys):
    """A whole rail's end let in from a splice on: its one weld is the splice, and it has no seam that `weld` could
    judge; a sleeve's slots count once round their edge, and have a row where none fits."""
    plans.frame(tmp_path)
    end = '[[inserts]]\nrail = "right"\nwall = "{}"\nfrom = 3330\nto = 4158\n'
    splice = '[[splices]]\nrail = "right"\nstation = 3330\ncut = "square"\nmade = "both sides"\n'
    sleeve = '[[plates]]\nkind = "sleeve"\nrail = "left"\nfrom = 1700\nto = 1900\nthickness = 2\n'
    page = page_of(plans, tmp_path, capsys, splice + end.format("all") + sleeve)
    part = page[page.index("Weld and mass") :]
    assert "butt 0, at the splice" in part
    assert "sleeve, left rail, 1700 to 1900 mm slot 0.86" in part  # 200 mm take 3, of 40 + 10 pi mm, in four walls
    short = '[[plates]]\nkind = "sleeve"\nrail = "left"\nfrom = 1930\nto = 1990\nthickness = 2\n'
    cut = '[[splices]]\nrail = "left"\nstation = 1960\ncut = "square"\n'
    page = page_of(plans, tmp_path, capsys, cut + short)
    assert " square 0 442 " in page  # the rail is cut, the sleeve inside is not; angled cuts reach beyond its ends
    assert "sleeve, left rail, 1930 to 1990 mm slot 0, no slot fits beside the joint" in page
    assert "seams along it" not in page_of(plans, tmp_path, capsys, splice + end.format("all"), "weld")
    assert "seams along it" in page_of(plans, tmp_path, capsys, splice + end.format("bottom"), "weld")


def test_the_weld_page_bears_the_title_of_the_plan_and_says_which_part_is_thin(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    text = ('[repair]\ntitle = "Plate it"\n[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "top"\nfrom = 1700\n'
            'to = 2300\nthickness = {}\n')  # fmt: skip
    page = page_of(plans, tmp_path, capsys, text.format(3), "weld")
    assert page.startswith("Plate it: what its welds must be")
    assert "not kept: rail's wall thickness is 2 mm" in page
    assert "practice fills that leg" in page
    assert "not kept: plate thickness is 1.5 mm" in page_of(plans, tmp_path, capsys, text.format(1.5), "weld")


def test_what_is_left_says_by_what(plans, tmp_path, capsys):
    """Read 1.0, 1.4 and 1.8 of 2 mm: 70 % by the mean, 50 % by the smallest; each page says which it tells."""
    plans.frame(tmp_path)
    rows = "".join(f"left,2000,bottom,{t},,\n" for t in (1.0, 1.4, 1.8))
    lap = '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "bottom"\nfrom = 1900\nto = 2100\nthickness = 2\n'
    page = page_of(plans, tmp_path, capsys, lap, readings=rows)
    assert "(70 % left by mean)" in page
    assert "part left by mean of the wall under it is 0.7, at least 0.8" in page
    assert "less than 80 % left by the mean of a place" in page
    assert "smallest reading below 80 % of the wall" in page
    (tmp_path / "read.csv").write_text(plans.HEAD + rows)
    run(["check", str(tmp_path / "frame.toml"), "--readings", str(tmp_path / "read.csv")])
    told = capsys.readouterr().out
    row = next(line for line in told.splitlines() if line.startswith("left") and line.endswith(" 50 %"))
    assert "1.40" in row
    assert "Smallest left: the smallest reading in % of as built" in " ".join(told.split())


def test_a_part_that_the_plan_moves_adds_or_takes_out_is_told(told, plans):
    """A crossmember of the base's name replaces and moves it; what is new and what goes is told as well."""
    changed, _ = told(
        '[repair]\n[[crossmembers]]\nname = "second"\nstation = 1500\nshape = "tube"\ndiameter = 70\nwall = 3\n'
        '[[crossmembers]]\nname = "new"\nstation = 2600\nshape = "box"\ndepth = 60\nwidth = 40\nwall = 2\n'
        '[[remove]]\ncrossmember = "rear"\n'
    )
    assert changed["changes"] == (
        "Changes to the frame: crossmember second: box 80 x 60 x 2 at 1400 mm becomes tube 70 x 3 at 1500 mm; taken "
        "out: crossmember rear: box 80 x 60 x 2 at 4058 mm; added: crossmember new: box 60 x 40 x 2 at 2600 mm."
    )
    patched, _ = told('[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 1900\nto = 2100\n', readings=BOTH_RUSTED)
    assert patched["changes"] == ""


def test_a_hole_that_was_cut_out_and_let_in_is_no_longer_there(told):
    """Beside its insert the hole stays told."""
    hole = "left,1900,bottom,hole,2100,10\n"
    document, _ = told('[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 1800\nto = 2000\n', readings=hole)
    column = document["stretches"]["columns"].index("what is there")
    what = {row[0]: row[column] for row in document["stretches"]["rows"] if row[0].startswith("left")}
    assert "insert, hole in bottom" not in what.values()
    assert any(name.endswith("to 2000 mm") and words == "insert" for name, words in what.items())
    assert any(name.startswith("left rail, 2000") and words == "hole in bottom" for name, words in what.items())
