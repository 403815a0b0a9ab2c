"""The JSON Schema for editors: it knows every key of the models and refuses what the reader refuses."""

from __future__ import annotations

import json
import tomllib
from copy import deepcopy
from pathlib import Path

import pytest

from ladderfe.chassis import json_schema
from ladderfe.condition.catalogue_schema import catalogue_schema
from ladderfe.condition.plan_file import is_plan
from ladderfe.condition.plan_schema import plan_schema

MODELS = sorted((Path(__file__).parents[2] / "models").rglob("*.toml"))
TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "number": (int, float)}
TANK = {"name": "tank", "litres": 70, "on": ["engine mount"], "aboard": True}
LOAD = {"name": "load", "mass": 300, "spread": {"from": 2000, "to": 3000}, "aboard": False}


def bench(**spoilt):
    """A bench test with some of its lists spoilt."""
    place = {"rail": "left", "station": 600}
    held = [place, {"rail": "left", "station": 900}, {"rail": "right", "station": 600}]
    return {"name": "a", "held": held, "loads": [{**place, "force": 1}], "gauges": [{**place, "reading": 2}], **spoilt}


@pytest.fixture(scope="module")
def schema():
    return json_schema()


def objections(schema, value, rule, at="file"):
    """What a JSON Schema holds against a value; the keywords of draft 2020-12 that our schema uses, and no others."""
    known = {
        "$defs",
        "$schema",
        "$ref",
        "type",
        "properties",
        "required",
        "additionalProperties",
        "items",
        "anyOf",
        "allOf",
        "oneOf",
        "if",
    }
    known |= {
        "then",
        "enum",
        "const",
        "minimum",
        "maximum",
        "exclusiveMinimum",
        "exclusiveMaximum",
        "description",
        "examples",
        "minItems",
        "maxItems",
    }
    assert set(rule) <= known, set(rule) - known
    if "$ref" in rule:
        return objections(schema, value, schema["$defs"][rule["$ref"].rsplit("/", 1)[1]], at)
    if "anyOf" in rule:
        ways = [objections(schema, value, way, at) for way in rule["anyOf"]]
        return [] if [] in ways else [f"{at}: none of the ways"]
    kind = rule.get("type")
    if kind and (not isinstance(value, TYPES[kind]) or (kind == "number" and isinstance(value, bool))):
        return [f"{at}: not of type {kind}"]
    found = [
        f"{at}: not allowed" for words in [rule.get("enum", [value]), [rule.get("const", value)]] if value not in words
    ]
    if isinstance(value, (int, float)):
        found += out_of_bounds(value, rule, at)
    if isinstance(value, list):
        if not rule.get("minItems", 0) <= len(value) <= rule.get("maxItems", len(value)):
            found.append(f"{at}: not of that length")
        found += [o for i, v in enumerate(value) for o in objections(schema, v, rule.get("items", {}), f"{at}[{i}]")]
    if isinstance(value, dict):
        found += of_table(schema, value, rule, at)
    for part in rule.get("allOf", []):
        if "if" not in part:
            found += objections(schema, value, part, at)
        elif not objections(schema, value, part["if"], at):
            found += objections(schema, value, part["then"], at)
    ways = [objections(schema, value, way, at) for way in rule.get("oneOf", [])]
    return found if not ways or ways.count([]) == 1 else [*found, f"{at}: not one of the ways"]


def of_table(schema, value, rule, at):
    keys = rule.get("properties", {})
    found = [f"{at}: lacks {k}" for k in rule.get("required", []) if k not in value]
    if rule.get("additionalProperties", True) is False:
        found += [f"{at}: unknown {k}" for k in value if k not in keys]
    return found + [o for k, v in value.items() if k in keys for o in objections(schema, v, keys[k], f"{at}.{k}")]


def out_of_bounds(value, rule, at):
    low, high = rule.get("minimum", value), rule.get("maximum", value)
    above, below = rule.get("exclusiveMinimum", value - 1), rule.get("exclusiveMaximum", value + 1)
    return [] if low <= value <= high and above < value < below else [f"{at}: out of bounds"]


@pytest.mark.parametrize("path", MODELS, ids=[p.name for p in MODELS])
def test_the_models_follow_it(path):
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    rule = plan_schema() if is_plan(data) else json_schema(overlay="base" in data)
    rule = catalogue_schema() if "choices" in data else rule
    assert objections(rule, data, rule) == []


def test_the_small_file_follows_it(schema, minimal):
    assert objections(schema, tomllib.loads(minimal), schema) == []


