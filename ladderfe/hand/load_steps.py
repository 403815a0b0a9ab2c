"""Steps of the page from the weighbridge to the loads along the rail, and the symbols that later steps use."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.hand.given import HandGiven, ListedMass
from ladderfe.hand.line_loads import centre_of_gravity, line_loads_from_reactions
from ladderfe.hand.loads import LineLoad
from ladderfe.hand.steps import Quantity, Step
from ladderfe.units import G, kilograms, kilonewtons

__all__ = ["Along", "load_steps", "loads_along", "metres"]

ONE_RAIL = (
    "The weight of both sides is put on ONE rail. A frame has two, so this already is a factor of 2 on the static "
    "load; no other factor is applied on this page"
)
STANDARD = Quantity("g", G / 1e6, "kN/kg")


@dataclass(frozen=True, slots=True)
class Along:
    """A load along the rail with its symbols.

    `weight` and `centre` are of the whole of it; `line` is the line load at its `start` and `rate` how much it grows
    per metre (None where it is uniform).  A point load has only weight and centre.
    """

    start: Quantity
    end: Quantity
    weight: Quantity
    centre: Quantity
    line: Quantity | None = None
    rate: Quantity | None = None


def metres(symbol: str, station: float) -> Quantity:
    """A station or length in m from mm."""
    return Quantity(symbol, station / 1000, "m")


def kn(symbol: str, force: float) -> Quantity:
    """A force in kN from N."""
    return Quantity(symbol, kilonewtons(force), "kN")


def load_steps(given: HandGiven) -> tuple[list[Step], list[Along], tuple[LineLoad, ...]]:
    """Steps of the parts on weights and line loads, all loads with their symbols, and the line loads themselves."""
    sprung = (given.axles[0].sprung_weight, given.axles[1].sprung_weight)
    lines = line_loads_from_reactions(sprung, given.supports, given.spread, [given.carried(m) for m in given.aboard])
    steps, whole, centre = _weights(given)
    listed = [_mass(given, number, m) for number, m in enumerate(given.masses, 1)]
    steps += [s for m, a in zip(given.masses, listed, strict=True) if m.aboard for s in _mass_steps(given, m, a)]
    aboard = [a for m, a in zip(given.masses, listed, strict=True) if m.aboard]
    rest = _rest(whole, centre, aboard)
    steps += rest if aboard else []
    whole, centre = (rest[0].result, rest[1].result) if aboard else (whole, centre)
    spread = _linear if given.spread.distribution == "linear" else _two_parts
    more, along = spread(given, lines, whole, centre)
    steps += more
    steps += [s for m, a in zip(given.masses, listed, strict=True) if not m.aboard for s in _mass_steps(given, m, a)]
    return steps, along + listed, lines


def loads_along(along: list[Along]) -> tuple[Quantity, ...]:
    """Every quantity of the loads, for the formulas that name them."""
    found = [q for a in along for q in (a.start, a.end, a.weight, a.centre, a.line, a.rate) if q is not None]
    return tuple(dict.fromkeys(found))


def _weights(given: HandGiven) -> tuple[list[Step], Quantity, Quantity]:
    part, steps = "Weights on the rail", list[Step]()
    for axle, letter in zip(given.axles, "AB", strict=True):
        load = Quantity(f"m_{letter}", kilograms(axle.load), "kg")
        unsprung = Quantity(f"u_{letter}", kilograms(axle.unsprung), "kg")
        steps.append(Step(
            part=part, title=f"Sprung weight on the {axle.name}", result=kn(f"S_{letter}", axle.sprung_weight),
            formula=f"({{m_{letter}}} - {{u_{letter}}}) * {{g}}", quantities=(load, unsprung, STANDARD),
            remark="" if steps else "The unsprung mass stands on its own wheels and does not load the frame",
        ))
    front, rear = (step.result for step in steps)
    weight, station = centre_of_gravity([axle.sprung_weight for axle in given.axles], given.supports)
    whole, centre = kn("W", weight), metres("x_W", station)
    steps.append(Step(part=part, title="All of it on one rail", result=whole, formula="{S_A} + {S_B}",
                      quantities=(front, rear), remark=ONE_RAIL))
    steps.append(Step(
        part=part, title="Its centre, behind the datum", result=centre,
        formula="{x_A} + {S_B} * ({x_B} - {x_A}) / {W}",
        quantities=(metres("x_A", given.supports[0]), metres("x_B", given.supports[1]), rear, whole),
        remark="Moments about the front axle",
    ))
    return steps, whole, centre


def _mass(given: HandGiven, number: int, mass: ListedMass) -> Along:
    place, load = metres(f"x_{number}", mass.station), given.carried(mass)
    weight = kn(f"P_{number}", mass.mass * G)
    if not isinstance(load, LineLoad):
        return Along(place, place, weight, place)
    start, end = metres(f"a_{number}", load.start), metres(f"b_{number}", load.end)
    growth = 1000 * (load.q_end - load.q_start) / (load.end - load.start)
    rate = Quantity(f"k_{number}", growth, "kN/m2") if mass.off_middle else None
    return Along(start, end, weight, place, Quantity(f"p_{number}", load.q_start, "kN/m"), rate)


def _mass_steps(given: HandGiven, mass: ListedMass, along: Along) -> list[Step]:
    """The weight of a listed mass, and its line load where it is spread along the rail."""
    part = "Line loads" if mass.aboard else "Masses that were not aboard when weighed"
    kilos = Quantity(along.weight.symbol.replace("P", "m"), kilograms(mass.mass), "kg")
    place = f"at {mass.station:.0f} mm" if mass.spread is None else "from {:.0f} to {:.0f} mm".format(*mass.spread)
    steps = [Step(part=part, title=f"{mass.name}, {place}", result=along.weight, formula=f"{{{kilos.symbol}}} * {{g}}",
                  quantities=(kilos, STANDARD), remark=_beyond(given, mass))]
    if along.line is None:
        return steps
    known = (along.weight, along.start, along.end, along.centre)
    length = f"({{{along.end.symbol}}} - {{{along.start.symbol}}})"
    off = f"({{{along.centre.symbol}}} - ({{{along.start.symbol}}} + {{{along.end.symbol}}}) / 2)"
    even = f"{{{along.weight.symbol}}} / {length}"
    if along.rate is None:
        return [*steps, Step(part=part, title="It lies evenly on its stretch", result=along.line, formula=even,
                             quantities=known[:3])]
    return [
        *steps,
        Step(part=part, title="Its line load at the front end", result=along.line, quantities=known,
             formula=f"{even} * (1 - 6 * {off} / {length})", remark="Sum and moment of a trapezium; derived, statics"),
        Step(part=part, title="Growth per metre", result=along.rate, quantities=known,
             formula=f"12 * {{{along.weight.symbol}}} * {off} / {length}^3"),
    ]


def _beyond(given: HandGiven, mass: ListedMass) -> str:
    """Words on a mass that hangs beyond the rail's end, and how it is carried."""
    load = given.carried(mass)
    if isinstance(load, LineLoad) or not load.arm:
        return ""
    end, where = ("front", "ahead of") if load.arm < 0 else ("rear", "behind")
    return (f"{abs(load.arm):.0f} mm {where} the rail: the {end} end carries this force and the couple of "
            f"{kilonewtons(abs(load.couple)) / 1000:.3f} kN m that it brings")


