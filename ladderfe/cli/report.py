"""`ladderfe report`: everything in one HTML file, or the inputs of such a file taken out again."""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Callable, Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, plan_readings_options
from ladderfe.cli.shared import STDIN, chassis_argument, files_read, progress
from ladderfe.cli.subject import Subject, subject_of
from ladderfe.errors import ModelError
from ladderfe.report.files import STRANGE, may_write, write_whole
from ladderfe.report.table import WIDTH, page_width

if TYPE_CHECKING:
    from ladderfe.checks import Findings
    from ladderfe.condition.repaired import Repaired
    from ladderfe.report.record import InputFile
    from ladderfe.report.record.repairs import Repairs
    from ladderfe.report.record.straight import Straight

__all__ = ["command"]

#: Steel of the weaker part of joints, as `ladderfe weld` takes it unless told otherwise.
STEEL = "S235"


def _day(_: click.Context, option: click.Parameter, value: str | None) -> str:
    """The date asked for, else that of SOURCE_DATE_EPOCH (seconds since 1970, UTC), else today's."""
    if value is not None:
        try:
            return date.fromisoformat(value).isoformat()
        except ValueError:
            raise click.BadParameter(f"{value!r} is no date such as 2031-05-17.", param=option) from None
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if re.fullmatch(r"\d{1,11}", epoch):
        return datetime.fromtimestamp(int(epoch), UTC).date().isoformat()
    return date.today().isoformat()


@click.command("report", short_help="Everything in one HTML file: to read, to print, to work out again.")
@chassis_argument
@click.option("--output", type=click.Path(path_type=Path), metavar="FILE.html", help="The file to write.")
@click.option("--pdf", is_flag=True, help="Also write it as PDF beside it (needs weasyprint).")
@click.option("--date", "day", metavar="YYYY-MM-DD", callback=_day, help="Date on the record; today if not given.")
@click.option("--measured-by", default="", metavar="NAME", help="Who measured, as it is to stand on the record.")
@click.option("--gauge", default="", metavar="WORDS", help="Thickness gauge and the step that it was set by.")
@click.option(
    "--measured",
    type=click.Path(path_type=Path),
    multiple=True,
    metavar="FILE.csv",
    help="Distances and heights as measured, as for `ladderfe square`; once for each round, earliest first.",
)
@click.option("--inputs", type=click.Path(path_type=Path), metavar="FOLDER", help="Take out a report's inputs instead.")
@click.option("--quick", is_flag=True, help="List the assumptions without moving them to their low and high values.")
@click.option("--overwrite", is_flag=True, help="Replace an earlier report of that name.")
@plan_readings_options
def command(
    file: Path,
    output: Path | None,
    pdf: bool,
    day: str,
    measured_by: str,
    gauge: str,
    measured: tuple[Path, ...],
    inputs: Path | None,
    quick: bool,
    overwrite: bool,
    asked: Asked,
) -> int:
    r"""Check CHASSIS.toml and put everything into one HTML file that opens offline and prints to A4.  Of a repair plan
    also what it brings, its plates to scale and its welds.

    The files that were read are carried in it: name a report instead of a chassis, and a folder by --inputs, to take
    them out.

    \b
    Examples:
      ladderfe report my-chassis.toml --output record.html
      ladderfe report models/short-4x4.toml \
          --readings models/short-4x4-readings.csv
      ladderfe report my-chassis.toml --measured before.csv \
          --measured after.csv
      ladderfe report models/plans/short-4x4-let-in.toml
      ladderfe report record.html --inputs folder
    """  # fmt: skip
    if inputs is not None:
        return _take_out(file, inputs)
    if file == STDIN:
        raise click.UsageError("A report carries the file that it was made from: name a file instead of -.")
    target = output or Path(f"{file.stem}-report.html")
    wanted = [target, target.with_suffix(".pdf")] if pdf else [target]
    subject = subject_of(file, asked)
    readings = _readings(file, subject, asked)
    first = files_read(file)
    own = _inputs(first, measured, readings)
    _may_write(wanted, overwrite, own)
    if pdf:
        from ladderfe.report.record.pdf import may_make_pdf

        may_make_pdf()
    from ladderfe.cli.straight import rounds_of
    from ladderfe.report.record import read_inputs

    carried, tell = read_inputs(own), progress()
    names = [f.name for f in carried[len(first) : len(first) + len(measured)]]
    straight = rounds_of(subject.over, measured, names)
    findings = _checked(subject, quick, tell)
    repairs = _repairs(subject, file, tell) if findings is not None and subject.states is not None else None
    if findings is None or (subject.states is not None and repairs is None):
        return SHORT
    words = _words(subject, carried, asked, (day, measured_by, gauge, quick), names) | {"straight": straight}
    page = _page(findings, subject, carried, (words, repairs), tell)
    tell("writing the report")
    for line in _written(page, wanted, overwrite):
        click.echo(line)
    return _status(findings, repairs, straight)


