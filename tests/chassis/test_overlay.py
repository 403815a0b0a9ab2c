"""Overlays: each comes to the same chassis as the whole file written out by hand; every message about one, whole."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from pathlib import Path

import pytest

from ladderfe.chassis import chassis_from_text, read_chassis, with_assumption
from ladderfe.errors import InputError, Problem
from ladderfe.sections import Tube

MODELS = Path(__file__).parents[2] / "models"

GEARBOX = """
[[crossmembers]]
name = "gearbox"
station = 1500
shape = "box"
depth = 60
width = 50
wall = 2.5
via = [{ y = -200, height = -90 }, { y = 200, height = -90 }]

[[outriggers]]
name = "step"
rail = "both"
station = 2000
length = 200
shape = "box"
depth = 60
width = 40
wall = 2

[[mounts]]
name = "gearbox mount"
on = "gearbox"
y = 20

[[mounts]]
name = "step mount"
on = "step left"

[[masses]]
name = "gearbox and all"
mass = 90
at = { station = 1400, y = 10, height = 60 }
on = ["engine mount", "gearbox mount"]
aboard = true
"""


@pytest.fixture
def base(tmp_path, minimal):
    """The small file with a gearbox crossmember and an outrigger, on disk."""
    (tmp_path / "frame.toml").write_text(minimal + GEARBOX, encoding="utf-8")
    return minimal + GEARBOX


def laid(folder, text, name="variant.toml"):
    (folder / name).write_text(text, encoding="utf-8")
    return read_chassis(folder / name)


OVER = 'base = "frame.toml"\n'

#: What an overlay says; the same done by hand to the text of the base (old, new).
SAME = {
    "nothing": ("", []),
    "a title and a plain value of a table": (
        'title = "Other"\nmaterial.yield_stress = 300\n',
        [('title = "Small frame"', 'title = "Other"\nmaterial.yield_stress = 300')],
    ),
    "a wall": ('[[crossmembers]]\nname = "front"\nwall = 3\n', [("width = 60\nwall = 2\n", "width = 60\nwall = 3\n")]),
    "a wall in another unit": (
        '[[crossmembers]]\nname = "rear"\nwall = "3/16 in"\n',
        [("diameter = 60\nwall = 3", 'diameter = 60\nwall = "3/16 in"')],
    ),
    "another shape keeps the place and the drop": (
        '[[crossmembers]]\nname = "gearbox"\nshape = "tube"\ndiameter = 55\nwall = 4\n',
        [('shape = "box"\ndepth = 60\nwidth = 50\nwall = 2.5', 'shape = "tube"\ndiameter = 55\nwall = 4')],
    ),
    "a slant instead of a station": (
        '[[crossmembers]]\nname = "gearbox"\nstation_left = 1450\nstation_right = 1550\n',
        [("station = 1500", "station_left = 1450\nstation_right = 1550")],
    ),
    "one entry of a part taken out": (
        '[[remove]]\ncrossmember = "gearbox"\nentry = "via"\n',
        [("via = [{ y = -200, height = -90 }, { y = 200, height = -90 }]\n", "")],
    ),
    "one entry of an entry": (
        '[[remove]]\nmass = "gearbox and all"\nentry = "at.y"\n'
        '[[masses]]\nname = "gearbox and all"\nat = { height = 50 }\n',
        [("at = { station = 1400, y = 10, height = 60 }", "at = { station = 1400, height = 50 }")],
    ),
    "the wheelbase taken out for a station": (
        '[[remove]]\nentry = "wheelbase"\n[[axles]]\nname = "rear"\nstation = 2950\n',
        [("wheelbase = 2300\n", ""), ("load = 750", "station = 2950\nload = 750")],
    ),
    "a mount moved to the rails": (
        '[[mounts]]\nname = "gearbox mount"\non = "both rails"\nstation = 1480\noffset = -80\n',
        [('on = "gearbox"\ny = 20', 'on = "both rails"\nstation = 1480\noffset = -80')],
    ),
    "a crossmember taken out and what hung on it moved": (
        '[[remove]]\ncrossmember = "gearbox"\n[[mounts]]\nname = "gearbox mount"\non = "rear"\n',
        [
            (GEARBOX[GEARBOX.index("[[crossmembers]]") : GEARBOX.index("[[outriggers]]")], ""),
            ('on = "gearbox"\ny = 20', 'on = "rear"'),
        ],
    ),
    "several parts taken out at once": (
        '[[remove]]\nmount = ["gearbox mount", "step mount"]\nmass = "gearbox and all"\n',
        [(GEARBOX[GEARBOX.index("[[mounts]]") :], "")],
    ),
    "a mass that hangs elsewhere": (
        '[[remove]]\nmount = "gearbox mount"\n[[masses]]\nname = "gearbox and all"\non = "engine mount"\n',
        [
            ('[[mounts]]\nname = "gearbox mount"\non = "gearbox"\ny = 20\n', ""),
            ('on = ["engine mount", "gearbox mount"]', 'on = ["engine mount"]'),
        ],
    ),
    "a new part": (
        '[[crossmembers]]\nname = "middle"\nstation = 2500\nshape = "tube"\ndiameter = 50\nwall = 3\n',
        [
            (
                "[[outriggers]]",
                '[[crossmembers]]\nname = "middle"\nstation = 2500\nshape = "tube"\ndiameter = 50\nwall = 3\n'
                "[[outriggers]]",
            )
        ],
    ),
    "thicker rails": (
        '[rails]\nsections = [{ shape = "box", depth = 120, width = 65, wall = 4 }]\n',
        [("wall = 2.5 }]", "wall = 4 }]")],
    ),
    "a case where there was none": (
        '[[cases]]\nname = "hump"\nkind = "bounce"\naxle = "rear"\nfactor = 3\n',
        [("[[axles]]", '[[cases]]\nname = "hump"\nkind = "bounce"\naxle = "rear"\nfactor = 3\n[[axles]]')],
    ),
    "wheels weighed": (
        '[[axles]]\nname = "front"\nwheel_loads = { left = 410, right = 390 }\n'
        '[[axles]]\nname = "rear"\nwheel_loads = { left = 370, right = 380 }\n',
        [
            ("load = 800", "load = 800\nwheel_loads = { left = 410, right = 390 }"),
            ("load = 750", "load = 750\nwheel_loads = { left = 370, right = 380 }"),
        ],
    ),
}


@pytest.mark.parametrize("what", SAME)
def test_an_overlay_is_the_file_changed_by_hand(tmp_path, base, what):
    overlay, changes = SAME[what]
    for old, new in changes:
        assert base.count(old) >= 1
        base = base.replace(old, new, 1)
    assert laid(tmp_path, OVER + overlay) == chassis_from_text(base)


def test_a_part_taken_out_and_given_anew_stands_last_and_is_otherwise_equal(tmp_path, base):
    """What hangs on it stays where it was."""
    own = GEARBOX[GEARBOX.index("[[crossmembers]]") : GEARBOX.index("[[outriggers]]")]
    found = laid(tmp_path, OVER + '[[remove]]\ncrossmember = "gearbox"\n' + own)
    as_it_was = chassis_from_text(base)
    assert found == as_it_was


def test_parts_without_a_name_keep_their_numbers(tmp_path, base):
    """Crossmember 3 stays crossmember 3 when the second is taken out, and axles are front and rear."""
    nameless = base.replace('name = "front"\n', "").replace('name = "rear"\n', "").replace('name = "gearbox"\n', "")
    (tmp_path / "frame.toml").write_text(nameless.replace('on = "gearbox"', 'on = "crossmember 3"'), encoding="utf-8")
    found = laid(tmp_path, OVER + '[[remove]]\ncrossmember = "crossmember 1"\n[[axles]]\nname = "rear"\nload = 760\n')
    assert [c.name for c in found.crossmembers] == ["crossmember 2", "crossmember 3"]
    assert [a.load for a in found.axles] == [0.8, 0.76]


def test_a_rear_axle_written_first_is_still_the_rear_one(tmp_path, base):
    swapped = base.replace("wheelbase = 2300\n", "").replace("load = 750", "station = 300\nload = 750")
    (tmp_path / "frame.toml").write_text(swapped, encoding="utf-8")
    found = laid(tmp_path, OVER + '[[axles]]\nname = "front"\nload = 777\n')
    assert [(a.station, a.load) for a in found.axles] == [(300, 0.777), (600, 0.8)]


def test_stations_with_a_unit_tell_the_front_axle_too(tmp_path, base):
    """11.02 in (279.9 mm) is before 23.62 in (599.95 mm) whichever is written first: what is taken out of the front
    axle is its own."""
    swapped = base.replace("wheelbase = 2300\n", "").replace("load = 800", "unsprung = 120\nload = 800")
    swapped = swapped.replace("station = 600\nunsprung", 'station = "23.62 in"\nunsprung')
    swapped = swapped.replace("load = 750", 'station = "11.02 in"\nunsprung = 111\nload = 750')
    (tmp_path / "frame.toml").write_text(swapped, encoding="utf-8")
    found = laid(tmp_path, OVER + '[[remove]]\naxle = "front"\nentry = "unsprung"\n')
    assert found.axles[0].station == pytest.approx(11.02 * 25.4)
    assert found.axles[1].unsprung == 0.12
    assert found.axles[0].unsprung != 0.111


BENCH = """
[[bench_tests]]
name = "lever"
held = [{ rail = "left", station = 2900 }, { rail = "right", station = 2900 }, { rail = "left", station = 600 }]
loads = [{ rail = "right", station = 600, force = 1 }]
gauges = [{ rail = "right", station = 600, reading = 9.5 }]
"""


def test_a_bench_test_is_changed_or_taken_out_by_its_name(tmp_path, base):
    (tmp_path / "frame.toml").write_text(base + BENCH, encoding="utf-8")
    loads = 'loads = [{ rail = "right", station = 600, force = 2 }]'
    changed = laid(tmp_path, f'{OVER}[[bench_tests]]\nname = "lever"\n{loads}\n')
    assert changed == chassis_from_text((base + BENCH).replace("force = 1", "force = 2"))
    assert laid(tmp_path, OVER + '[[remove]]\nbench_test = "lever"\n') == chassis_from_text(base)
    assert refused(tmp_path, OVER + '[[remove]]\nbench_test = "levr"\n') == (
        'variant.toml:3: remove 1, bench_test: is not the name of a bench test in frame.toml (got "levr"). '
        'Did you mean "lever"? Otherwise write one of the names there.'
    )


def test_overlays_may_lie_on_overlays_in_other_folders(tmp_path, base):
    (tmp_path / "variants").mkdir()
    (tmp_path / "variants" / "tube.toml").write_text(
        'base = "../frame.toml"\ntitle = "tube"\n'
        '[[crossmembers]]\nname = "gearbox"\nshape = "tube"\ndiameter = 50\nwall = 3\n'
    )
    found = laid(tmp_path, 'base = "variants/tube.toml"\n[[crossmembers]]\nname = "gearbox"\nwall = 5\n')
    assert found.title == "tube"
    assert found.crossmembers[2].shape == Tube(diameter=50, wall=5)
    assert found.crossmembers[2].via == chassis_from_text(base).crossmembers[2].via


def test_what_a_lower_overlay_leaves_hanging_an_upper_one_may_move(tmp_path, base):
    (tmp_path / "bare.toml").write_text(OVER + '[[remove]]\ncrossmember = "gearbox"\n')
    with pytest.raises(InputError, match="would hang on nothing"):
        read_chassis(tmp_path / "bare.toml")
    found = laid(tmp_path, 'base = "bare.toml"\n[[mounts]]\nname = "gearbox mount"\non = "rear"\n')
    assert [m.part for m in found.mounts if m.name == "gearbox mount"] == ["rear"]


def test_assumptions_move_on_an_overlay_too(tmp_path, base):
    found = laid(tmp_path, OVER + '[[crossmembers]]\nname = "front"\nwall = 3\n')
    by_hand = chassis_from_text(base.replace("width = 60\nwall = 2\n", "width = 60\nwall = 3\n"))
    key = found.assumptions[0].key
    value = found.assumptions[0].high
    assert with_assumption(found, key, value) == with_assumption(by_hand, key, value) != found


def test_the_models_laid_on_the_demo_differ_in_what_they_say_only():
    demo = read_chassis(MODELS / "short-4x4.toml")
    tube = read_chassis(MODELS / "short-4x4-tube-crossmember.toml")
    old = next(c for c in demo.crossmembers if c.name == "gearbox")
    changed = tuple(replace(c, shape=Tube(diameter=60, wall=3)) if c is old else c for c in demo.crossmembers)
    assert tube == replace(demo, title=tube.title, crossmembers=changed, bench_tests=())
    without = read_chassis(MODELS / "short-4x4-no-gearbox-crossmember.toml")
    assert without.crossmembers == tuple(c for c in demo.crossmembers if c is not old)
    moved = {m.name for m in without.mounts} - {m.name for m in demo.mounts}
    assert moved == {"gearbox mount left", "gearbox mount right"}
    assert (without.rails, without.axles) == (demo.rails, demo.axles)


def refused(folder, text, name="variant.toml"):
    """All that is said against an overlay, with file names shortened to the folder's."""
    with pytest.raises(InputError) as caught:
        laid(folder, text, name)
    return str(caught.value).replace(f"{folder}/", "")


