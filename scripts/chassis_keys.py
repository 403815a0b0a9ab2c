"""All keys of a chassis file as Markdown tables for README.md, made from the JSON Schema and from what is assumed.

A key that is needed says so; of the others the last column tells what counts when they are left out.  ASSUMED values
come with their range; they are those that two chassis of different size share, otherwise their meaning is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from math import inf
from typing import Any

from ladderfe.chassis import Assumption, chassis_from_text, json_schema
from ladderfe.chassis.first_file import WORDS
from ladderfe.chassis.sizes import CROSS, NEEDS, RAIL
from ladderfe.chassis.tables import json_schema_of
from ladderfe.condition.catalogue_schema import CatalogueFile
from ladderfe.condition.plan_schema import PlanFile

Node = Mapping[str, Any]

#: Two chassis that leave out all they can, so that everything is assumed; sizes in {}.
FILE = """
wheelbase = {base}
[rails]
path = [{{ station = {start}, spacing = {spacing} }}, {{ station = {end}, spacing = {spacing} }}]
sections = [{{ shape = "box", depth = {depth}, width = {width}, wall = {wall} }}]
[[crossmembers]]
station = {first}
shape = "box"
depth = 60
width = 40
wall = {wall}
[[crossmembers]]
station = {last}
shape = "box"
depth = 60
width = 40
wall = {wall}
[[mounts]]
name = "a"
on = "both rails"
station = {first}
rate = 400
[[mounts]]
name = "b"
on = "left rail"
station = {last}
rate = 400
[[masses]]
name = "m"
mass = 10
on = ["a", "b"]
aboard = true
[[axles]]
station = {axle}
load = 900
track = {track}
{kind}
bump_gap = 50
droop = 60
[[axles]]
load = 900
track = {track}
{kind}
bump_gap = 50
droop = 60
[towing]
coupling = "b"
trailer = {base}
recovery = "b"
[workshop]
jack = "b"
pads = ["a", "c"]
[[mounts]]
name = "c"
on = "both rails"
station = {last}
[[cases]]
kind = "usual"
[[cases]]
name = "1"
kind = "pothole"
[[cases]]
name = "2"
kind = "kerb strike"
axle = "front"
"""
SIZES = (
    {"base": 2400, "start": 0, "end": 3800, "spacing": 780, "depth": 140, "width": 70, "wall": 2.5, "first": 100,
     "last": 3700, "axle": 700, "track": 1470},
    {"base": 3000, "start": -50, "end": 5000, "spacing": 900, "depth": 160, "width": 60, "wall": 4, "first": 150,
     "last": 4800, "axle": 900, "track": 1600},
)  # fmt: skip
#: What else is assumed of other axles than plain ones: their name, and what they state.
AXLES = {"": "", "independent": 'suspension = "independent"', "leaf": 'spring = "leaf"'}
#: Assumption -> table and key of the schema, where its own name does not tell.
PLACES = {
    "sections.radius": "SizedTable.radius", "joints.level": "JointsTable.estimate",
    "mounts.rate_along": "MountTable.rate_along",
    "axles.left_share": "AxleTable.wheel_loads", "rails.spacing_to": "RailsTable.spacing_to",
}  # fmt: skip
TABLES = {"towing": "TowingTable", "body": "BodyTable", "criteria": "CriteriaTable", "material": "MaterialTable"}
LEFT_OUT = re.compile(r"[;,] ([^;,()]*) when left out$|\s*\(([^()]*) when left out\)|[;,] ([^;,]*) when left out of ")
HEAD = "| Key | Unit or words | What it is | When left out |\n|---|---|---|---|\n"
#: Heading, table of the schema, and keys that are told elsewhere.
PARTS: tuple[tuple[str, str], ...] = (
    ("`[rails]`", "RailsTable"),
    ("Points of a `path`", "PointTable"),
    ("`sections` of the rails", "SectionTable"),
    ("Sizes of crossmembers and outriggers", "CrossSizedTable"),
    ("`[[crossmembers]]`", "CrossmemberTable"),
    ("Points of `via`", "ViaTable"),
    ("`[[outriggers]]`", "OutriggerTable"),
    ("`[[diaphragms]]`", "DiaphragmTable"),
    ("`[[bolts]]`", "BoltsTable"),
    ("`places` of `[[bolts]]`", "BoltPlaceTable"),
    ("`[[gussets]]`", "GussetsTable"),
    ("`[[hangers]]`", "HangersTable"),
    ("`joint`, `joint_left`, `joint_right`", "JointTable"),
    ("`[joints]`", "JointsTable"),
    ("`[[mounts]]`", "MountTable"),
    ("`[[masses]]`", "MassTable"),
    ("`at` of a mass", "AtTable"),
    ("`spread` of a mass", "SpreadTable"),
    ("`[[axles]]`", "AxleTable"),
    ("`wheel_loads` of an axle", "WheelsTable"),
    ("`arms` of an axle", "ArmsTable"),
    ("`pivots` of an axle", "PivotsTable"),
    ("`track_bar` of an axle", "TrackBarTable"),
    ("`damper` of an axle", "DamperTable"),
    ("`[body]`", "BodyTable"),
    ("`[material]`", "MaterialTable"),
    ("`[criteria]`", "CriteriaTable"),
    ("`[towing]`", "TowingTable"),
    ("`[workshop]`", "WorkshopTable"),
    ("`[[cases]]`", "CaseTable"),
    ("`of` of a combination", "OfTable"),
    ("`forces` of a case", "PointForceTable"),
    ("`[[cycles]]`", "CycleTable"),
    ("`[[bench_tests]]`", "BenchTable"),
    ("`held`, `loads` and `gauges` of a bench test", "BenchPoint"),
)
#: The same of repair plans and of catalogues.
PLAN_PARTS = (
    ("`[repair]` of a plan", "RepairTable"),
    ("`[[inserts]]` of a plan", "InsertTable"),
    ("`[[plates]]` of a plan", "PlateTable"),
    ("`weld` of a plate", "WeldTable"),
    ("`slots` of a sleeve", "SlotTable"),
    ("`[[splices]]` of a plan", "SpliceTable"),
    ("`[[holes]]` of a plan", "HoleTable"),
)
CATALOGUE_PARTS = (("`[[choices]]` of a catalogue", "ChoiceTable"),)
#: As many kinds of case as this need not be named one by one.
FEW = 5
SECTIONED = ("SectionTable", "CrossmemberTable", "OutriggerTable")


def keys_markdown() -> str:
    """The whole part of the README, without the comments around it."""
    schema = json_schema()
    assumed = _assumed()
    told = _with_shared(schema["$defs"])
    parts = [_part("Top of the file", schema, _of(assumed, "Top")), _shapes()]
    parts.append(_part("Sizes", told["SizedTable"], _of(assumed, "Sized")))
    parts += [_part(heading, told[name], _of(assumed, name.removesuffix("Table"))) for heading, name in PARTS]
    parts.append(_overlay(json_schema(overlay=True)))
    for file, own in ((PlanFile, PLAN_PARTS), (CatalogueFile, CATALOGUE_PARTS)):
        schema = json_schema_of(file)
        parts.append(_part("Repair plan" if file is PlanFile else "Catalogue", schema, {}))
        parts += [_part(heading, schema["$defs"][name], {}) for heading, name in own]
    return "\n".join(parts)


def _with_shared(defs: Node) -> dict[str, Node]:
    """The tables of the schema; what several have in common is taken out of them and put in tables of its own."""
    out = {name: dict(node) for name, node in defs.items()}
    first, *others = ({k: dict(v) for k, v in defs[n]["properties"].items()} for n in SECTIONED)
    alike = {k: v for k, v in first.items() if all(o.get(k) == v for o in others)}
    cross = {k: v for k, v in others[0].items() if others[1].get(k) == v and k not in alike and k != "name"}
    about = "of rails, crossmembers and outriggers; outside dimensions, measured on the steel."
    out["SizedTable"] = {"description": about, "properties": alike, "required": ["shape"]}
    out["CrossSizedTable"] = {"description": "besides those of all.", "properties": cross}
    for name in SECTIONED:
        shared = alike if name == "SectionTable" else alike | cross
        own = {k: v for k, v in defs[name]["properties"].items() if k not in shared}
        out[name]["properties"] = own
    points = {k: v for n in ("LoadTable", "GaugeTable") for k, v in defs[n]["properties"].items()}
    out["BenchPoint"] = {"description": "places on the rails; a `held` one needs no value.", "properties": points,
                         "required": ["rail", "station"]}  # fmt: skip
    return out


def _part(heading: str, node: Node, assumed: Mapping[str, str]) -> str:
    about = " ".join(node["description"].split())
    out = f"**{heading}**: {about[0].lower() + about[1:]}\n\n{HEAD}"
    tapers = [k for k in node["properties"] if k.endswith("_end")]
    for key, value in node["properties"].items():
        if key in tapers:
            continue
        what, left_out = _split(value["description"])
        if key in node.get("required", ()):
            left_out = "needed"
        elif key in assumed:
            left_out = f"ASSUMED {assumed[key]}"
        elif kinds := _needed_by(node, key):
            left_out = "; ".join(filter(None, (left_out, f"needed in {kinds}")))
        out += f"| `{key}` | {_values(value)} | {what} | {left_out} |\n"
    return out + (f"| {_ticked(tapers)} | mm | the size at the rear end of a taper |  |\n" if tapers else "")


def _needed_by(node: Node, key: str) -> str:
    """Kinds of case that need a key."""
    rules = [r for r in node.get("allOf", ()) if "kind" in r.get("if", {}).get("properties", ())]
    rules = [r for r in rules if key in r["then"]["required"]]
    kinds = [r["if"]["properties"]["kind"]["const"] for r in rules]
    return " and ".join(kinds) if len(kinds) < FEW else ""


def _split(description: str) -> tuple[str, str]:
    """What a key is, and what counts when it is left out, where its description tells."""
    text = " ".join(description.split())
    found = LEFT_OUT.search(text)
    if not found or found[3]:
        return text, ""
    return (text[: found.start()] + text[found.end() :]).strip(), found[1] or found[2]


def _values(node: Node) -> str:
    """Unit or words of a key."""
    if "$ref" in node:
        return "table"
    if "enum" in node:
        return ", ".join(f'"{w}"' for w in node["enum"])
    if node.get("type") == "array":
        inner = _values(node["items"])
        return "list of tables" if inner == "table" else f"list of {inner}"
    if "anyOf" in node:
        words = [_values(o) for o in node["anyOf"] if not (o.get("type") == "string" and "examples" in o)]
        return " or ".join(dict.fromkeys(w for w in words if w != "text" or len(words) == 1))
    if node.get("type") == "object":
        return f"table of names, each with {_values(node['additionalProperties'])}"
    if "const" in node:
        return f'"{node["const"]}"'
    if node.get("type") == "number":
        about = str(node.get("description", ""))
        return about.removeprefix("in ") if about.startswith("in ") else "number"
    return {"string": "text", "boolean": "true, false"}[node["type"]]


def _shapes() -> str:
    """Which sizes a shape takes."""
    upright = {
        "box": f"`top`, `bottom` and `{RAIL.minus}`, `{RAIL.plus}` (crossmembers `{CROSS.minus}`, `{CROSS.plus}`)",
        "channel": f"`web` and `flange`, or `web`, `top`, `bottom`; open up or down `web` and `{RAIL.minus}`, "
                   f"`{RAIL.plus}` (crossmembers `{CROSS.minus}`, `{CROSS.plus}`)",
    }  # fmt: skip
    out = "**Shapes** and the sizes that they take\n\n"
    out += "| `shape` | Needs | Instead of `wall` | May have |\n|---|---|---|---|\n"
    for shape, (needed, optional, together) in NEEDS.items():
        walls = ["wall"] if together else []
        cells = (f'"{shape}"', _ticked([*needed, *walls]), upright.get(shape, ""), _ticked(optional))
        out += f"| {' | '.join(cells)} |\n"
    return out


def _ticked(keys: Iterator[str] | tuple[str, ...] | list[str]) -> str:
    return ", ".join(f"`{k}`" for k in keys)


def _overlay(schema: Node) -> str:
    """The two entries that overlays have of their own, and what can be removed."""
    own = {k: schema["properties"][k] for k in ("base", "remove")}
    removed = schema["$defs"]["RemoveTable"]
    return "\n".join([
        _part("Overlay", {"description": f"{schema['description']} Parts are matched by `name`.", "properties": own,
                          "required": ["base"]}, {}),
        _part("`[[remove]]`", removed, {}),
    ])  # fmt: skip


def _assumed() -> dict[str, str]:
    """Table.key -> what is assumed, in words: of plain axles, then of others where it is otherwise."""
    told: dict[str, dict[str, dict[str, str]]] = {}
    for name, kind in AXLES.items():
        one, other = ({a.key: a for a in chassis_from_text(FILE.format(kind=kind, **s)).assumptions} for s in SIZES)
        for key, a in one.items():
            which, place = _place(key)
            told.setdefault(place, {}).setdefault(name, {})[which] = _words(a, other[key])
    return {place: _joined({n: _joined(w) for n, w in by_kind.items()}, "; ") for place, by_kind in told.items()}


def _place(key: str) -> tuple[str, str]:
    """Which of several (front, rear, a kind of case) and the key of the schema."""
    if key in PLACES:
        return "", PLACES[key]
    if "." not in key:
        return "", f"TopTable.{key}"
    table, *middle, name = key.split(".")
    if table == "axles":
        return middle[0], f"{middle[1].capitalize() if middle[1:] else 'Axle'}Table.{name}"
    if table == "cases":
        return middle[0], f"CaseTable.{name}"
    return "", f"{TABLES.get(table, 'AtTable')}.{name}"


def _words(a: Assumption, other: Assumption) -> str:
    """Used value and range; what it is taken as where that is told, or where it depends on the chassis."""
    tail = a.meaning.rsplit(": ", 1)[-1]
    if (a.low, a.used, a.high) != (other.low, other.used, other.high):
        return tail.removeprefix("taken as ")
    low, used, high = (_value(a.key, v) for v in (a.low, a.used, a.high))
    unit = f" {a.unit}".rstrip() if high[0].isdigit() or low[0].isdigit() else ""
    if tail.startswith("taken as "):
        return f"{tail.removeprefix('taken as ')} ({low} to {high}{unit})"
    return f"{used} ({low} to {high}){unit}"


def _value(key: str, number: float) -> str:
    name = key.rsplit(".", 1)[-1]
    return WORDS.get(name, {}).get(number) or ("rigid" if number == inf else f"{number:g}")


def _joined(words: Mapping[str, str], between: str = ", ") -> str:
    """What is said of each, with its name; what the first says is not said again."""
    first, *others = words.items()
    if any(not which for which in words):
        others = [(which, text) for which, text in others if text != first[1]]
    elif len(set(words.values())) == 1 and len(words) > 1:
        first, others = ("", first[1]), []
    return between.join(f"{which} {text}".strip() for which, text in (first, *others))


def _of(assumed: Mapping[str, str], table: str) -> dict[str, str]:
    prefix = f"{table}Table."
    return {place.removeprefix(prefix): words for place, words in assumed.items() if place.startswith(prefix)}