def _status(findings: Findings, repairs: Repairs | None, straight: Straight | None) -> int:
    """1 where the frame, a plan or the last round of measuring is outside its limits."""
    over = findings.exceeded or (repairs is not None and repairs.findings.exceeded)
    return EXCEEDED if over or (straight is not None and straight.rounds[-1].exceeded) else 0


def _inputs(first: Sequence[Path], measured: Sequence[Path], readings: Path | None) -> list[Path]:
    """The files that the record carries, each once: of the chassis, rounds of measuring, readings."""
    own = [*first, *measured, *([readings] if readings else [])]
    if measured and len({p.resolve() for p in own}) < len(own):
        raise click.UsageError("A file of --measured is named twice, or is another input: name each round's own file.")
    return own


def _readings(file: Path, subject: Subject, asked: Asked) -> Path | None:
    """The table of readings that counts: the one asked for, else the plan's own."""
    if asked.file is not None or subject.states is None or not subject.states.plan.readings:
        return asked.file
    return file.parent / subject.states.plan.readings


def _repairs(subject: Subject, file: Path, tell: Callable[[str], None]) -> Repairs | None:
    """The plan worked out; None where a self-check falls short."""
    from ladderfe.advice.weld_sizes import weld_sizes
    from ladderfe.checks.weld_demands import weld_demands
    from ladderfe.cli.planned import worked_out
    from ladderfe.connections import weld_steel
    from ladderfe.report.record.repairs import Repairs

    if subject.states is None:
        return None
    found, splices, fatigue = worked_out(subject.states, subject.over, file, tell)
    if fatigue is None:
        return None
    welds = weld_sizes(weld_demands(subject.states, progress=tell), weld_steel(STEEL), "simplified")
    return Repairs(findings=found, welds=welds, fatigue=fatigue, splices=splices)


def _may_write(wanted: list[Path], overwrite: bool, inputs: list[Path]) -> None:
    """Refuse, before anything is calculated, what could not be written afterwards."""
    from ladderfe.report.record.document import MARK
    from ladderfe.report.record.pdf import PDF

    for path, kind, mark in zip(wanted, ("html", "pdf"), (MARK, PDF), strict=False):
        if path.suffix.lower() not in (f".{kind}", ".htm") and not path.is_dir():
            hint = f"Name it {path.with_suffix('.html').name}"
            raise ModelError(str(path), "reports are written as HTML files; PDF comes beside them by --pdf", hint)
        may_write(path, overwrite, mark, inputs)


def _checked(subject: Subject, quick: bool, tell: Callable[[str], None]) -> Findings | None:
    """The findings; None, and the page that says so on stderr, where the self-check falls short."""
    from ladderfe.checks import check
    from ladderfe.checks.found import check_found

    if subject.found is not None:
        findings = check_found(subject.found, assumptions=not quick, progress=tell)
    else:
        chassis = subject.over if subject.states is None else subject.states.found.built
        findings = check(chassis, assumptions=not quick, progress=tell)
    if findings.proven:
        return findings
    from ladderfe.report.findings_text import findings_text

    click.echo(findings_text(findings, ""), err=True)
    return None