HANGS = "Move it: add [[mounts]] with its name and a new on; or remove it too."
#: What an overlay says below its base; all that is said against it.
REFUSED = {
    "a crossmember with a mount on it": (
        '[[remove]]\ncrossmember = "gearbox"\n',
        'variant.toml:3: remove 1, crossmember: carries mount "gearbox mount", which would hang on nothing '
        f'(got "gearbox"). {HANGS}',
    ),
    "an outrigger with a mount on one side": (
        '[[remove]]\noutrigger = "step"\n',
        'variant.toml:3: remove 1, outrigger: carries mount "step mount", which would hang on nothing '
        f'(got "step"). {HANGS}',
    ),
    "a mount with masses on it": (
        '[[remove]]\nmount = "engine mount"\n',
        'variant.toml:3: remove 1, mount: carries mass "engine", which would hang on nothing (got "engine mount"). '
        "Hang it elsewhere: add [[masses]] with its name and a new on; or remove it too.\n"
        'variant.toml:3: remove 1, mount: carries mass "gearbox and all", which would hang on nothing '
        '(got "engine mount"). Hang it elsewhere: add [[masses]] with its name and a new on; or remove it too.',
    ),
    "a misspelt name": (
        '[[remove]]\ncrossmember = "gerbox"\n',
        'variant.toml:3: remove 1, crossmember: is not the name of a crossmember in frame.toml (got "gerbox"). '
        'Did you mean "gearbox"? Otherwise write one of the names there.',
    ),
    "a name that is like none": (
        '[[remove]]\nmass = "zzz"\n',
        'variant.toml:3: remove 1, mass: is not the name of a mass in frame.toml (got "zzz"). '
        'There are "engine" and "gearbox and all".',
    ),
    "nothing of that kind": (
        '[[remove]]\ncase = "hump"\n',
        'variant.toml:3: remove 1, case: is not the name of a case in frame.toml (got "hump"). '
        "There is none to take out.",
    ),
    "twice the same": (
        '[[remove]]\nmass = "engine"\n[[remove]]\nmass = "engine"\n',
        'variant.toml:5: remove 2, mass: is taken out already (got "engine"). Take out each part once.',
    ),
    "another word for a kind": (
        '[[remove]]\ncross_member = "gearbox"\n',
        'variant.toml:3: remove 1, cross_member: is not known here (got "gearbox"). '
        'Did you mean "crossmember"? Otherwise take it out.',
    ),
    "nothing named": (
        "[[remove]]\n",
        "variant.toml:2: remove 1: does not say what to take out. "
        'Write crossmember = "its name", or another part.',
    ),
    "no name": (
        "[[remove]]\nmount = 3\n",
        'variant.toml:3: remove 1, mount: must be a name in quotes (got 3). Write mount = "its name".',
    ),
    "single brackets": (
        '[remove]\nmount = "x"\n',
        'variant.toml:2: remove: must be a list of tables (got { mount = "x" }). '
        'Write [[remove]] and below it crossmember = "its name".',
    ),
    "a misspelt entry": (
        '[[remove]]\ncrossmember = "gearbox"\nentry = "wia"\n',
        'variant.toml:4: remove 1, entry: is not in frame.toml (got "wia"). '
        'Did you mean "via"? Otherwise name one of station, shape, depth, width, wall and via.',
    ),
    "an entry of two parts": (
        '[[remove]]\ncrossmember = ["front", "rear"]\nentry = "wall"\n',
        'variant.toml:4: remove 1, entry: must be the dotted name of one entry, of one part at most (got "wall"). '
        'Write entry = "body.split", or crossmember = "its name" and entry = "via".',
    ),
    "a misspelt part": (
        '[[crossmembers]]\nname = "gear box"\nwall = 4\n',
        'variant.toml:3: crossmember "gear box", name: is not the name of a crossmember in frame.toml '
        '(got "gear box"). Did you mean "gearbox"? Otherwise add shape.',
    ),
    "a new part that is not whole": (
        '[[masses]]\nname = "winch"\nmass = 40\n',
        'variant.toml:3: mass "winch", name: is not the name of a mass in frame.toml (got "winch"). '
        'Add on and aboard for a new mass; frame.toml has "engine" and "gearbox and all".',
    ),
    "a part without a name": (
        "[[crossmembers]]\nwall = 4\n",
        "variant.toml:2: crossmember 1, name: is missing: parts of an overlay are matched by name. "
        "Give the name that frame.toml has, or a new one for a new crossmember.",
    ),
    "an unknown key of a part": (
        '[[crossmembers]]\nname = "gearbox"\nwal = 4\n',
        'variant.toml:4: crossmember "gearbox", wal: is not a known key (got 4). '
        'Did you mean "wall"? Otherwise take it out.',
    ),
    "a size that the new shape does not have": (
        '[[crossmembers]]\nname = "gearbox"\nshape = "tube"\ndiameter = 50\nwall = 3\ndepth = 60\n',
        'variant.toml:7: crossmember "gearbox", depth: is not a size of a tube (got 60). '
        "A tube takes diameter and wall.",
    ),
    "a fault that only shows beside the base": (
        '[[crossmembers]]\nname = "gearbox"\nstation = 4000\n',
        'variant.toml:4: crossmember "gearbox", station: lies off the rails, which reach from 0 to 3600 mm (got 4000). '
        "Measure it from the same datum as the rails' stations.",
    ),
    "a fault of the base that the overlay brings about": (
        "[rails]\npath = [{ station = 0, half_spacing = 380 }, { station = 3400, half_spacing = 380 }]\n",
        'frame.toml:21: crossmember "rear", station: lies off the rails, which reach from 0 to 3400 mm (got 3500). '
        "Measure it from the same datum as the rails' stations.",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_every_message_is_whole(tmp_path, base, what):
    overlay, said = REFUSED[what]
    assert refused(tmp_path, OVER + overlay) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            'base = "fram.toml"\n',
            'variant.toml:1: base: is not a file (got "fram.toml"). Did you mean "frame.toml"? '
            "Otherwise check its name, as seen from the overlay's own folder.",
        ),
        (
            'base = "elsewhere/x.toml"\n',
            'variant.toml:1: base: is not a file (got "elsewhere/x.toml"). '
            "Check its name, as seen from the overlay's own folder.",
        ),
        (
            'title = "x"\n[[remove]]\nmass = "engine"\n',
            "variant.toml:1: base: is missing: an overlay names the chassis file that it starts from. "
            'Write base = "my-chassis.toml" at the top, before the first table.',
        ),
        (
            "base = 3\n",
            "variant.toml:1: base: must be the name of a chassis file in quotes (got 3). "
            'Write base = "my-chassis.toml" at the top, before the first table.',
        ),
        (
            'base = "variant.toml"\n',
            'variant.toml:1: base: leads round in a circle: "variant.toml" on "variant.toml" (got "variant.toml"). '
            "Start from a chassis file.",
        ),
        (
            'base = "other.toml"\n',
            'variant.toml:1: base: is not a chassis file (got "other.toml"). Start from a chassis file.',
        ),
        (
            'base = "broken.toml"\n',
            "broken.toml:2: a: cannot be read: the value is not understood (got a = 1,). "
            "Write the value behind the equals sign, or take the line out.",
        ),
        ('base = "a\\u0000b"\n', None),
        (f'base = "{"x" * 5000}"\n', None),
    ],
)
def test_bases_that_are_none(tmp_path, base, text, said):
    (tmp_path / "other.toml").write_text("answer = 42\n")
    (tmp_path / "broken.toml").write_text('title = "x"\na = \n')
    if said is None:
        assert "base: is not a file" in refused(tmp_path, text)
    elif "broken.toml:2" in said:
        assert refused(tmp_path, text).startswith("broken.toml:2: a: cannot be read")
    else:
        assert refused(tmp_path, text) == said


