"""What pydantic found wrong, in the words of someone who measures frames; and the rest of the file around it."""

from __future__ import annotations

from copy import deepcopy
from typing import Any, Final, TypeVar, get_args

from pydantic_core import ErrorDetails, ValidationError

from ladderfe.chassis.faults import VERY_ALIKE, Faults, closest, few, listed, shown
from ladderfe.chassis.file_kinds import PLANNED
from ladderfe.chassis.lines import Path
from ladderfe.chassis.readers import SPARED, Table
from ladderfe.chassis.schema import ChassisFile

__all__ = ["read_as", "read_tables"]

T = TypeVar("T", bound=Table)

#: What people write instead; the first of the words that the table knows is offered.
INSTEAD: Final = {
    "x": ("station", "at"),
    "z": ("height",),
    "position": ("station",),
    "pos": ("station",),
    "place": ("at", "station"),
    "weight": ("mass", "load", "force", "nose_weight"),
    "kg": ("mass", "load"),
    "thickness": ("wall",),
    "thick": ("wall", "thickness"),
    "t": ("wall", "thickness"),
    "wall": ("thickness",),
    "type": ("shape", "kind"),
    "section": ("shape",),
    "profile": ("shape",),
    "dia": ("diameter",),
    "od": ("diameter",),
    "start": ("from",),
    "begin": ("from",),
    "end": ("to",),
    "stop": ("to",),
    "side": ("rail",),
    "persons": ("people",),
    "passengers": ("people",),
    "occupants": ("people",),
    "seats": ("people",),
    "liters": ("litres",),
    "litre": ("litres",),
    "volume": ("litres",),
    "capacity": ("litres",),
    "fuel": ("fluid",),
    "contents": ("fluid",),
    "liquid": ("fluid",),
    "full": ("fill",),
    "tank": ("empty",),
    "over": ("spread",),
    "between": ("spread",),
    "distributed": ("spread",),
    "rate_z": ("rate",),
    "rate_x": ("rate_along",),
    "rate_y": ("rate_sideways",),
    "rate_across": ("rate_sideways",),
    "mount": ("on", "at"),
    "mounts": ("on", "at"),
    "part": ("on",),
    "centre": ("at",),
    "center": ("at",),
    "cog": ("at", "centre_of_gravity"),
    "ground": ("height_above_ground",),
    "ground_clearance": ("height_above_ground",),
    "wheel_radius": ("tyre_radius",),
    "shock": ("damper",),
    "shackle": ("fixed_eye",),
    "hitch": ("coupling",),
    "tow_ball": ("coupling",),
    "drawbar": ("nose_weight",),
    "jacks": ("jack",),
    "lift": ("pads",),
    "deceleration": ("acceleration",),
    "a": ("acceleration",),
    "turn": ("side",),
    "anchor": ("against",),
    "lowered": ("low",),
    "cases": ("of",),
    "times": ("factor",),
    "breadth": ("width",),
    "w": ("width",),
    "h": ("depth", "height"),
    "b": ("width",),
    "unsprung_mass": ("unsprung",),
    "id": ("name",),
    "yield": ("yield_stress",),
    "stiffness": ("rate",),
    "radii": ("radius",),
    "inside": ("inner", "rear"),
    "outside": ("outer", "front"),
    "left": ("station_left",),
    "right": ("station_right",),
    "height": ("depth",),
    "sides": ("inner",),
    "e": ("youngs_modulus",),
    "mass": ("load",),
    "wheel": ("wheels",),
    "plate": ("doubler",),
    "supports": ("held",),
    "dials": ("gauges",),
    "bulkheads": ("diaphragms",),
    "end_plates": ("diaphragms",),
}
EXAMPLES: Final = {
    "path": "{ station = 0, half_spacing = 380, height = 0 }",
    "sections": '{ shape = "box", depth = 120, width = 65, wall = 2.5 }',
    "at": "{ station = 600, y = 0, height = 300 }",
    "spread": "{ from = 2600, to = 3800 }",
    "via": "{ y = 0, height = -80 }",
    "wheel_loads": "{ left = 420, right = 430 }",
    "arms": "{ station = 1300, spacing = 760, height = -90 }",
    "pivots": "{ spacing = 700, height = -60 }",
    "track_bar": "{ station = 620, y = -400, height = -40 }",
    "damper": '{ station = 640, height = 120, force = "2 kN" }',
    "of": '{ case = "braking", times = 1.0 }',
    "forces": '{ at = "winch", x = "-5 kN" }',
    "low": '{ "front jack pad left" = 10 }',
    "held": '{ rail = "left", station = 600 }',
    "loads": '{ rail = "right", station = 600, force = 1.5 }',
    "gauges": '{ rail = "right", station = 600, reading = 4.2 }',
}
#: Examples where the key alone does not tell.
IN_TABLE: Final = {
    ("cases", "at"): '"tow coupling"',
    ("workshop", "stands"): '"left stand", "right stand", "rear stand"',
    ("workshop", "pads"): '"front pad", "rear pad"',
    ("workshop", "jack"): '"front jack pad"',
    ("towing", "recovery"): '"left tow eye", "right tow eye"',
}
ROUNDS: Final = 4


