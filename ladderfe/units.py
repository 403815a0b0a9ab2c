"""Units at the edge: what a person writes becomes the units of the chassis file, and results become readable numbers.

A bare number is in the unit of its kind: mm, kg, kN, N/mm, N/mm2, kg/m3, kN m/rad, kN/mm, g, degrees.  A string carries
its own unit: "59 in", "1/8 in", "2 1/4 in", "4 ft 11 in", "2 t", "850 lb", "30 lbf/in".  Inside the package all is mm,
N, MPa, t, rad.

Factors: inch 25.4 mm and pound 0.45359237 kg exactly (international yard and pound agreement of 1959); standard
gravity 9.80665 m/s2 exactly (3rd General Conference on Weights and Measures, 1901).  Values and years from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from math import isfinite, pi
from typing import Final

from ladderfe.errors import LadderFEError

__all__ = [
    "ACCELERATION",
    "ANGLE",
    "DENSITY",
    "FORCE",
    "G",
    "Kind",
    "LENGTH",
    "MASS",
    "RATE",
    "STRESS",
    "STRETCHING",
    "TURNING",
    "UnitError",
    "kgf_from_newtons",
    "kilograms",
    "kilonewtons",
    "kilonewton_metres",
    "parse",
    "tonnes",
]

G: Final = 9806.65  # mm/s2
INCH: Final = 25.4  # mm
POUND: Final = 0.45359237  # kg
POUND_FORCE: Final = POUND * G / 1000  # N
DEGREE: Final = pi / 180  # rad


class UnitError(LadderFEError, ValueError):
    """A quantity that cannot be read: the `rule` it breaks and a `hint` on what to write."""

    def __init__(self, rule: str, hint: str) -> None:
        super().__init__(rule, hint)
        self.rule, self.hint = rule, hint

    def __str__(self) -> str:
        return f"{self.rule}. {self.hint}."


@dataclass(frozen=True, eq=False)
class Kind:
    """A kind of quantity: its name with an article, the unit of a bare number, an example, and each unit's factor."""

    name: str
    unit: str
    example: str
    factors: dict[str, float]

    @property
    def spellings(self) -> dict[str, float]:
        return {squeeze(u): f for u, f in self.factors.items()}


def squeeze(unit: str) -> str:
    """A unit's spelling without case, spaces and signs for "times", so that "kN·m / rad" reads as "knm/rad"."""
    return re.sub(r"[\s.*·⋅^]", "", unit.replace("²", "2").replace("³", "3")).casefold()


def _named(*groups: tuple[float, str]) -> dict[str, float]:
    return {name: factor for factor, names in groups for name in names.split("|")}


