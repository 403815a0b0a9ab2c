"""The chapters of the record in their order, made of what the text pages say and of the drawings."""

from __future__ import annotations

from pathlib import PurePath

from ladderfe.checks import Findings
from ladderfe.checks.beside import beside
from ladderfe.checks.twist import TwistFindings
from ladderfe.report.assumptions_text import assumptions_text
from ladderfe.report.beside_text import beside_text_lines
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cases_text import cases_text
from ladderfe.report.cautions import CAUTIONS, WORKSHOP, cautions_text, not_checked
from ladderfe.report.envelope_text import envelope_text
from ladderfe.report.findings_text import loads_text
from ladderfe.report.forces_text import forces_text
from ladderfe.report.found_text import found_text
from ladderfe.report.governing_text import governing_text
from ladderfe.report.joints_text import joints_text
from ladderfe.report.movements_text import movements_text, rails_text
from ladderfe.report.page import bullets, proof_lines
from ladderfe.report.record import drawings
from ladderfe.report.record.case_figures import bars
from ladderfe.report.record.hand_steps import hand_steps
from ladderfe.report.record.parts import Chapter, Figure, Pane, Part, prose
from ladderfe.report.record.repairs import Repairs, repairs_parts
from ladderfe.report.record.straight import Straight, straight_parts
from ladderfe.report.summary_text import summary_text
from ladderfe.report.table import paragraph
from ladderfe.report.twist_text import twist_parts
from ladderfe.report.unusual_text import as_stated, unusual_text

__all__ = ["chapters"]

NO_READINGS = "No thickness was read. All walls count as the chassis file has them, ASSUMED."


def chapters(
    findings: Findings, twist: TwistFindings, repairs: Repairs | None = None, straight: Straight | None = None
) -> list[Chapter]:
    """All chapters that have something to say."""
    f = findings
    made = [
        Chapter("chassis", "The chassis", (*_chassis(f), *prose(unusual_text(as_stated(f)), joints_text(f.chassis)))),
        Chapter("measured", "What was measured and what is assumed", _measured(f)),
        Chapter("loads", "Loads and cases", prose(loads_text(f), cases_text(f, True))),
        Chapter("diagrams", "Along the rails: load, shear, moment, torsion", _diagrams(f)),
        Chapter("sections", "Sections to scale", _sections(f)),
        Chapter("unrolled", "The rails unrolled", _unrolled(f)),
        Chapter("frame", "The frame, case by case", (Pane("frame", {"bars": bars(f), "two": f.as_found is not None}),)),
        Chapter("governing", "What governs", _governing(f)),
        Chapter("twist", "Twist", (*_twist_diagrams(twist), *prose(twist_parts(twist)))),
        Chapter("hand", "Hand calculation", _hand(f)),
        Chapter("repairs", "Repair sheets", repairs_parts(repairs) if repairs else ()),
        Chapter("straight", "Is the frame straight", straight_parts(straight) if straight else ()),
        Chapter("self-check", "Self-check", prose(proof_lines((*f.proofs, *twist.proofs)))),
        Chapter("cautions", "Cautions", prose(cautions_text((*CAUTIONS, *WORKSHOP)), without=["Cautions"])),
        Chapter("not-checked", "What was not checked", _not_checked(f)),
    ]
    return [c for c in made if c.parts]


def _figure(drawn: drawings.Drawn, words: str) -> tuple[Figure, ...]:
    return (Figure(drawn.wide, words, drawn.narrow),) if drawn.wide else ()


def _chassis(f: Findings) -> tuple[Figure, ...]:
    plan, side = drawings.chassis_drawing(f)
    from_left = _figure(side, "The chassis from the left, to the same scale. Lengths in mm.")
    return (*_figure(plan, "The chassis in plan. Lengths in mm."), *from_left)


def _measured(f: Findings) -> tuple[Part, ...]:
    read = found_text(f, every=True) if f.as_found else paragraph(NO_READINGS)
    return prose(read, assumptions_text(f))


def _diagrams(f: Findings) -> tuple[Part, ...]:
    forces = prose(rails_text(f, True), forces_text(f, True), movements_text(f))
    shown = f.utilisations[0].case
    both = drawings.rail_diagrams(f, shown)
    return (Pane("diagrams", {"case": shown, "both": both}), *forces)


def _sections(f: Findings) -> tuple[Figure, ...]:
    words = "Sections to scale, wall thicknesses in mm."
    return tuple(figure for d in drawings.section_sheets(f) for figure in _figure(d, words))


def _unrolled(f: Findings) -> tuple[Figure, ...]:
    """Both drawings of the rails' walls laid flat, where readings are."""
    if f.as_found is None:
        return ()
    from ladderfe.report.unrolled import unrolled
    from ladderfe.report.vector import svg_of

    found = f.as_found.readings
    words = (
        f"Walls of the rails laid flat, with what was read in {PurePath(found.source).name}.",
        "The same walls with the greatest utilisation of all cases, as found.",
    )
    made = (svg_of(unrolled(found, own)) for own in (None, f))
    return tuple(Figure(drawings.inline(s), w, on_white=True, wide=True) for s, w in zip(made, words, strict=True))


def _governing(f: Findings) -> tuple[Part, ...]:
    return prose(summary_text(f), governing_text(f), envelope_text(f), buckling_text(f), without=["Governing stresses"])


def _twist_diagrams(t: TwistFindings) -> tuple[Figure, ...]:
    from ladderfe.report.twist_diagrams import twist_diagrams
    from ladderfe.report.twist_results import DIAGRAMS

    words = {name: text[0].upper() + text[1:] + "." for name, text in DIAGRAMS.items()}
    return tuple(Figure(drawings.inline(d.svg), words[d.name], on_white=True) for d in twist_diagrams(t, png=False))


def _hand(f: Findings) -> tuple[Part, ...]:
    calc, rows = beside(f.chassis, f.solution)
    return (Pane("hand", hand_steps(calc)), *prose(beside_text_lines(rows, f)))


def _not_checked(f: Findings) -> tuple[Part, ...]:
    return prose(bullets("Not checked", not_checked(f)), without=["Not checked"])
