"""`ladderfe weld`: the question put to it answered by a number worked out by hand, its page measured, its JSON."""

from __future__ import annotations

import json
from math import sqrt

import pytest

from ladderfe.advice.weld_sizes import weld_sizes
from ladderfe.checks.weld_demands import demands_of, weld_demands
from ladderfe.cli.main import run
from ladderfe.connections import weld_steel
from ladderfe.report.weld_text import weld_text
from ladderfe.report.weld_words import butt_words

#: Rails 150 x 75 x 2 mm, a flange plate 50 x 3 mm from 2850 to 3150 mm under the left one.
PLAN = """\
[repair]
support = "unloaded"

[[plates]]
kind = "flange"
rail = "left"
wall = "bottom"
from = 2850
to = 3150
thickness = 3
width = 50
{weld}
"""


@pytest.fixture
def told(plans, tmp_path, capsys):
    """Status and page of the command on a plan, or its JSON."""

    def call(weld="", *options):
        plans.frame(tmp_path, more='[[cases]]\nname = "rough road"\nkind = "amplified"\nfactor = 3\n')
        status = run(["weld", str(plans.plan(tmp_path, PLAN.format(weld=weld))), *options])
        out = capsys.readouterr().out
        return status, json.loads(out) if "--json" in options else out

    return call


def rows(document, table):
    t = document[table]
    return [dict(zip(t["columns"], row, strict=True)) for row in t["rows"]]


def test_weld_size_and_length_seam_or_stitch(told):
    """Weld size and length? Seam or stitch?

    By hand from the test frame's header: each rail carries half of 665 kg/m behind 2079 mm, and 824.9 kg/2 of shear
    just ahead of the rear axle at 3318 mm; so at 3150 mm V = (824.9 - 665 x 0.168)/2 x 9.80665 = 3497 N in the static
    case.  Section with the plate: A = 884 + 150 mm2, its centroid 11.1 mm down, I by Steiner; the flow is V S/I, half
    in each edge; the case of the file is three times that.
    """
    status, document = told("", "--json")
    shear = (824.9 - 665 * 0.168) / 2 * 9.80665
    hollow = 75 * 150**3 / 12 - 71 * 146**3 / 12
    down = 150 * 76.5 / 1034
    inertia = hollow + 884 * down**2 + 150 * (76.5 - down) ** 2 + 50 * 3**3 / 12
    flow = shear * 150 * (76.5 - down) / inertia / 2
    edges = [r for r in rows(document, "plate welds") if r["kind"] == "edge"]
    assert [r["case"] for r in edges] == ["rough road", "rough road"]
    for r in edges:
        assert r["force N/mm"] == pytest.approx(3 * flow, rel=0.01)  # a mean over 10 mm: 0.5 %
        # simplified method by hand: 360/(sqrt3 x 0.8 x 1.25) = 207.8 N/mm2 on the throat
        assert r["throat mm"] == pytest.approx(r["force N/mm"] / (360 / sqrt(3)), rel=1e-6)
        assert r["leg mm"] == pytest.approx(sqrt(2) * r["throat mm"], rel=1e-6)
        assert r["leg allowed mm"] == 2.0
        assert r["fits"] is True
    assert document["weld m"] == {"butt": 0, "seam": 0.6, "end": 0.1, "slot": 0, "crossmember joint": 0}
    words = " ".join(document["seam or stitch"])
    assert "Weld all round, continuous" in words
    use = max(r["throat mm"] for r in edges) / 1.4
    # a run has the throat of 1.4 mm over 50 - 2 x 1.4 mm (EN 1993-1-8 4.5.1)
    assert f"runs of 50 mm every {(50 - 2 * 1.4) / use:.0f} mm" in words
    assert status == 0


def test_the_page(told):
    status, page = told()
    lines = page.splitlines()
    assert status == 0
    assert max(map(len, lines)) <= 100
    for words in ("Seam or stitch?", "value from memory, text not seen", "common practice, no source",
                  "outside of the scope of EN 1993-1-8", "quality of a weld is not seen", "Heat: weld in short lengths",
                  "Brake and fuel lines", "battery", "licensed"):  # fmt: skip
        assert words in " ".join(" ".join(lines).split())


def test_stitches_carry_the_flow_in_their_runs(told):
    """Runs of 30 mm every 90 mm, full over 30 - 2 x 0.7 x 2 = 27.2 mm: 3.31 times the force, a third of the weld; too
    small a throat is told."""
    _, whole = told("", "--json")
    _, stitched = told('weld = { seam = "stitch", run = 30, pitch = 90 }', "--json")
    one, three = (next(r for r in rows(d, "plate welds") if r["kind"] == "edge") for d in (whole, stitched))
    # the plate itself works a little less with softer welds
    assert three["force N/mm"] == pytest.approx(90 / 27.2 * one["force N/mm"], rel=0.02)
    assert stitched["weld m"]["seam"] == pytest.approx(0.2)
    status, small = told("weld = { throat = 0.7 }", "--json", "--method", "permissible")
    end = max(rows(small, "plate welds"), key=lambda r: r["throat mm"])
    assert end["throat mm"] > 0.7
    assert end["words"] == "plan SMALL"
    assert status == 1