def read_tables(faults: Faults) -> ChassisFile | None:
    """The file's tables, with neutral values where faulty; each fault is noted.  None where too little is left."""
    return read_as(ChassisFile, faults)


def read_as(model: type[T], faults: Faults) -> T | None:
    """The same of a file whose tables are another class than those of a chassis file."""
    faults.model = model
    raw: Any = faults.raw
    for _ in range(ROUNDS):
        try:
            return model.model_validate(raw)
        except ValidationError as error:
            raw = deepcopy(raw) if raw is faults.raw else raw
            _note(error.errors(include_url=False), faults, raw)
    return None


def _note(errors: list[ErrorDetails], faults: Faults, raw: Any) -> None:
    """Note every error and set its place in `raw` aside: unknown keys go, other values become SPARED."""
    meant: set[Path] = set()
    for error in errors:
        error["loc"] = _held(raw, error["loc"])
    for error in (e for e in errors if e["type"] == "extra_forbidden"):
        path = error["loc"]
        if word := _unknown(path, faults):
            meant.add((*path[:-1], word))
            faults.spared.add((*path[:-1], word))
        del _parent(raw, path)[path[-1]]
    others = [e for e in errors if e["type"] != "extra_forbidden"]
    for error in others:
        if error["type"] != "missing" or error["loc"] not in meant:
            faults.add(error["loc"], *_words(error, faults))
    for error in sorted(others, key=lambda e: -len(e["loc"])):
        path = error["loc"]
        if isinstance(path[-1], int) and error["type"] == "model_type":
            path = path[:-1]  # with an element that is no table the whole list is set aside
        faults.spared.add(path)
        _parent(raw, path)[path[-1]] = SPARED


def _held(raw: Any, path: Path) -> Path:
    """The path as far as the file has it: one word that stands for a list of one is no list with a first element."""
    while len(path) > 1 and isinstance(_parent(raw, path), str):
        path = path[:-1]
    return path


def _parent(raw: Any, path: Path) -> Any:
    for key in path[:-1]:
        raw = raw[key]
    return raw


def _table(path: Path, faults: Faults) -> type[Table]:
    """The model that describes the table at a path."""
    model: type[Table] = faults.model or ChassisFile
    for key in path:
        if isinstance(key, str):
            field = next(f for name, f in model.model_fields.items() if key in (name, f.alias))
            model = _model(field.annotation) or model
    return model


