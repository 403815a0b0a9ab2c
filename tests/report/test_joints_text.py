"""The block of joints: each joint as it is used, given, estimated or rigid, with range and warnings."""

from dataclasses import replace
from math import inf

import pytest

from ladderfe.chassis import Diaphragm, Joint
from ladderfe.checks import check
from ladderfe.mesh import joint_uses
from ladderfe.report.cautions import not_checked
from ladderfe.report.findings_text import findings_text
from ladderfe.report.joints_text import JOINT_COLUMNS, joint_rows, joints_text


@pytest.fixture
def ladder(made):
    """One crossmember of each sort: estimated, given on the left only, above the rails where there is no web."""
    first, second, third = made.LADDER
    return made.chassis(crossmembers=(
        replace(first, joint_left=Joint(), joint_right=Joint()),
        replace(second, joint_left=made.sprung(rx=25e6), joint_right=Joint(kind="through")),
        replace(third, height_left=200.0, height_right=200.0, joint_left=Joint(), joint_right=Joint()),
    ))  # fmt: skip


def line_of(chassis, start):
    """Columns of the only line that starts so, two spaces and more between them."""
    (line,) = [x for x in joints_text(chassis) if x.startswith(start)]
    return [c.strip() for c in line.split("  ") if c.strip()]


def test_alike_left_and_right_is_one_line(ladder):
    part, side, kind, source, used, reach, *notes = line_of(ladder, "front")
    assert (part, side, kind, source) == ("front", "both", "box rail, near a free end", "estimated")
    found = next(u.estimate for u in joint_uses(ladder) if u.part == "front")
    assert float(used) == pytest.approx(found.stiffness[3] / 1e6, abs=0.05)  # one decimal
    low, high = (float(v) for v in reach.split(" to "))
    assert low == pytest.approx(found.low[3] / 1e6, abs=0.05)
    assert high == pytest.approx(found.high[3] / 1e6, abs=0.05)
    assert notes == ["a"]


def test_given_joints_are_told_as_given(ladder):
    rows = [x.split() for x in joints_text(ladder) if x.startswith("middle")]
    assert rows[0][:6] == ["middle", "left", "as", "given", "given", "25.0"]
    assert rows[1][:5] == ["middle", "right", "box", "rail,", "through"]


def test_where_there_is_no_estimate_it_says_so_and_why(ladder):
    assert line_of(ladder, "rear")[:5] == ["rear", "both", "butted", "no estimate: rigid", "rigid"]
    assert any("taken as rigid: height is 200.0" in line for line in joints_text(ladder))


def test_rigid_on_request_is_told_as_such(ladder):
    part, _, _, source, used, reach, *_ = line_of(replace(ladder, joint_level=inf), "front")
    assert (part, source, used) == ("front", "rigid as asked for", "rigid")
    assert reach == line_of(ladder, "front")[5]  # what the walls would give stays in view
    assert line_of(replace(ladder, joint_level=-1.0), "front")[3] == "estimated, low end"


def test_released_joints_are_free(made):
    first, *others = made.LADDER
    hinged = replace(first, joint_left=made.free("rx"), joint_right=made.free("rx"))
    assert line_of(made.chassis(crossmembers=(hinged, *others)), "front")[4] == "free"


def test_numbers_outside_the_data_are_told_together(made):
    """Notes that differ in a number only share a letter."""
    rails = made.rails(made.channel(150, 60, 5, "-y"))
    ladder = [replace(c, joint_left=Joint(), joint_right=Joint()) for c in made.LADDER]
    text = joints_text(made.chassis(rails=rails, crossmembers=tuple(ladder)))
    notes = [x for x in text if "rail depth over web" in x]
    assert len(notes) == 1
    assert "(data 36 to 107)" in notes[0]


def test_rows_hold_every_joint_whole(ladder):
    rows = [dict(zip(JOINT_COLUMNS, r, strict=True)) for r in joint_rows(ladder)]
    assert [(r["part"], r["rail"]) for r in rows][:3] == [
        ("front", "left rail"), ("front", "right rail"), ("middle", "left rail"),
    ]  # fmt: skip
    assert rows[2]["rx N mm/rad"] == 25e6
    assert rows[2]["from"] == "given"
    assert rows[2]["x N/mm"] == "infinite"
    assert rows[2]["rx low N mm/rad"] is None
    assert rows[4]["warnings"].startswith("taken as rigid: ")


def test_the_page_has_the_block_and_what_is_not_in_it(demo_findings):
    page = findings_text(demo_findings, "demo.toml")
    assert page.index("Movements") < page.index("\nJoints, kN m/rad") < page.index("Not checked")
    words = " ".join(page.split())
    assert "own studies in solids, no published source" in words
    assert "welds, corner radii, bolts and brackets left out" in words
    assert max(map(len, page.splitlines())) <= 100


def test_what_is_not_checked_of_joints_follows_what_they_are(made, ladder):
    """All given: nothing; estimated: what the estimate leaves out; without one: by name; asked for: rigid."""
    def words(chassis):
        return [w for w in not_checked(check(chassis, assumptions=False)) if "oftness" in w or "true stiffness" in w]

    assert words(made.chassis()) == []
    stiff, estimated = words(ladder)
    assert "count as rigid: rear." in stiff.replace("crossmember ", "")
    assert "Welds, corner radii, bolts and brackets are not in it" in estimated
    (asked,) = words(replace(ladder, joint_level=inf))
    assert "asks for rigid ones" in asked


PLATES = (
    Diaphragm(name="end left", side="left", station=5.0, thickness=3.0),
    Diaphragm(name="end right", side="right", station=5.0, thickness=3.0),
    Diaphragm(name="gusset", side="left", station=1900.0, thickness=2.5),
)


def flat(lines):
    return " ".join(" ".join(lines).split())


def test_diaphragms_are_listed_where_there_are_any(ladder):
    """Those alike left and right in one; where rails do not rack they have no part."""
    held = replace(ladder, diaphragms=PLATES)
    told = "Diaphragms: end (both rails at 5 mm, 3 mm thick), gusset (left rail at 1900 mm, 2.5 mm thick). "
    keep = told + "They keep the shape of the rails' section, which racks between them."
    assert flat(joints_text(held)).endswith(keep)
    nothing = told + "They do nothing here, where rails keep the shape of their section anyway."
    assert flat(joints_text(replace(held, joint_level=inf))).endswith(nothing)
    assert flat(joints_text(replace(held, joint_model="springs"))).endswith(nothing)
    assert "iaphragm" not in flat(joints_text(ladder))
    assert max(map(len, joints_text(held))) <= 100


def test_diaphragms_that_differ_left_and_right_are_told_apart(ladder):
    other = replace(ladder, diaphragms=(PLATES[0], replace(PLATES[1], thickness=4.0)))
    assert "end (left rail at 5 mm, 3 mm thick), end (right rail at 5 mm, 4 mm thick)." in flat(joints_text(other))


def test_joints_as_springs_are_told(made, ladder):
    """On the block, and on box rails among what is not checked."""
    springs = replace(ladder, joint_model="springs")
    asked = "As asked for every joint is six springs here, and box rails keep the shape of their section."
    assert asked in flat(joints_text(springs))
    assert asked not in flat(joints_text(ladder))

    def words(chassis):
        return [w for w in not_checked(check(chassis, assumptions=False)) if w.startswith("Racking of the rails")]

    (one,) = words(springs)
    assert "The stress that racking brings is left out" in one
    assert "corners within one rail depth of a joint is unreliable" in one
    assert words(ladder) == []
    assert words(replace(springs, rails=made.rails(made.Tube(diameter=100, wall=3)))) == []
