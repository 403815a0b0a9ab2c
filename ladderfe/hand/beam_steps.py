"""Steps of the page for reactions, shear and moment: at each place the sum over all that lies ahead of it."""

from __future__ import annotations

from collections.abc import Iterable

from ladderfe.hand.beam import BeamResult, TurningPoint
from ladderfe.hand.given import HandGiven
from ladderfe.hand.load_steps import Along, kn, loads_along, metres
from ladderfe.hand.loads import PointLoad
from ladderfe.hand.piecewise import SIDES, Beside
from ladderfe.hand.steps import Quantity, Step
from ladderfe.units import kgf_from_newtons, kilonewton_metres

__all__ = ["beam_steps"]

REACTIONS, DIAGRAMS = "Reactions", "Shear and moment"


def beam_steps(given: HandGiven, result: BeamResult, along: list[Along]) -> list[Step]:
    """Reactions; shear either side of the axles; moment over the axles and where it turns; contraflexure."""
    supports = [metres(f"x_{letter}", x) for letter, x in zip("AB", given.supports, strict=True)]
    reactions = [kn(f"R_{letter}", r) for letter, r in zip("AB", result.reactions, strict=True)]
    sums = _Ahead(along, [Along(x, x, r, x) for x, r in zip(supports, reactions, strict=True)])
    steps = _reactions(given, result, along, supports, reactions)
    for axle, x in zip(given.axles, supports, strict=True):
        shears = result.shear_beside(axle.station)
        for side, mark, value in zip(SIDES, "-+", shears, strict=True):
            steps.append(Step(
                part=DIAGRAMS, title=f"Shear just {side}{' of' if side == 'ahead' else ''} the {axle.name}",
                result=kn(f"V_{x.symbol[-1]}{mark}", value), formula=sums.shear(x, side), quantities=sums.known,
            ))
    for axle, x in zip(given.axles, supports, strict=True):
        steps.append(_moment(f"Moment over the {axle.name}", x, float(result.moment(axle.station)), sums))
    inner = [p for p in result.turning_points if p.station not in given.supports]
    for number, point in enumerate(inner, 1):
        steps += _turning(number, point, sums)
    for number, station in enumerate(result.contraflexure, 1):
        place = metres(f"x_c{number}", station)
        steps.append(Step(part=DIAGRAMS, title="Contraflexure: the moment changes sign", result=place,
                          formula=sums.moment(place), quantities=(*sums.known, place), equation=True))
    end = metres("x_E", given.end)
    behind = any(isinstance(p := given.carried(m), PointLoad) and p.arm > 0 for m in given.masses)
    title = f"Moment at the rear end, which must {'balance what hangs behind it' if behind else 'vanish'}"
    steps.append(_moment(title, end, float(result.moment(given.end)), sums))
    return steps


def _reactions(
    given: HandGiven, result: BeamResult, along: list[Along], supports: list[Quantity], reactions: list[Quantity]
) -> list[Step]:
    arms = " + ".join(f"{{{a.weight.symbol}}} * ({{{a.centre.symbol}}} - {{x_A}})" for a in along)
    weights = " + ".join(f"{{{a.weight.symbol}}}" for a in along)
    known = (*loads_along(along), *supports)
    off = max(abs(r - axle.sprung_weight) for r, axle in zip(result.reactions, given.axles, strict=True))
    back = f"within {kgf_from_newtons(off):.0e} kg" if off else "exactly"
    remark = ("The listed masses that were not aboard add to what was weighed" if given.added
              else f"What was weighed comes back {back}")
    return [
        Step(part=REACTIONS, title=f"Reaction at the {given.axles[1].name}", result=reactions[1],
             formula=f"({arms}) / ({{x_B}} - {{x_A}})", quantities=known,
             remark=f"Moments about the {given.axles[0].name}"),
        Step(part=REACTIONS, title=f"Reaction at the {given.axles[0].name}", result=reactions[0],
             formula=f"{weights} - {{R_B}}", quantities=(*known, reactions[1]), remark=remark),
    ]