LENGTH = Kind(
    "a length",
    "mm",
    '"59 in"',
    _named(
        (1.0, "mm|millimetre|millimetres|millimeter|millimeters"),
        (10.0, "cm|centimetre|centimetres"),
        (1000.0, "m|metre|metres|meter|meters"),
        (INCH, 'in|inch|inches|"'),
        (12 * INCH, "ft|foot|feet|'"),
    ),
)
MASS = Kind(
    "a mass",
    "kg",
    '"2 t"',
    _named(
        (1.0, "kg|kgs|kilo|kilos|kilogram|kilograms"),
        (0.001, "g|gram|grams"),
        (1000.0, "t|tonne|tonnes"),
        (POUND, "lb|lbs|pound|pounds"),
        (1000.0 / (G / 1000), "kN"),
        (1.0 / (G / 1000), "N"),
        (1.0, "kgf"),
        (POUND, "lbf"),
    ),
)
FORCE = Kind(
    "a force",
    "kN",
    '"500 lbf"',
    _named((1.0, "kN"), (0.001, "N"), (0.01, "daN"), (1000.0, "MN"), (G / 1e6, "kgf|kp"), (POUND_FORCE / 1000, "lbf")),
)
RATE = Kind(
    "a spring rate",
    "N/mm",
    '"170 lbf/in"',
    _named(
        (1.0, "N/mm|kN/m"),
        (0.001, "N/m"),
        (0.1, "N/cm"),
        (1000.0, "kN/mm"),
        (G / 1000, "kgf/mm|kg/mm"),
        (G / 1e4, "kgf/cm|kg/cm"),
        (POUND_FORCE / INCH, "lbf/in|lb/in|lbs/in|lbf/inch|lb/inch"),
    ),
)
STRESS = Kind(
    "a stress",
    "N/mm2",
    '"36 ksi"',
    _named(
        (1.0, "N/mm2|MPa|MN/m2"),
        (1e-6, "Pa|N/m2"),
        (1e-3, "kPa"),
        (1000.0, "GPa|kN/mm2"),
        (G / 1000, "kgf/mm2|kg/mm2"),
        (POUND_FORCE / INCH**2, "psi|lbf/in2"),
        (1000 * POUND_FORCE / INCH**2, "ksi"),
    ),
)
DENSITY = Kind(
    "a density",
    "kg/m3",
    '"7.85 t/m3"',
    _named((1.0, "kg/m3"), (1000.0, "t/m3|g/cm3|kg/dm3"), (POUND / (INCH / 1000) ** 3, "lb/in3")),
)
TURNING = Kind(
    "a stiffness against turning",
    "kN m/rad",
    '"350 N m/deg"',
    _named(
        (1.0, "kN m/rad"),
        (1e-3, "N m/rad"),
        (1e-6, "N mm/rad"),
        (1 / DEGREE, "kN m/deg"),
        (1e-3 / DEGREE, "N m/deg"),
        (POUND_FORCE * 12 * INCH / 1e6 / DEGREE, "lbf ft/deg|ft lbf/deg"),
    ),
)
STRETCHING = Kind(
    "a stiffness",
    "kN/mm",
    '"5000 N/mm"',
    _named((1.0, "kN/mm"), (1e-3, "N/mm|kN/m"), (1e-6, "N/m"), (POUND_FORCE / INCH / 1000, "lbf/in|lb/in")),
)
ACCELERATION = Kind("an acceleration", "g", '"8 m/s2"', _named((1.0, "g"), (1000 / G, "m/s2"), (10 / G, "cm/s2")))
ANGLE = Kind("an angle", "degrees", '"0.5 rad"', _named((1.0, "degrees|degree|deg"), (1 / DEGREE, "rad")))
KINDS: Final = (LENGTH, MASS, FORCE, RATE, STRESS, DENSITY, TURNING, STRETCHING, ACCELERATION, ANGLE)

GAUGES: Final = frozenset({"gauge", "gage", "ga", "swg", "bwg", "awg", "g"})
GAUGE_ADVICE: Final = (
    "a gauge number is not a thickness: gauge tables differ by country and metal",
    'Measure the wall and write it in mm or inches, such as 2.0 or "0.080 in"',
)
TONS: Final = frozenset({"ton", "tons", "cwt"})
CLEAN: Final = str.maketrans(
    {
        "″": '"',
        "”": '"',
        "“": '"',
        "′": "'",
        "’": "'",
        "−": "-",
        "–": "-",
        "⁄": "/",
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
    }
)
LONGEST: Final = 60  # characters of a quantity
NUMBER: Final = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?(?![\d.])"
TERM: Final = re.compile(
    rf"\s*(?:(\d+)[\s-]+)?({NUMBER})(?:\s*/\s*(\d+))?\s*"  # whole number, number, the number under a fraction
    r"([^\W\d_][^\d]*?(?:[23](?!\d))?|[\"'])?\s*(?=\d|\.\d|$)"  # unit
)


