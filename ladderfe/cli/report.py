"""`ladderfe report`: everything in one HTML file, or the inputs of such a file taken out again."""

from __future__ import annotations

import os
import re
import shlex
from dataclasses import asdict
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import STDIN, chassis_argument, files_read, progress, read
from ladderfe.errors import ModelError
from ladderfe.report.files import may_write, write_whole
from ladderfe.report.table import WIDTH, page_width

if TYPE_CHECKING:
    from ladderfe.chassis import Chassis
    from ladderfe.checks import Findings
    from ladderfe.condition import Found
    from ladderfe.report.record import InputFile

__all__ = ["command"]


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
@click.option("--inputs", type=click.Path(path_type=Path), metavar="FOLDER", help="Take out a report's inputs instead.")
@click.option("--quick", is_flag=True, help="List the assumptions without moving them to their low and high values.")
@click.option("--overwrite", is_flag=True, help="Replace an earlier report of that name.")
@readings_options
def command(
    file: Path,
    output: Path | None,
    pdf: bool,
    day: str,
    measured_by: str,
    gauge: str,
    inputs: Path | None,
    quick: bool,
    overwrite: bool,
    asked: Asked,
) -> int:
    r"""Check CHASSIS.toml and put everything into one HTML file that opens offline and prints to A4.

    The files that were read are carried in it: name a report instead of a chassis, and a folder by --inputs, to take
    them out.

    \b
    Examples:
      ladderfe report my-chassis.toml --output record.html
      ladderfe report models/short-4x4.toml \
          --readings models/short-4x4-readings.csv
      ladderfe report record.html --inputs folder
    """  # fmt: skip
    if inputs is not None:
        return _take_out(file, inputs)
    if file == STDIN:
        raise click.UsageError("A report carries the file that it was made from: name a file instead of -.")
    target = output or Path(f"{file.stem}-report.html")
    wanted = [target, target.with_suffix(".pdf")] if pdf else [target]
    _may_write(wanted, overwrite, [*files_read(file), *asked.files()])
    if pdf:
        from ladderfe.report.record.pdf import may_make_pdf

        may_make_pdf()
    chassis = read(file)
    found = asked.found(chassis)
    from ladderfe.report.record import read_inputs

    carried = read_inputs([*files_read(file), *asked.files()])
    findings = _checked(chassis, found, quick)
    if findings is None:
        return SHORT
    page = _page(findings, found, carried, _words(file, carried, asked, (day, measured_by, gauge, quick)))
    progress()("writing the report")
    for line in _written(page, wanted, overwrite):
        click.echo(line)
    return EXCEEDED if findings.exceeded else 0


def _may_write(wanted: list[Path], overwrite: bool, inputs: list[Path]) -> None:
    """Refuse, before anything is calculated, what could not be written afterwards."""
    from ladderfe.report.record.document import MARK
    from ladderfe.report.record.pdf import PDF

    for path, kind, mark in zip(wanted, ("html", "pdf"), (MARK, PDF), strict=False):
        if path.suffix.lower() not in (f".{kind}", ".htm") and not path.is_dir():
            hint = f"Name it {path.with_suffix('.html').name}"
            raise ModelError(str(path), "reports are written as HTML files; PDF comes beside them by --pdf", hint)
        may_write(path, overwrite, mark, inputs)


def _checked(chassis: Chassis, found: Found | None, quick: bool) -> Findings | None:
    """The findings; None, and the page that says so on stderr, where the self-check falls short."""
    from ladderfe.checks import check
    from ladderfe.checks.found import check_found

    tell = progress()
    if found is None:
        findings = check(chassis, assumptions=not quick, progress=tell)
    else:
        findings = check_found(found, assumptions=not quick, progress=tell)
    if findings.proven:
        return findings
    from ladderfe.report.findings_text import findings_text

    click.echo(findings_text(findings, ""), err=True)
    return None


def _words(
    file: Path, carried: tuple[InputFile, ...], asked: Asked, said: tuple[str, str, str, bool]
) -> dict[str, object]:
    """What the record says beside the findings; said: date, who measured, gauge, whether --quick."""
    day, measured_by, gauge, quick = said
    readings = carried[-1].name if asked.file is not None else ""
    o = asked.options
    words = ["ladderfe", "report", carried[0].name, *(["--readings", readings] if readings else [])]
    if readings:
        words += ["--reach", f"{o.reach:g}", *(["--pool", f"{o.pool:g}"] if o.pool else [])]
        words += ["--unread-loss", f"{100 * o.unread_loss:g}"] if o.unread_loss else []
        words += ["--lower-bound"] if o.strength != type(o)().strength else []
    for name, value in (("--date", day), ("--measured-by", measured_by), ("--gauge", gauge)):
        words += [name, value] if value else []
    words += ["--quick"] if quick else []
    return {
        "date": day,
        "measured_by": measured_by,
        "gauge": gauge,
        "chassis_name": file.name,
        "readings_name": "" if asked.file is None else asked.file.name,
        "options": {"readings": asdict(o) if readings else None, "quick": quick, "date": day, "arguments": words[1:]},
        "command": shlex.join(words),
    }


def _page(findings: Findings, found: Found | None, carried: tuple[InputFile, ...], words: dict[str, object]) -> str:
    from ladderfe.checks.twist import check_twist
    from ladderfe.report.record import Said, record_html

    twist = check_twist(findings.chassis if found is None else found.chassis, progress=progress())
    with page_width(WIDTH):
        return record_html(findings, twist, carried, Said(**words))  # type: ignore[arg-type]


def _written(page: str, wanted: list[Path], overwrite: bool) -> list[str]:
    """Write the report; returns a line for every file."""
    from ladderfe.report.record.document import MARK

    html, *others = wanted
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