def test_circles_of_several_files_are_found(tmp_path, base):
    (tmp_path / "one.toml").write_text('base = "two.toml"\n')
    assert refused(tmp_path, 'base = "one.toml"\n', "two.toml") == (
        'one.toml:1: base: leads round in a circle: "two.toml" on "one.toml" on "two.toml" (got "two.toml"). '
        "Start from a chassis file."
    )


def test_faults_of_overlay_base_and_both_are_told_together(tmp_path, base):
    """The overlay's own come first, each with its file; a fault that the overlay mends is not told."""
    faulty = base.replace("diameter = 60", "diametre = 60").replace("track = 1440", "track = -1")
    (tmp_path / "frame.toml").write_text(faulty, encoding="utf-8")
    text = '[[remove]]\nmount = "gearbx mount"\n[[axles]]\nname = "rear"\ntrack = 1450\n[criteria]\nbendin = 100\n'
    (tmp_path / "variant.toml").write_text(OVER + text)
    with pytest.raises(InputError) as caught:
        read_chassis(tmp_path / "variant.toml")
    found = [(Path(p.file).name, p.line, p.key) for p in caught.value.problems]
    line = faulty[: faulty.index("diametre")].count("\n") + 1
    assert found == [
        ("variant.toml", 3, "remove 1, mount"),
        ("variant.toml", 8, "criteria, bendin"),
        ("frame.toml", line, 'crossmember "rear", diametre'),
    ]
    assert all(isinstance(p, Problem) and p.suggestion for p in caught.value.problems)