def parse(kind: Kind, text: str) -> float:
    """The quantity that `text` states, in the unit of a bare number of its kind.

    Raises UnitError for a missing or unknown unit, a unit of another kind, a gauge number or an unreadable number.

    >>> parse(LENGTH, "1/8 in"), parse(MASS, "2 t")
    (3.175, 2000.0)
    """
    cleaned = text.translate(CLEAN).strip()
    sign, rest = (-1.0, cleaned[1:]) if cleaned.startswith("-") else (1.0, cleaned.removeprefix("+"))
    terms = _terms(rest)
    if not terms:
        raise _unreadable(kind, rest)
    if len(terms) > 1 and not _feet_and_inches(kind, terms):
        raise UnitError(f"must be {kind.name} in one unit", f"Write one number and one unit, such as {kind.example}")
    value = sign * sum(number * _factor(kind, unit, number) for number, unit in terms)
    if not isfinite(value):
        raise UnitError("must be a finite number", "Write the measured value")
    return value


def _terms(text: str) -> list[tuple[float, str]]:
    """(number, unit) pairs of the text, empty where it does not read as such pairs from end to end."""
    found, at = [], 0
    if len(text) > LONGEST:
        return []
    while at < len(text):
        match = TERM.match(text, at)
        if match is None or match.end() == at:
            return []
        whole, number, under, unit = match.groups()
        if (whole and not under) or (under and not float(under)):
            return []
        found.append((float(whole or 0) + float(number) / float(under or 1), (unit or "").strip()))
        at = match.end()
    return found


def _feet_and_inches(kind: Kind, terms: list[tuple[float, str]]) -> bool:
    factors = [kind.spellings.get(squeeze(unit)) for _, unit in terms]
    return kind is LENGTH and factors == [12 * INCH, INCH]


def _factor(kind: Kind, unit: str, number: float) -> float:
    """Factor of a unit, or the UnitError that says what is wrong with it."""
    squeezed = squeeze(unit)
    if squeezed in (known := kind.spellings):
        return known[squeezed]
    if not squeezed:
        raise UnitError(
            "has no unit although it is in quotes",
            f'Write {number:g} without quotes for {kind.unit}, or a unit as in "{number:g} {kind.unit}"',
        )
    if kind is LENGTH and squeezed in GAUGES:
        raise UnitError(*GAUGE_ADVICE)
    if kind is MASS and squeezed in TONS:
        raise UnitError(
            f'"{unit}" means different masses in different countries', 'Write kg, t (1000 kg) or lb, such as "2 t"'
        )
    for other in KINDS:
        if squeezed in other.spellings:
            raise UnitError(
                f'must be {kind.name}, and "{unit}" is a unit of {other.name.split(" ", 1)[1]}',
                f"Write {kind.unit}, or another unit in quotes such as {kind.example}",
            )
    close = get_close_matches(squeezed, known, n=1, cutoff=0.5)
    raise UnitError(
        f'does not know the unit "{unit}"',
        (f'Did you mean "{close[0]}"? ' if close else "") + f"Write {kind.unit}, or a unit as in {kind.example}",
    )


def _unreadable(kind: Kind, text: str) -> UnitError:
    if kind is LENGTH and GAUGES.intersection(re.findall(r"[a-z]+", text.casefold())):
        return UnitError(*GAUGE_ADVICE)
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?[^\d,]*", text):
        advice = f"Write {text.replace(',', '')} without commas between the thousands"
    elif re.fullmatch(r"\d+,\d+[^\d,]*", text):
        advice = f"Write {text.replace(',', '.')} with a point, not a comma"
    else:
        advice = f"Write a number, or one with its unit as in {kind.example}"
    return UnitError(f"must be {kind.name} in {kind.unit}, or a number and its unit in quotes", advice)


def tonnes(kilograms: float) -> float:
    """Mass in t, the unit inside, from kg."""
    return kilograms / 1000


def kilograms(tonnes: float) -> float:
    """Mass in kg from t."""
    return tonnes * 1000


def kilonewtons(newtons: float) -> float:
    """Force in kN from N."""
    return newtons / 1000


def kilonewton_metres(newton_millimetres: float) -> float:
    """Moment in kN m from N mm."""
    return newton_millimetres / 1e6


def kgf_from_newtons(newtons: float) -> float:
    """The mass in kg whose weight at standard gravity is this force in N."""
    return newtons / (G / 1000)