def _rest(whole: Quantity, centre: Quantity, aboard: list[Along]) -> list[Step]:
    """What is left of the weight and where its centre is, after the listed masses."""
    left = whole.value - sum(a.weight.value for a in aboard)
    first = whole.value * centre.value - sum(a.weight.value * a.centre.value for a in aboard)
    taken = "".join(f" - {{{a.weight.symbol}}}" for a in aboard)
    arms = "".join(f" - {{{a.weight.symbol}}} * {{{a.centre.symbol}}}" for a in aboard)
    known = (whole, centre, *loads_along(aboard))
    rest = Quantity("U", left, "kN")
    return [
        Step(part="Line loads", title="What is left without the listed masses", result=rest, formula="{W}" + taken,
             quantities=known),
        Step(part="Line loads", title="Its centre", result=Quantity("x_U", first / left, "m"),
             formula="({W} * {x_W}" + arms + ") / {U}", quantities=(*known, rest)),
    ]


def _two_parts(
    given: HandGiven, lines: tuple[LineLoad, ...], whole: Quantity, centre: Quantity
) -> tuple[list[Step], list[Along]]:
    """Two uniform loads by the law of the lever between the middles of the two parts."""
    part, along, steps = "Line loads", [], []
    edges = [metres(f"s_{i}", x) for i, x in enumerate((given.spread.start, given.spread.middle, given.spread.end))]
    for i, line in enumerate(lines, 1):
        start, end = edges[i - 1], edges[i]
        along.append(Along(start, end, kn(f"W_{i}", line.force), metres(f"c_{i}", (line.start + line.end) / 2),
                           Quantity(f"w_{i}", line.q_start, "kN/m")))
        steps.append(Step(
            part=part, title=f"Middle of the {line.name}, {line.start:.0f} to {line.end:.0f} mm",
            result=along[-1].centre, formula=f"({{{start.symbol}}} + {{{end.symbol}}}) / 2", quantities=(start, end),
        ))
    front, rear = along
    lever = (f"{{{whole.symbol}}} * ({{c_2}} - {{{centre.symbol}}}) / ({{c_2}} - {{c_1}})",
             f"{{{whole.symbol}}} * ({{{centre.symbol}}} - {{c_1}}) / ({{c_2}} - {{c_1}})")
    remark = "Law of the lever: two unknown weights, two equations (sum and moment); derived, statics"
    for line, load, formula, note in zip(lines, along, lever, (remark, ""), strict=True):
        number, spread = load.weight.symbol[-1], load.line or load.weight
        steps.append(Step(part=part, title=f"Weight on the {line.name}", result=load.weight, formula=formula,
                          quantities=(whole, centre, front.centre, rear.centre), remark=note))
        steps.append(Step(
            part=part, title=f"Line load on the {line.name}", result=spread,
            formula=f"{{W_{number}}} / ({{{load.end.symbol}}} - {{{load.start.symbol}}})",
            quantities=(load.weight, load.start, load.end),
        ))
    return steps, along