BLOCKS = [table for said in [*SAME.values(), *REFUSED.values()] for table in re.split(r"(?m)^(?=\[)", said[0]) if table]
VALUES = ['"gearbox"', '"rear"', '"step left"', '["front", "zzz"]', "3", "{ y = 1 }", '"via"', '""', "[]", "true"]


def spoilt(seed):
    """Tables of several overlays in any order, one value among them another one."""
    rng = random.Random(seed)
    lines = "".join(rng.sample(BLOCKS, rng.choice([1, 2, 4]))).splitlines()
    i = rng.randrange(len(lines))
    if " = " in lines[i]:
        lines[i] = f"{lines[i].split(' = ')[0]} = {rng.choice(VALUES)}"
    return OVER + "\n".join(lines)


def outcome(folder, text):
    try:
        return laid(folder, text).title, ()
    except InputError as error:
        return "", error.problems


@pytest.mark.parametrize("seed", range(40))
def test_a_spoilt_overlay_is_read_or_refused(tmp_path, base, seed):
    """Nothing but a chassis or Problems may come out of an overlay, whatever it says."""
    title, problems = outcome(tmp_path, spoilt(seed))
    assert bool(title) != bool(problems)
    assert all(p.rule and p.suggestion and p.key for p in problems)


def test_spoiling_spoils_some(tmp_path, base):
    """Some are read and most are refused for what they say, not for how they are written."""
    found = [outcome(tmp_path, spoilt(seed))[1] for seed in range(40)]
    assert 5 <= sum(not p for p in found) <= 30
    assert sum("cannot be read" in p.rule or "given twice" in p.rule for problems in found for p in problems) <= 15


