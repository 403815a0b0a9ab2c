"""The whole page of a hand calculation as data: what went in, every step, and the rail station by station."""

from __future__ import annotations

from dataclasses import dataclass
from string import ascii_lowercase

from ladderfe.hand.beam import BeamResult, solve_beam
from ladderfe.hand.beam_steps import beam_steps
from ladderfe.hand.given import HandGiven
from ladderfe.hand.load_steps import load_steps
from ladderfe.hand.loads import Beam, LineLoad, PointLoad
from ladderfe.hand.rail import StressRow, governing_rows, stress_rows
from ladderfe.hand.section import HandSection
from ladderfe.hand.steps import Step
from ladderfe.hand.stress_steps import bending_steps, section_steps, shear_steps

__all__ = ["HandCalculation", "hand_calculation"]

SAME = 1e-3  # mm: stations that a page cannot tell apart
NOTES = (
    "V is the upward forces ahead of a station less the downward ones; M is positive where the rail sags (bottom face "
    "in tension); V = dM/dx.",
    "All sprung weight lies on one rail. It stands for a factor of 2 on the static load of a frame with two rails: "
    "compare it with the frame at factor 2, and multiply it no further.",
    "The rail's own weight is part of the line loads. Each axle is one support at its station; kick-ups do not matter "
    "for vertical loads on two supports.",
    "A beam on paper knows no twist, no sideways bending, no joints, no holes and no thin walls that buckle.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HandCalculation:
    """A hand calculation of one rail.

    `steps` in order; `rows` are the stresses station by station, `places` the words for those stations;
    `governing_bending` and `governing_shear` are the rows where each is utilised most (searched all along the rail).
    """

    given: HandGiven
    line_loads: tuple[LineLoad, ...]
    result: BeamResult
    steps: tuple[Step, ...]
    rows: tuple[StressRow, ...]
    places: tuple[tuple[float, str], ...]
    governing_bending: StressRow
    governing_shear: StressRow
    notes: tuple[str, ...] = NOTES

    @property
    def utilisation(self) -> float:
        """The greater of the two."""
        return max(self.governing_bending.utilisation, self.governing_shear.utilisation)


def hand_calculation(given: HandGiven) -> HandCalculation:
    """The page from the plain numbers given; raises ModelError where they cannot be a rail."""
    steps, along, lines = load_steps(given)
    listed = [given.carried(m) for m in given.masses]
    points = tuple(p for p in listed if isinstance(p, PointLoad))
    along_it = (*lines, *(q for q in listed if isinstance(q, LineLoad)))
    beam = Beam(start=given.start, end=given.end, supports=given.supports, line_loads=along_it, point_loads=points)
    result = solve_beam(beam)
    governing = governing_rows(result, given.spans, given.permissible)
    places = _places(given, result, governing)
    steps += beam_steps(given, result, along)
    steps += _worked(given, result, governing, places)
    rows = stress_rows(result, given.spans, given.permissible, places)
    return HandCalculation(
        given=given, line_loads=lines, result=result, steps=tuple(steps), rows=rows, places=tuple(places.items()),
        governing_bending=governing[0], governing_shear=governing[1], notes=(*NOTES, *_warnings(given, result)),
    )


def _places(given: HandGiven, result: BeamResult, governing: tuple[StressRow, StressRow]) -> dict[float, str]:
    """Words for every station of the table, front to rear; the weightiest reason names it."""
    named: list[tuple[float, str]] = [(x, axle.name) for x, axle in zip(given.supports, given.axles, strict=True)]
    named += [(given.start, "front end"), (given.end, "rear end")]
    named += [(p.station, "moment turns") for p in result.turning_points]
    named += [(x, "contraflexure") for x in result.contraflexure]
    for m in given.masses:
        load = given.carried(m)
        ends = [(load.start, f"begins: {m.name}"), (load.end, f"ends: {m.name}")] if isinstance(load, LineLoad) else []
        named += [(load.station, m.name)] if isinstance(load, PointLoad) else ends
    named += [(span.start, "section changes") for span in given.spans[1:] if given.start <= span.start <= given.end]
    named += [(given.spread.middle, "load splits")] if given.spread.distribution == "two halves" else []
    named += [(x, "as asked") for x in given.stations]
    named += [(row.station, "governs") for row in governing]
    words: dict[float, str] = {}
    for station, word in named:
        if all(abs(station - known) > SAME for known in words):
            words[station] = word
    return dict(sorted(words.items()))


def _worked(
    given: HandGiven, result: BeamResult, governing: tuple[StressRow, StressRow], places: dict[float, str]
) -> list[Step]:
    """Sections and stresses worked in full: where V, sagging and hogging are greatest, and where the rail governs."""
    def rows_at(station: float) -> tuple[StressRow, ...]:
        return stress_rows(result, given.spans, given.permissible, (station,))

    turns = [p.station for p in (result.greatest_sagging, result.greatest_hogging) if p.moment != 0.0]
    bent = [max(rows_at(x), key=lambda row: row.bending) for x in turns] + [governing[0]]
    sheared = [max(rows_at(result.greatest_shear[0]), key=lambda row: abs(row.shear)), governing[1]]
    sections = list(dict.fromkeys(row.section for row in (*sheared, *bent)))
    steps, done = [], set[tuple[float, HandSection, bool]]()
    for letter, section in zip(ascii_lowercase, sections, strict=False):
        stations = sorted({row.station for row in (*sheared, *bent) if row.section == section})
        steps += section_steps(section, letter, "at " + ", ".join(f"{x:.0f}" for x in stations) + " mm")
    for row, worked in sorted([*((r, False) for r in sheared), *((r, True) for r in bent)], key=lambda w: w[0].station):
        if (row.station, row.section, worked) not in done:
            done.add((row.station, row.section, worked))
            place = places[min(places, key=lambda x: abs(x - row.station))]
            letter = ascii_lowercase[sections.index(row.section)]
            part = f"Stress at {row.station:.0f} mm ({place}), section {letter}"
            steps += bending_steps(row, part) if worked else shear_steps(row, part)
    return steps


def _warnings(given: HandGiven, result: BeamResult) -> list[str]:
    lifted = [a.name for a, r in zip(given.axles, result.reactions, strict=True) if r < 0]
    return [f"The {name} would have to pull down: the masses that were not aboard lift it." for name in lifted]