def _turning(number: int, point: TurningPoint, sums: _Ahead) -> list[Step]:
    place = metres(f"x_m{number}", point.station)
    if point.kind == "V jumps":
        title = f"Moment at {point.station:.0f} mm, where the shear jumps through nothing"
        return [_moment(title, place, point.moment, sums)]
    formula, equation = sums.turning(place)
    where = Step(part=DIAGRAMS, title="Moment turns where the shear is nothing", result=place, formula=formula,
                 quantities=(*sums.known, place), equation=equation)
    return [where, _moment("Moment there", place, point.moment, sums)]


def _moment(title: str, place: Quantity, value: float, sums: _Ahead) -> Step:
    symbol = place.symbol.replace("x_", "M_")
    return Step(part=DIAGRAMS, title=title, result=Quantity(symbol, kilonewton_metres(value), "kN m"),
                formula=sums.moment(place), quantities=(*sums.known, place))


class _Ahead:
    """Formulas for V and M at a place from what lies ahead of it: reactions up, loads down."""

    def __init__(self, loads: Iterable[Along], reactions: Iterable[Along]) -> None:
        self.loads, self.reactions = list(loads), list(reactions)
        self.known = loads_along([*self.loads, *self.reactions])

    def shear(self, place: Quantity, side: Beside) -> str:
        """V just ahead of or behind the place."""
        def counted(a: Along) -> bool:
            point = a.start.value == a.end.value
            return a.start.value < place.value or (point and side == "behind" and a.start.value == place.value)

        up = [f"{{{r.weight.symbol}}}" for r in self.reactions if counted(r)]
        return _joined(up, [_shear_of(a, place) for a in self.loads if counted(a)])

    def moment(self, place: Quantity) -> str:
        up = [f"{{{r.weight.symbol}}} * {_arm(place, r.centre)}" for r in self.reactions if r.start.value < place.value]
        return _joined(up, [_moment_of(a, place) for a in self.loads if a.start.value < place.value])

    def turning(self, place: Quantity) -> tuple[str, bool]:
        """Where V is nothing: solved for the place under one uniform load, else the equation itself."""
        under = [a for a in self.loads if a.start.value < place.value <= a.end.value]
        if len(under) != 1 or under[0].line is None or under[0].rate is not None:
            return self.shear(place, "ahead"), True
        load, line = under[0], under[0].line
        up = [f"{{{r.weight.symbol}}}" for r in self.reactions if r.start.value < place.value]
        rest = _joined(up, [_shear_of(a, place) for a in self.loads if a.end.value < place.value])
        rest = f"({rest})" if " " in rest else rest
        return f"{{{load.start.symbol}}} + {rest} / {{{line.symbol}}}", False


def _joined(up: list[str], down: list[str]) -> str:
    if not up and not down:
        return "0"
    return " + ".join(up) + "".join(f" - {term}" if up or i else f"-{term}" for i, term in enumerate(down))


def _arm(place: Quantity, other: Quantity) -> str:
    return f"({{{place.symbol}}} - {{{other.symbol}}})"


def _shear_of(a: Along, place: Quantity) -> str:
    if a.line is None or a.end.value <= place.value:
        return f"{{{a.weight.symbol}}}"
    arm = _arm(place, a.start)
    growing = f" - {{{a.rate.symbol}}} * {arm}^2 / 2" if a.rate else ""
    return f"{{{a.line.symbol}}} * {arm}{growing}"


def _moment_of(a: Along, place: Quantity) -> str:
    if a.line is None or a.end.value <= place.value:
        return f"{{{a.weight.symbol}}} * {_arm(place, a.centre)}"
    arm = _arm(place, a.start)
    growing = f" - {{{a.rate.symbol}}} * {arm}^3 / 6" if a.rate else ""
    return f"{{{a.line.symbol}}} * {arm}^2 / 2{growing}"