PLATES = """
[[diaphragms]]
rail = "both"
station = 5
thickness = 3

[[diaphragms]]
name = "rear plate"
rail = "right"
station = 3595
thickness = 4
"""


@pytest.mark.parametrize(
    ("overlay", "old", "new"),
    [
        ('[[diaphragms]]\nname = "rear plate"\nthickness = 5\n', "thickness = 4", "thickness = 5"),
        ('[[remove]]\ndiaphragm = "rear plate"\n', PLATES[PLATES.index("[[diaphragms]]\nname") :], ""),
        (
            '[[remove]]\ndiaphragm = "diaphragm 1"\n',
            PLATES[: PLATES.index("[[diaphragms]]\nname")],
            "",
        ),
        (
            '[[diaphragms]]\nname = "middle plate"\nrail = "left"\nstation = 1800\nthickness = 2\n',
            "thickness = 4\n",
            'thickness = 4\n[[diaphragms]]\nname = "middle plate"\nrail = "left"\nstation = 1800\nthickness = 2\n',
        ),
        ('[joints]\nmodel = "springs"\n', "[[axles]]", '[joints]\nmodel = "springs"\n[[axles]]'),
    ],
    ids=["thicker", "taken out", "taken out by number", "added", "joints as springs"],
)  # fmt: skip
def test_diaphragms_and_the_model_of_joints_in_an_overlay(tmp_path, base, overlay, old, new):
    (tmp_path / "frame.toml").write_text(base + PLATES, encoding="utf-8")
    by_hand = base + PLATES
    assert by_hand.count(old) >= 1
    assert laid(tmp_path, OVER + overlay) == chassis_from_text(by_hand.replace(old, new, 1))