def _words(
    subject: Subject,
    carried: tuple[InputFile, ...],
    asked: Asked,
    said: tuple[str, str, str, bool],
    measured: Sequence[str],
) -> dict[str, object]:
    """What the record says beside the findings; said: date, who measured, gauge, whether --quick;
    measured: names of the rounds with tape and level."""
    day, measured_by, gauge, quick = said
    readings = carried[-1].name if asked.file is not None else ""
    o = asked.options
    words = ["ladderfe", "report", carried[0].name, *(["--readings", readings] if readings else [])]
    if subject.found is not None:
        words += ["--reach", f"{o.reach:g}", *(["--pool", f"{o.pool:g}"] if o.pool else [])]
        words += ["--unread-loss", f"{100 * o.unread_loss:g}"] if o.unread_loss else []
        words += ["--lower-bound"] if o.strength != type(o)().strength else []
    words += [word for name in measured for word in ("--measured", name)]
    for name, value in (("--date", day), ("--measured-by", measured_by), ("--gauge", gauge)):
        words += [name, value] if value else []
    words += ["--quick"] if quick else []
    return {
        "date": day,
        "measured_by": measured_by,
        "gauge": gauge,
        "chassis_name": carried[0].name if subject.states is None else _plan_names(subject.states, carried),
        "readings_name": "" if subject.found is None else _drawn(carried[-1].name.rpartition("/")[2]),
        "options": {
            "readings": asdict(o) if subject.found is not None else None,
            "quick": quick,
            "date": day,
            "arguments": words[1:],
        },
        "command": shlex.join(words),
    }


def _drawn(name: str) -> str:
    """A name of a file as drawings can write it."""
    return name.encode(errors=STRANGE).decode()


def _plan_names(states: Repaired, carried: tuple[InputFile, ...]) -> str:
    """The chassis file and the plan laid over it."""
    return f"{Path(states.plan.base).name}, plan {Path(carried[0].name).name}"


def _page(
    findings: Findings, subject: Subject, carried: tuple[InputFile, ...],
    said: tuple[dict[str, object], Repairs | None], tell: Callable[[str], None],
) -> str:  # fmt: skip
    from ladderfe.checks.twist import check_twist
    from ladderfe.report.record import Said, record_html

    words, repairs = said
    twist = check_twist(findings.chassis, progress=tell)
    with page_width(WIDTH):
        return record_html(findings, twist, carried, Said(**words), repairs)  # type: ignore[arg-type]


def _written(page: str, wanted: list[Path], overwrite: bool) -> list[str]:
    """Write the report; returns a line for every file."""
    from ladderfe.report.record.document import MARK

    html, *others = wanted
    page = _drawn(page)
    made = [(html, page.encode(), MARK)]
    if others:
        from ladderfe.report.record.pdf import PDF, pdf_of

        made.append((others[0], pdf_of(page), PDF))
    for path, data, mark in made:
        write_whole(path, data, overwrite, mark)
    return [f"{path}: the report, {len(data) / 1000:.0f} kB" for path, data, _ in made]


def _take_out(report: Path, folder: Path) -> int:
    """Write the files that a report was made from into a folder; none that is there is touched."""
    from ladderfe.report.record import inputs_of

    files, options = inputs_of(report.read_text(encoding="utf-8", errors="replace"), str(report))
    targets = [folder / f.name for f in files]
    for path in targets:
        if path.exists():
            raise ModelError(str(path), "is there already", "Name an empty folder")
    for f, path in zip(files, targets, strict=True):
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, f.data)
        click.echo(f"{path}: SHA-256 {f.sha256}")
    if options.get("arguments"):
        click.echo(f"Made by: ladderfe {shlex.join(map(str, options['arguments']))}")
    return 0