def _model(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    return next((m for part in get_args(annotation) if (m := _model(part))), None)


def _keys(model: type[Table]) -> list[str]:
    return [f.alias or name for name, f in model.model_fields.items()]


def _unknown(path: Path, faults: Faults) -> str:
    """Note an unknown key; returns the key that was probably meant."""
    *above, key = path
    if not above and key in PLANNED and faults.model is ChassisFile:
        hint = "Give the file to `ladderfe repair`, `weld`, `bolts`, `picture`, `report` or `compare`"
        if next(k for k in faults.at(()) if k in PLANNED) == key:  # told once
            faults.add(path, "belongs to a repair plan", hint, value="")
        return ""
    word, keys = str(key), _keys(_table(tuple(above), faults))
    free = [k for k in keys if not _beside(path, k, faults) or _one_of_list(word, k, faults, path)]
    meant = next((k for k in INSTEAD.get(word.casefold(), ()) if k in free), "") or closest(word, free, VERY_ALIKE)
    home = "" if meant else _home(word, faults)
    meant = meant or ("" if home else closest(word, free))
    if home:
        hint = f"It belongs {home}"
    elif meant:
        hint = f'Did you mean "{meant}"? Otherwise take it out'
    else:
        hint = f"Take it out; known here are {few(keys, 12)}"
    faults.add(path, "is not a known key", hint)
    return meant


def _one_of_list(word: str, key: str, faults: Faults, path: Path) -> bool:
    """Whether a word is a list's key but for its last letter, so that its tables may join those that stand there."""
    return len(path) == 1 and key == f"{word.casefold()}s" and isinstance(faults.at(path), list)


def _beside(path: Path, key: str, faults: Faults) -> bool:
    """Whether a key is given in the same table and file as the one at `path`."""
    place = (*path[:-1], key)
    here, there = (faults.lines.file(p, faults.file) for p in (path, place))
    return key in (faults.at(path[:-1]) or {}) and here == there


def _home(word: str, faults: Faults) -> str:
    """Where a key belongs that stands in the wrong table; empty where it is known nowhere or in many places."""
    whole = _table((), faults)
    top = _keys(whole)
    if word in top:
        return "at the top of the file, before the first table"
    homes = []
    for key in top:
        table = _table((key,), faults)
        if table is not whole and word in _keys(table):
            homes.append(f"under [[{key}]]" if _in_list(whole, key) else f"under [{key}]")
    return listed(homes) if 0 < len(homes) <= 2 else ""


def _in_list(whole: type[Table], key: str) -> bool:
    field = next(f for name, f in whole.model_fields.items() if key in (name, f.alias))
    return "list" in str(field.annotation)


def _words(error: ErrorDetails, faults: Faults) -> tuple[str, str]:
    """Rule and suggestion for an error of pydantic."""
    path, context = error["loc"], error.get("ctx", {})
    key = str(next((k for k in reversed(path) if isinstance(k, str)), ""))
    value = faults.at(path)
    match error["type"]:
        case "value_error":
            return context["error"].rule, context["error"].hint
        case "missing":
            return "is missing", _missing(path, key, faults)
        case "literal_error":
            return _choice(value, str(context["expected"]))
        case "finite_number":
            return "must be a finite number", "Write the measured value"
        case "float_type":
            return "must be a number", _number_hint(value)
        case "string_type":
            return "must be text", f'Put it in quotes: {key} = "{value}"' if isinstance(
                value, (int, float)
            ) else "Write text in quotes"
        case "bool_type":
            return "must be true or false", f"Write {key} = true or {key} = false, without quotes"
        case "list_type":
            return "must be a list", _list_hint(path, key, value)
        case "model_type" | "dict_type":
            return "must be a table", _table_hint(path, key, value)
        case other:
            return f"is not understood ({other.replace('_', ' ')})", "Compare it with an example in models"


def _missing(path: Path, key: str, faults: Faults) -> str:
    model = _table(path[:-1], faults)
    field = next(f for name, f in model.model_fields.items() if key in (name, f.alias))
    shown_key = key
    if len(path) > 1 and key in EXAMPLES and "list" in str(field.annotation):
        shown_key = f"{key} = [{EXAMPLES[key]}]"
    elif _model(field.annotation):
        shown_key = f"[[{key}]]" if "list" in str(field.annotation) else f"[{key}]"
    return f"Add {shown_key}: {field.description}"


def _choice(value: Any, expected: str) -> tuple[str, str]:
    words = [w.strip().strip("'") for w in expected.replace(" or ", ", ").split(", ")]
    rule = "must be " + listed(f'"{w}"' for w in words)
    meant = ""
    if isinstance(value, str):
        turned = sorted(value.casefold().split())  # "left front"
        begins = [w for w in words if value.casefold().startswith(w)]  # "downward"
        meant = next((w for w in words if sorted(w.split()) == turned), "") or max(begins, key=len, default="")
        meant = meant or closest(value, words)
    return (
        rule,
        f'Did you mean "{meant}"? Otherwise write one of these words'
        if meant
        else "Write one of these words in quotes",
    )


def _number_hint(value: Any) -> str:
    if isinstance(value, bool):
        return "Write the measured value"
    if isinstance(value, list) and len(value) == 2 and all(isinstance(v, int) for v in value):
        return f"Write {value[0]}.{value[1]} with a point, not a comma"
    return "Write one number, without brackets"


def _list_hint(path: Path, key: str, value: Any) -> str:
    if len(path) == 1:
        return f"Write [[{key}]] in double brackets above each one"
    if example := IN_TABLE.get((str(path[0]), key)) or EXAMPLES.get(key):
        return f"Write {key} = [{example}]"
    return f"Write {key} = [{shown(value)}]"


def _table_hint(path: Path, key: str, value: Any) -> str:
    if len(path) <= 2 and isinstance(value, list):
        return f"Write [{'.'.join(map(str, path))}] in single brackets, once"
    example = EXAMPLES.get(key)
    return (
        f"Write it as in {example}"
        if example
        else f"Write [[{key}]] and its keys below"
        if len(path) == 2
        else f"Write [{key}] and its keys below"
    )