def test_messages_about_diaphragms_of_an_overlay(tmp_path, base):
    (tmp_path / "frame.toml").write_text(base + PLATES, encoding="utf-8")
    assert refused(tmp_path, OVER + '[[remove]]\ndiaphragm = "rear plat"\n') == (
        'variant.toml:3: remove 1, diaphragm: is not the name of a diaphragm in frame.toml (got "rear plat"). '
        'Did you mean "rear plate"? Otherwise write one of the names there.'
    )
    assert refused(tmp_path, OVER + '[[diaphragms]]\nname = "new"\nrail = "left"\n') == (
        'variant.toml:3: diaphragm "new", name: is not the name of a diaphragm in frame.toml (got "new"). '
        'Add station and thickness for a new diaphragm; frame.toml has "diaphragm 1" and "rear plate".'
    )


def test_a_diaphragm_of_the_same_name_does_not_hold_up_what_hung_on_a_crossmember(tmp_path, base):
    """Diaphragms carry nothing: the mount on the crossmember that is taken out still hangs on nothing."""
    (tmp_path / "frame.toml").write_text(base + PLATES.replace("rear plate", "gearbox"), encoding="utf-8")
    assert "which would hang on nothing" in refused(tmp_path, OVER + '[[remove]]\ncrossmember = "gearbox"\n')


