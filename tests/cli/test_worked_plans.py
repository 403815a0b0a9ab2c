"""The two worked plans of the demo chassis: what the tool says of the one that does little, and of the other."""

from __future__ import annotations

import json
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from ladderfe.checks import findings, selfcheck
from ladderfe.cli.main import EXCEEDED, run

MODELS = Path(__file__).resolve().parents[2] / "models" / "plans"


@pytest.fixture(scope="module")
def documents():
    """name -> (document, status).  Tapers may be 2 % off here and not 0.2 %, which is enough for what is asked below
    and a fifth of the work."""
    out = {}
    for name in ("short-4x4-cheek-plates", "short-4x4-let-in"):
        text = StringIO()
        with redirect_stdout(text), pytest.MonkeyPatch.context() as patch:
            for module in (findings, selfcheck):
                patch.setattr(module, "TAPER_LIMIT", 0.02)
            status = run(["repair", str(MODELS / f"{name}.toml"), "--json"])
        out[name] = json.loads(text.getvalue()), status
    return out


@pytest.mark.parametrize("name", ["short-4x4-cheek-plates", "short-4x4-let-in"])
def test_each_opens_with_what_it_is(name):
    assert (
        (MODELS / f"{name}.toml").read_text(encoding="utf-8").startswith("# A repair plan for the short box-rail 4x4")
    )


def test_cheek_plates_at_mid_span_and_a_lap_over_rust_do_little(documents):
    document, status = documents["short-4x4-cheek-plates"]
    use = document["greatest utilisation"]
    over = {k: len(v) for k, v in document["cases over a limit"].items()}
    assert use["as repaired"] > 0.9 * use["as found"] > 2 * use["as built"]
    assert over["as repaired"] >= over["as found"] - 2
    broken = " ".join(document["rules not kept"])
    for words in (
        "cheek plate, left rail, outer, 1620 to 2020 mm: thickness over that of the wall is 2.4, at most 2",
        "part of the rail's depth that its end weld runs across",
        "length beyond the hanger is 40 mm, at least 280 mm",
        "part left of the wall under it is 0.547, at least 0.8",
        "lap on metal that is not rusted",
        "length beyond the joint is 200 mm, at least 280 mm",
    ):
        assert words in broken, words
    assert document["frame mass kg"]["as repaired"] > document["frame mass kg"]["as built"]
    assert document["worse"]["rows"]
    assert document["splices"]
    assert status == EXCEEDED


def test_pieces_let_in_bring_the_frame_near_to_as_built(documents):
    document, status = documents["short-4x4-let-in"]
    use, twist = document["greatest utilisation"], document["torsional stiffness kN m/deg"]
    assert use["as repaired"] < 1.05 * use["as built"] < 0.5 * use["as found"]
    assert len(document["cases over a limit"]["as repaired"]) == len(document["cases over a limit"]["as built"])
    assert twist["as repaired"] > 0.96 * twist["as built"] > 1.2 * twist["as found"]
    assert not document["rules not kept"]
    assert document["frame mass kg"]["as repaired"] < document["frame mass kg"]["as built"]
    assert {k for k, v in document["weld m"].items() if v} == {"butt"}
    assert status == EXCEEDED  # as built, too: rust is not what overloads it in these cases