@pytest.mark.parametrize(
    ("spoil", "objection"),
    [
        (lambda d: d["crossmembers"][0].update(hieght=3), "file.crossmembers[0]: unknown hieght"),
        (lambda d: d["crossmembers"][0].pop("depth"), "file.crossmembers[0]: lacks depth"),
        (lambda d: d["crossmembers"][0].update(shape="bxo"), "file.crossmembers[0].shape: not allowed"),
        (lambda d: d["axles"][0].update(load=-5), "file.axles[0].load: none of the ways"),
        (lambda d: d["masses"][0].pop("aboard"), "file.masses[0]: lacks aboard"),
        (lambda d: d["masses"][0].pop("mass"), "file.masses[0]: not one of the ways"),
        (lambda d: d["masses"][0].update(people=4), "file.masses[0]: not one of the ways"),
        (lambda d: d["masses"][0].update(spread={"from": 9, "to": 99}), "file.masses[0]: not one of the ways"),
        (lambda d: d["masses"][0].update(fill=0.5), "file.masses[0]: lacks litres"),
        (lambda d: d["masses"].append(TANK), "file.masses[1]: lacks fluid"),
        (lambda d: d["masses"].append({**TANK, "fluid": "lava"}), "file.masses[1].fluid: not allowed"),
        (lambda d: d["masses"].append({**LOAD, "spread": {"from": 9}}), "file.masses[1].spread: lacks to"),
        (lambda d: d["mounts"][0].update(rate_along=90), "file.mounts[0]: lacks rate"),
        (lambda d: d["rails"]["path"][0].update(station=True), "file.rails.path[0].station: none of the ways"),
        (lambda d: d["crossmembers"][0].update(joint="soft"), "file.crossmembers[0].joint: none of the ways"),
        (lambda d: d.pop("axles"), "file: lacks axles"),
        (lambda d: d["axles"][0].update(motion_ratio=5), "file.axles[0].motion_ratio: out of bounds"),
        (lambda d: d.update(joints={"estimate": "medium"}), "file.joints.estimate: not allowed"),
        (lambda d: d.update(cases=[{"name": "a", "kind": "bounce"}]), "file.cases[0]: lacks axle"),
        (lambda d: d.update(cases=[{"name": "a", "kind": "raised", "height": 9}]), "file.cases[0]: lacks wheels"),
        (lambda d: d.update(cases=[{"kind": "braking"}]), "file.cases[0]: lacks name"),
        (lambda d: d.update(cases=[{"name": "a", "kind": "brake"}]), "file.cases[0].kind: not allowed"),
        (lambda d: d.update(cases=[{"name": "a", "kind": "combination"}]), "file.cases[0]: lacks of"),
        (lambda d: d.update(cases=[{"kind": "usual", "low": 3}]), "file.cases[0].low: not of type object"),
        (lambda d: d.update(towing={"line_pull": -5}), "file.towing.line_pull: none of the ways"),
        (lambda d: d.update(towing={"hitch": "a"}), "file.towing: unknown hitch"),
        (lambda d: d.update(workshop={"pads": 4}), "file.workshop.pads: none of the ways"),
        (lambda d: d["axles"][0].update(damper={"station": 600}), "file.axles[0].damper: lacks force"),
        (lambda d: d["axles"][0].update(fixed_eye="middle"), "file.axles[0].fixed_eye: not allowed"),
        (lambda d: d.update(bench_tests=[bench(held=[])]), "file.bench_tests[0].held: not of that length"),
        (lambda d: d.update(bench_tests=[bench(gauges=[])]), "file.bench_tests[0].gauges: not of that length"),
    ],
)
def test_it_objects(schema, minimal, spoil, objection):
    data = deepcopy(tomllib.loads(minimal))
    spoil(data)
    assert objections(schema, data, schema) == [objection]


def test_what_a_file_may_leave_to_the_usual_set(schema, minimal):
    """The usual set needs no name; stands may be low by their names."""
    cases = [{"kind": "usual"}, {"name": "a", "kind": "stands", "low": {"b": 10, "c": "1 in"}}]
    assert objections(schema, {**tomllib.loads(minimal), "cases": cases}, schema) == []


def test_it_is_json_and_tells_what_keys_mean(schema):
    assert json.loads(json.dumps(schema)) == schema
    tables = [schema, *schema["$defs"].values()]
    assert all("description" in table for table in tables)
    assert all("description" in key for table in tables for key in table["properties"].values())