TOWED = """
[[mounts]]
name = "tow eye"
on = "rear"

[towing]
coupling = "tow eye"
trailer = 1500

[[cases]]
name = "haul"
kind = "winch"
at = "tow eye"
force = 20
angle = 30
"""


@pytest.fixture
def towed(tmp_path, minimal):
    (tmp_path / "towed.toml").write_text(minimal + "fixed_eye = 'rear'\nspring = 'leaf'\n" + TOWED, encoding="utf-8")

    def read(text):
        (tmp_path / "over.toml").write_text('base = "towed.toml"\n' + text, encoding="utf-8")
        return read_chassis(tmp_path / "over.toml")

    return read


def test_towing_and_cases_in_an_overlay(towed):
    """Tables are laid on entry by entry; a case of another kind keeps none of what the old kind took."""
    towing = towed("[towing]\nnose_weight = 80\n").towing
    assert (towing.coupling, towing.trailer, towing.nose) == ("tow eye", 1.5, 0.08)
    (case,) = towed('[[cases]]\nname = "haul"\nangle = 10\n').cases
    assert (case.kind, case.force, case.angle) == ("winch", 20_000, 10)
    (case,) = towed('[[cases]]\nname = "haul"\nkind = "braking"\n').cases
    assert (case.kind, case.force, case.angle, case.at) == ("braking", 0, 0, ())


def test_another_kind_of_spring_keeps_none_of_the_old_links(towed):
    assert towed('[[axles]]\nname = "rear"\nspring = "coil"\n').axles[1].links.kind == "arms"
    assert towed('[[axles]]\nname = "rear"\nsuspension = "independent"\n').axles[1].links.kind == "pivots"


def test_a_mount_taken_out_that_tows(towed, tmp_path):
    with pytest.raises(InputError) as caught:
        towed('[[remove]]\nmount = "tow eye"\n')
    places = {'towing, coupling': "coupling", 'case "haul", at': "at"}
    lines = {place: line_in(tmp_path / "towed.toml", f'{key} = "tow eye"') for place, key in places.items()}
    assert str(caught.value).replace(f"{tmp_path}/", "") == "\n".join(
        f'over.toml:3: remove 1, mount: is still named by {place} (towed.toml:{line}) (got "tow eye"). '
        "Name another mount there, take that out too, or keep this one."
        for place, line in lines.items()
    )


def line_in(file, beginning):
    """Number of the one line of a file that begins so."""
    (number,) = [k for k, line in enumerate(file.read_text().splitlines(), 1) if line.startswith(beginning)]
    return number


CASES = """
[[mounts]]
name = "jack pad"
on = "both rails"
station = 2400

[workshop]
pads = ["engine mount", "jack pad"]
stands = ["engine mount", "jack pad left", "jack pad right"]

[[cases]]
name = "hold"
kind = "stands"
low = { "jack pad left" = 5 }
forces = [{ at = "engine mount left", z = 1 }]

[[cases]]
name = "pull"
kind = "recovery"
at = "engine mount left"
against = "jack pad right"

[[cases]]
name = "all"
kind = "combination"
of = [{ case = "hold" }, { case = "pull" }]

[[axles]]
"""


