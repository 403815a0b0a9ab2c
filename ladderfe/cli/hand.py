"""`ladderfe hand`: the one-rail beam as on paper, then the whole frame beside it."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.checks import check
from ladderfe.checks.beside import beside, hand_of
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, progress, read
from ladderfe.report.beside_text import beside_text
from ladderfe.report.cautions import cautions_text
from ladderfe.report.findings_text import findings_text
from ladderfe.report.hand_page import hand_text
from ladderfe.report.unusual_text import unusual_text

__all__ = ["command"]


@click.command("hand", short_help="The hand calculation of one rail, beside the whole frame.")
@chassis_argument
@click.option("--listed", is_flag=True, help="On paper, too, take the listed masses at their own stations.")
@click.option("--alone", is_flag=True, help="Only the hand calculation, without the frame beside it.")
@readings_options
def command(file: Path, listed: bool, alone: bool, asked: Asked) -> int:
    r"""Show the one-rail beam with overhangs of CHASSIS.toml step by step, in symbols and numbers.

    \b
    Examples:
      ladderfe hand models/test-frame.toml
      ladderfe hand my-chassis.toml --listed
    """
    chassis = read(file)
    if (found := asked.found(chassis)) is not None:
        from ladderfe.report.readings_text import readings_text

        chassis = found.chassis
        click.echo("\n".join(readings_text(found)).lstrip("\n") + "\n")
    page = hand_of(chassis, listed=listed)
    click.echo(hand_text(page, unusual_text(chassis)))
    over = False
    if not alone:
        findings = check(chassis, assumptions=False, progress=progress())
        if not findings.proven:
            click.echo(findings_text(findings, str(file)))
            return SHORT
        click.echo(beside_text(beside(chassis, findings.solution)[1], findings))
        over = findings.exceeded
    click.echo("\n".join(cautions_text()))
    return EXCEEDED if over or page.utilisation > 1 else 0