@pytest.mark.parametrize(("method", "strength"), [("simplified", 207.846), ("permissible", 115.0)])
def test_methods(told, method, strength):
    _, document = told("", "--json", "--method", method)
    assert document["strength N/mm2"] == pytest.approx(strength, rel=1e-5)
    end = next(r for r in rows(document, "plate welds") if r["kind"] == "end")
    assert end["throat mm"] == pytest.approx(end["force N/mm"] / strength, rel=1e-5)


def test_a_weld_across_is_stronger_by_the_directional_method(told):
    """sqrt(3/2) of the simplified one: equivalent stress sqrt2 q/a against sqrt3 q/a."""
    ends = [next(r for r in rows(told("", "--json", "--method", m)[1], "plate welds") if r["kind"] == "end")
            for m in ("simplified", "directional")]  # fmt: skip
    assert ends[0]["throat mm"] / ends[1]["throat mm"] == pytest.approx(sqrt(1.5), rel=1e-6)


def test_a_chassis_file_has_joints_alone(plain_file, capsys):
    status = run(["weld", str(plain_file), "--steel", "S355"])
    page = " ".join(capsys.readouterr().out.split())
    assert status == 0
    assert "Joints on the rails" in page
    assert "Seam or stitch" not in page
    assert "fu 490 N/mm2, beta_w 0.9" in page


def test_butts_on_thin_walls_deserve_full_penetration(plans, tmp_path):
    """On 2 mm walls nothing counts from one side; what must be fused is the use all through times the thickness."""
    plans.frame(tmp_path)
    text = '[[splices]]\nrail = "left"\nstation = 1800\ncut = "square"\nmade = "{}"\n'
    one, both = (
        weld_sizes(weld_demands(plans.planned(tmp_path, text.format(made))), weld_steel("S235"))
        for made in ("one side", "both sides")
    )
    assert one.exceeded
    assert not both.exceeded
    assert {b.group for b in one.butts} == {"flanges", "webs", "corners"}
    assert all(b.needed == pytest.approx(b.full * 2.0) for b in one.butts)
    assert "deserves full penetration" in butt_words(one.butts)
    assert "ONE SIDE" in butt_words(one.butts)
    assert "ONE SIDE" not in butt_words(both.butts)


def test_thick_walls_may_be_welded_from_one_side(plans, tmp_path):
    """On 6 mm walls 4 mm count: the use is 6/4 of that all through, and small."""
    plans.frame(tmp_path, '{ shape = "box", depth = 150, width = 75, wall = 6, radius = 0 }')
    text = '[[splices]]\nrail = "left"\nstation = 1800\ncut = "square"\n'
    w = weld_sizes(weld_demands(plans.planned(tmp_path, text)), weld_steel("S235"))
    assert all(b.one_side == pytest.approx(1.5 * b.full) for b in w.butts)
    assert "which the force allows" in butt_words(w.butts)
    assert not w.exceeded


def test_joints_that_have_no_room_are_told(demo_findings):
    """Of the demo frame some joints ask for more leg than their walls have; the page says what helps."""
    w = weld_sizes(demands_of(demo_findings, None), weld_steel("S235"))
    worst = max(w.joints, key=lambda f: f.throat)
    assert worst.leg > worst.limit
    assert not worst.fits
    page = weld_text(w, "file")
    assert "NO ROOM" in page
    assert "Where the leg does not fit" in page
    assert max(map(len, page.splitlines())) <= 100


def test_a_leg_larger_than_the_thinner_wall_does_not_fit(told):
    """The wall is 2 mm: a leg of 2 mm (throat 0.7 of it) fits, one of 3 mm does not, carries no more than 1.4 mm of
    throat, and brings an end's force in over the same length."""
    (_, fits), (status, large) = told("weld = { leg = 2 }", "--json"), told("weld = { leg = 3 }", "--json")
    for own, other in zip(rows(fits, "plate welds"), rows(large, "plate welds"), strict=True):
        assert (own["fits"], other["fits"]) == (True, False)
        assert other["words"] == "plan LARGE"
        assert other["anchorage mm"] == pytest.approx(own["anchorage mm"], rel=1e-5)
    assert status == 1
    page = " ".join(told("weld = { leg = 3 }")[1].split())
    assert "outer edge: 2.97 mm of 2 mm. No more than a throat of 1.40 mm counts there" in page
    assert "both edges with a throat of 1.40 mm bring it in" in page