def test_all_that_still_names_what_was_taken_out(tmp_path, minimal):
    """Told at the overlay that took it out, with the place that names it; nothing follows from it."""
    (tmp_path / "frame.toml").write_text(minimal.replace("[[axles]]\n", CASES.lstrip(), 1), encoding="utf-8")
    (tmp_path / "lower.toml").write_text(OVER + '[[remove]]\nmount = "jack pad"\n', encoding="utf-8")
    text = 'base = "lower.toml"\n[[remove]]\ncase = "pull"\n'
    text += '[[cases]]\nname = "step"\nkind = "jack"\nat = "jack pad left"\n'
    line = {key: line_in(tmp_path / "frame.toml", key) for key in ("of", "pads", "stands", "low")}
    said = "is still named by {} (got {}). Name another {} there, take that out too, or keep this one."
    place = f'case "all", part 2, case (frame.toml:{line["of"]})'
    assert refused(tmp_path, text, "upper.toml").splitlines() == [
        "upper.toml:3: remove 1, case: " + said.format(place, '"pull"', "case"),
        *(
            "lower.toml:3: remove 1, mount: " + said.format(place, '"jack pad"', "mount")
            for place in (
                f"workshop, pad 2 (frame.toml:{line['pads']})",
                f"workshop, stand 2 (frame.toml:{line['stands']})",
                f"workshop, stand 3 (frame.toml:{line['stands']})",
                f'case "hold", low, jack pad left (frame.toml:{line["low"]})',
                'case "step", at (upper.toml:7)',
            )
        ),
    ]


def test_a_crossmember_taken_out_that_anchors_torsion_bars(tmp_path, base):
    """Named by the axle; what hangs on it is told as before."""
    independent = 'suspension = "independent"\ntorsion_bar = "gearbox"\n'
    (tmp_path / "frame.toml").write_text(base.replace("load = 750\n", f"load = 750\n{independent}"), encoding="utf-8")
    assert refused(tmp_path, OVER + '[[remove]]\ncrossmember = "gearbox"\n').splitlines() == [
        'variant.toml:3: remove 1, crossmember: carries mount "gearbox mount", which would hang on nothing '
        f'(got "gearbox"). {HANGS}',
        'variant.toml:3: remove 1, crossmember: is still named by axle 2, torsion_bar (frame.toml:45) (got "gearbox"). '
        "Name another crossmember there, take that out too, or keep this one.",
    ]


USUAL_SET = ["static", "amplified", "front axle bounce"]


def test_the_usual_set_needs_no_name_in_an_overlay(tmp_path, base):
    """As in any file; a combination may name its cases, and the set of the base is the same one."""
    of = '[[cases]]\nname = "both"\nkind = "combination"\nof = [{ case = "braking" }, { case = "static" }]\n'
    found = laid(tmp_path, f'{OVER}[[cases]]\nkind = "usual"\n{of}').cases
    assert [c.name for c in found][:3] == USUAL_SET
    assert found[-1].of == (("braking", 1.0), ("static", 1.0))
    again = laid(tmp_path, 'base = "variant.toml"\n[[cases]]\nkind = "usual"\n', "upper.toml")
    assert again.cases == found
    text = 'base = "variant.toml"\n[[remove]]\ncase = "usual"\n' + of.replace("braking", "own")
    text += '[[cases]]\nname = "own"\nkind = "braking"\n[[cases]]\nname = "static"\nkind = "static"\n'
    without = laid(tmp_path, text, "upper.toml")
    assert [c.name for c in without.cases] == ["both", "own", "static"]


def test_a_case_that_is_called_usual_is_not_the_usual_set(tmp_path, base):
    (tmp_path / "frame.toml").write_text(base + '[[cases]]\nname = "usual"\nkind = "static"\n', encoding="utf-8")
    found = laid(tmp_path, OVER + '[[cases]]\nkind = "usual"\n').cases
    assert [c.name for c in found][:4] == ["usual", *USUAL_SET]


def test_a_part_without_a_name_is_told_once(tmp_path, base):
    """What names it may mean it."""
    text = '[[mounts]]\non = "rear"\n[towing]\ncoupling = "hook"\n'
    assert refused(tmp_path, OVER + text) == (
        "variant.toml:2: mount 1, name: is missing: parts of an overlay are matched by name. "
        "Give the name that frame.toml has, or a new one for a new mount."
    )