def _linear(
    given: HandGiven, lines: tuple[LineLoad, ...], whole: Quantity, centre: Quantity
) -> tuple[list[Step], list[Along]]:
    """One load that varies linearly: its mean, tilted by how far the centre lies behind the middle."""
    part, (line,) = "Line loads", lines
    start, end = metres("s_0", line.start), metres("s_1", line.end)
    length, middle = metres("l", line.end - line.start), metres("c", (line.start + line.end) / 2)
    off = Quantity("e", centre.value - middle.value, "m")
    first, last = Quantity("w_0", line.q_start, "kN/m"), Quantity("w_1", line.q_end, "kN/m")
    rate = Quantity("k", (last.value - first.value) / length.value, "kN/m2")
    ends = f"{{{whole.symbol}}} / {{l}} * (1 {{sign}} 6 * {{e}} / {{l}})"
    steps = [
        Step(part=part, title="Its length", result=length, formula="{s_1} - {s_0}", quantities=(start, end)),
        Step(part=part, title="Its middle", result=middle, formula="({s_0} + {s_1}) / 2", quantities=(start, end)),
        Step(part=part, title="Centre of weight behind the middle", result=off, formula=f"{{{centre.symbol}}} - {{c}}",
             quantities=(centre, middle)),
        Step(part=part, title="Line load at the front end", result=first, formula=ends.replace("{sign}", "-"),
             quantities=(whole, length, off), remark="Sum and moment of a trapezium; derived, statics"),
        Step(part=part, title="Line load at the rear end", result=last, formula=ends.replace("{sign}", "+"),
             quantities=(whole, length, off)),
        Step(part=part, title="Growth per metre", result=rate, formula="({w_1} - {w_0}) / {l}",
             quantities=(first, last, length)),
    ]
    return steps, [Along(start, end, whole, centre, first, rate)]
