"""Findings -> the record as one HTML text: templates filled, style, scripts, data and inputs in it, nothing outside."""

from __future__ import annotations

import base64
import io
import platform
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import files
from pathlib import Path
from typing import Any

from ladderfe import __version__
from ladderfe.checks import Findings
from ladderfe.checks.twist import TwistFindings
from ladderfe.report.record import drawings
from ladderfe.report.record.case_figures import ALL, case_figures
from ladderfe.report.record.chapters import chapters
from ladderfe.report.record.first_page import first_page
from ladderfe.report.record.frame_pack import deflated, frame_data, further_cases, states_of
from ladderfe.report.record.inputs import InputFile, inputs_json, script_json
from ladderfe.report.record.parts import groups
from ladderfe.report.record.repairs import Repairs
from ladderfe.report.record.straight import Straight
from ladderfe.report.record.typeset import code_marked, formula, slug, typeset

__all__ = ["MARK", "Said", "record_html"]

#: What stands near the head of every record.
MARK = b'<meta name="generator" content="ladderfe'
STYLES = ("paper.css", "words.css", "figures.css", "frame.css", "print.css")
SCRIPTS = ("inflate.js", "data.js", "turn.js", "walls_gl.js", "walls_2d.js", "frame.js", "page.js")
#: Colours of the still picture.
COLOURS = 64
PACKAGES = ("numpy", "scipy", "pydantic", "matplotlib", "jinja2")


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What stands in the record beside the findings: date, who measured and with what ("" to be filled in by hand), the
    names of the files, the options of the calculation, the command that makes the record again, and
    what was measured with tape and level (None: nothing)."""

    date: str
    measured_by: str = ""
    gauge: str = ""
    chassis_name: str = ""
    readings_name: str = ""
    options: dict[str, Any] = field(default_factory=dict)
    command: str = ""
    straight: Straight | None = None


def record_html(
    findings: Findings, twist: TwistFindings, inputs: Sequence[InputFile], said: Said, repairs: Repairs | None = None
) -> str:
    """The whole record; repairs: of a plan, where there is one.  The same of all give the same text."""
    findings = _named(findings, said.readings_name)
    repaired = repairs.findings.repaired if repairs else None
    template = _environment().get_template("record.html")
    script = _texts("script", SCRIPTS)
    made: str = template.render(
        version=__version__,
        said=said,
        page=first_page(findings, said, said.chassis_name, repairs),
        chapters=chapters(findings, twist, repairs, said.straight),
        inputs=inputs,
        versions=_versions(),
        style=_texts("style", STYLES),
        script=script,
        script_sum=base64.b64encode(sha256(script.encode()).digest()).decode(),
        still=_still(findings),
        all_cases=ALL,
        governing_case=findings.utilisations[0].case,
        page_cases=[c.name for c in findings.solution.cases[1:]],
        states=[name for name, _ in states_of(findings, repaired)],
        further=further_cases(findings, repaired) if repaired else [],
        data={
            "inputs": inputs_json(inputs, said.options),
            "frame": script_json(frame_data(findings, repaired)),
            "figures": script_json({"packed": deflated(script_json(case_figures(findings, repaired)).encode())}),
            "diagrams": script_json(_diagrams(findings)),
        },
    )
    return made


def _named(findings: Findings, readings: str) -> Findings:
    """The findings with the name of the file of readings alone, wherever it lay."""
    if (found := findings.as_found) is None:
        return findings
    return replace(findings, as_found=replace(found, readings=replace(found.readings, source=readings)))


def _environment() -> Any:
    from jinja2 import Environment, FunctionLoader, StrictUndefined
    from markupsafe import Markup

    made = Environment(
        loader=FunctionLoader(lambda name: _text("page", name)), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    made.filters |= {"set": typeset, "slug": slug, "own": Markup}
    made.filters |= {"words": lambda text: Markup(code_marked(text)), "formula": lambda text: Markup(formula(text))}
    made.globals |= {"groups": groups}
    return made


def _text(folder: str, name: str) -> str:
    return (files("ladderfe.report.record") / folder / name).read_text(encoding="utf-8")


def _texts(folder: str, names: Sequence[str]) -> str:
    return "\n".join(_text(folder, name) for name in names)


def _versions() -> list[tuple[str, str]]:
    found = [("ladderfe", __version__), ("Python", platform.python_version())]
    for name in PACKAGES:
        try:
            found.append((name, version(name)))
        except PackageNotFoundError:
            found.append((name, "not known"))
    return found


def _still(findings: Findings) -> str:
    """The picture of the governing case for paper and for browsers without scripts: PNG in base64, of few colours."""
    from PIL import Image

    from ladderfe.report.frame_scene import frame_scene
    from ladderfe.report.pictures import draw

    with tempfile.TemporaryDirectory(prefix="ladderfe-") as folder:
        info = draw(frame_scene(findings, findings.utilisations[0].case), Path(folder, "still.png"))
        with Image.open(info.path) as image:
            few = image.convert("RGB").quantize(COLOURS, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    out = io.BytesIO()
    few.save(out, "PNG", optimize=True)
    return base64.b64encode(out.getvalue()).decode()


def _diagrams(findings: Findings) -> dict[str, str]:
    """The wide diagrams of all cases, packed.  {"lines": [...], "cases": [...]}: of every case
    left and right rail as numbers of lines, most of which all cases share."""
    made = [drawings.rail_diagrams(findings, c.name) for c in findings.solution.cases[1:]]
    numbers: dict[str, int] = {}
    cases = [[_numbered(d.wide, numbers) for d in both] for both in made]
    return {"packed": deflated(script_json({"lines": list(numbers), "cases": cases}).encode())}


def _numbered(text: str, numbers: dict[str, int]) -> list[int]:
    """The lines of a text as numbers; new ones get the next number."""
    return [numbers.setdefault(line, len(numbers)) for line in text.split("\n")]
