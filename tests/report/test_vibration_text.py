"""Natural frequencies as page, JSON and scenes."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks.vibration import BARE, LADEN, SPRUNG
from ladderfe.report.mode_scene import hertz, mode_scene, sheet_modes
from ladderfe.report.table import page_width
from ladderfe.report.vibration_data import vibration_json, vibration_tables
from ladderfe.report.vibration_text import vibration_text
from ladderfe.report.vibration_words import CAUTIONS_VIBRATION


@pytest.mark.parametrize(
    ("frequency", "words"),
    [(0.0, "0.00"), (0.1234, "0.123"), (1.397, "1.40"), (9.994, "9.99"), (9.996, "10.0"), (99.96, "100"),
     (132.4, "132"), (1234.0, "1234")],
)
def test_three_figures(frequency, words):
    assert hertz(frequency) == words


def test_the_page_tells_all_modes(demo_vibration):
    page = vibration_text(demo_vibration, "demo.toml")
    assert page.startswith("Short box-rail 4x4: natural frequencies\ndemo.toml; weighed:")
    assert max(map(len, page.splitlines())) <= 100
    lines = [line.split(maxsplit=1) for line in page.splitlines() if re.match(r" *[0-9.]+  ", line)]
    for state in demo_vibration.states.values():
        for mode in state.modes:
            assert any(first == hertz(mode.frequency) and mode.name in rest for first, rest in lines)
            assert not mode.beside or f"with {mode.beside.split()[0]}" in page
    flat = " ".join(page.split())
    assert "Not in the model" in flat
    for word in ("stiffness", "Rubber", "Dampers", "wheel hop is not among the modes"):
        assert word in flat
    assert "value from memory" in flat.replace("values", "value")
    assert "Self-check: 6 of 6 proofs hold" in flat


def test_a_first_that_modes_share_is_told_as_such(demo_vibration):
    """Nothing else is called the first twist: page, data and sheet name the modes that share it."""
    state = demo_vibration.states[LADEN]
    twist, lateral = state.first("first twist"), state.first("first lateral bending")
    modes = list(state.modes)
    modes[twist] = replace(modes[twist], name="lozenge and twist", within=("first twist",))
    modes[lateral] = replace(modes[lateral], beside="twist", within=("first twist",))
    shared = replace(state, modes=tuple(modes))
    v = replace(demo_vibration, states={**demo_vibration.states, LADEN: shared})
    page, (low, high) = vibration_text(v, "demo.toml"), (modes[k].frequency for k in sorted((twist, lateral)))
    told = f"first lateral bending (with twist) {hertz(modes[lateral].frequency)} Hz"
    laden = " ".join(page.split()).partition("Laden (")[2].partition(" On its springs")[0]
    assert told in laden
    assert laden.endswith(f"first twist shared by modes of {hertz(low)} and {hertz(high)} Hz.")
    document = json.loads(vibration_json(v, "demo.toml"))
    assert document["named modes Hz"][LADEN]["first twist"] is None
    assert document["shared modes Hz"][LADEN] == {"first twist": pytest.approx([low, high], rel=1e-8)}
    assert document["shared modes Hz"][BARE] == {}
    assert sheet_modes(shared) == [twist, state.first("first vertical bending"), lateral]
    assert mode_scene(v, shared, lateral).title.startswith("First lateral bending, with twist: ")


def test_a_narrow_page(demo_vibration):
    with page_width(80):
        page = vibration_text(demo_vibration, "demo.toml")
    assert max(map(len, page.splitlines())) <= 84  # names of masses stay whole


def test_a_weightless_frame_is_said(plain_vibration):
    page = " ".join(vibration_text(plain_vibration, "plain.toml").split())
    assert "gives the steel no weight, so the bare frame has no frequencies" in page
    assert "Bare frame" not in page


def test_cautions_are_those_of_frequencies(demo_vibration):
    page = " ".join(vibration_text(demo_vibration, "x").split())
    assert "stresses under the stated loads" not in page
    assert "How far it swings and what stress that brings does not follow from them. They are no inspection" in page
    assert "Never work under a vehicle held by a jack alone" in page
    assert json.loads(vibration_json(demo_vibration, "x"))["cautions"] == list(CAUTIONS_VIBRATION)


def test_rates_of_mounts_are_said_not_to_be_used(demo_vibration):
    """At the head of the page, with what hangs there; nothing where no mount has a rate."""
    c = demo_vibration.chassis
    rated = tuple(replace(m, rates=None) for m in c.mounts)
    none = replace(demo_vibration, chassis=replace(c, mounts=rated))
    assert "rates" not in vibration_text(none, "x").partition("Bare frame, free")[0]
    mass = next(m for m in c.masses if m.mounts)
    rated = tuple(replace(m, rates=(1.0, 1.0, 1.0)) if m.name == mass.mounts[0] else m for m in rated)
    some = replace(demo_vibration, chassis=replace(c, mounts=rated))
    head = " ".join(vibration_text(some, "x").partition("Bare frame, free")[0].split())
    words = "The rates that the file states for mounts are NOT used here, firmly fixed to the frame all the same"
    assert f"{words}: {mass.name}" in head
    assert "NOT used here" in json.loads(vibration_json(some, "x"))["note"]


def test_short_of_proof_only_the_proofs(demo_vibration):
    broken = replace(demo_vibration.proofs[0], difference=1.0)
    short = replace(demo_vibration, proofs=(broken, *demo_vibration.proofs[1:]))
    page = vibration_text(short, "demo.toml")
    assert "The self-check fell short (mass, its centre and moments of inertia)" in " ".join(page.split())
    assert "first twist" not in page
    document = json.loads(vibration_json(short, "demo.toml"))
    assert document["proven"] is False
    assert "modes" not in document


def test_json_has_every_mode(demo_vibration):
    document = json.loads(vibration_json(demo_vibration, "demo.toml"))
    for name, (head, found) in vibration_tables(demo_vibration).items():
        assert document[name]["columns"] == list(head)
        assert len(document[name]["rows"]) == len(found)
        assert all(len(row) == len(head) for row in document[name]["rows"])
    rows = [dict(zip(document["modes"]["columns"], r, strict=True)) for r in document["modes"]["rows"]]
    for name, state in demo_vibration.states.items():
        mine = [r for r in rows if r["state"] == name]
        assert [r["frequency Hz"] for r in mine] == pytest.approx([m.frequency for m in state.modes], rel=1e-8)
        twist = document["named modes Hz"][name]["first twist"]
        assert twist == pytest.approx(state.modes[state.first("first twist")].frequency, rel=1e-8)
    assert document["mass kg"][LADEN] == pytest.approx(1000 * demo_vibration.states[LADEN].mass)


def test_a_sheet_shows_the_firsts(demo_vibration, plain_vibration):
    for v, name in ((demo_vibration, BARE), (demo_vibration, SPRUNG), (plain_vibration, LADEN)):
        state = v.states[name]
        names = [state.modes[k].name for k in sheet_modes(state)]
        assert names == ["first twist", "first vertical bending", "first lateral bending"]
    none = replace(demo_vibration.states[BARE], modes=demo_vibration.states[BARE].modes[4:])
    assert sheet_modes(none) == [0, 1, 2]


def test_the_scene_moves_as_the_mode(demo_vibration):
    """Walls at the rails' ends move like the rails' nodes there, up to a common size; colours are the movement's size
    over the greatest."""
    state = demo_vibration.states[BARE]
    number = state.first("first vertical bending")
    scene = mode_scene(demo_vibration, state, number)
    assert scene.title == f"First vertical bending: {hertz(state.modes[number].frequency)} Hz"
    assert scene.highest == pytest.approx(1.0)
    assert np.linalg.norm(scene.displacements, axis=-1) == pytest.approx(scene.values, abs=1e-12)
    mesh, frame = demo_vibration.solution.mesh, demo_vibration.solution.frame
    shape = state.found.shapes[:, state.skip + number]
    ratio = []
    for side in ("left rail", "right rail"):
        part = mesh.part(side)
        for node in (mesh.ends[part.first, 0], mesh.ends[part.last - 1, 1]):
            own = np.array(scene.parts)[:, None] == side
            at = own & (np.abs(scene.quads[..., 0] - frame.nodes[node, 0]) < 1.0)
            ratio.append(scene.displacements[at][:, 2].mean() / shape[frame.start[node] + 2])
    assert ratio == pytest.approx([ratio[0]] * 4, rel=0.02)
