"""`ladderfe start`: a first chassis file from a few questions or options."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from ladderfe.chassis import chassis_from_text
from ladderfe.chassis.answers import QUESTIONS, Answer, AnswerError, Question, SwappedError, read_answer
from ladderfe.chassis.first_file import even_reach, first_file
from ladderfe.errors import ModelError
from ladderfe.report.files import OutputError, may_write, write_whole
from ladderfe.solve import solve_chassis

__all__ = ["command"]

USUAL_FILE = "my-chassis.toml"
#: Asked again where the loads do not go together with the rest.
LOADS = ("front_axle", "front_load", "rear_load")


def _options(function: Callable[..., Any]) -> Callable[..., Any]:
    """An option for each question."""
    for q in reversed(QUESTIONS):
        unit = "" if q.is_word or q.kind is int else ", kg" if q.key.endswith("load") else ", mm"
        usual = "" if q.usual is None else "; may be left out"
        function = click.option(q.option, q.key, metavar="ANSWER", help=f"{q.asks}{unit}{usual}.")(function)
    return function


@click.command("start", short_help="Write a first chassis file from a few questions or options.")
@_options
@click.option("--out", type=click.Path(path_type=Path), help=f"File to write; {USUAL_FILE} if not given.")
@click.option("--overwrite", is_flag=True, help="Replace the file if it is there already.")
def command(out: Path | None, overwrite: bool, **given: str | None) -> int:
    r"""Ask for what no frame can be checked without and write a commented chassis file that can be checked at once.

    On a terminal whatever is not given as an option is asked.  Lengths are in mm and masses in kg; another unit goes
    behind the number, as in "93 in".  All else is assumed and marked in the file.

    \b
    Examples:
      ladderfe start
      ladderfe start --wheelbase 2400 --length 3800 --front-axle 700 \
          --front-load 900 --rear-load 850 --track 1470 --shape box --depth 140 \
          --width 70 --wall 2.5 --crossmembers 4 --out my-chassis.toml
    """
    asking = sys.stdin.isatty()
    if out is not None and out.exists() and not overwrite:
        raise OutputError(str(out), "is there already", "Choose another name, or add --overwrite")
    if out is not None:
        may_write(out, overwrite)  # before anything is asked
    text = _asked(given) if asking else _given(given)
    if out is None:
        out = _file_name(overwrite) if asking else Path(USUAL_FILE)
    write_whole(out, text, overwrite)
    marks = text.count("ASSUMED") - 1  # the first is in the words at the top
    click.echo(f"{out} is written; {marks} notes in it say what is ASSUMED. Put what you measured in their place.")
    click.echo(f"Next: ladderfe check {shlex.quote(str(out))}")
    return 0


def _given(given: dict[str, str | None]) -> str:
    """The file from options alone; UsageError tells all that is missing or cannot be."""
    answers: dict[str, Answer] = {}
    faults: list[str] = []
    missing = [q.option for q in QUESTIONS if given[q.key] is None and q.usual is None]
    for q in QUESTIONS:
        text = given[q.key]
        if text is None and q.usual is None:
            continue
        try:
            answers[q.key] = _answer(q, text, answers)
        except AnswerError as error:
            faults.append(f"{q.option}: {error.problem}. {error.hint}.")
        except KeyError:
            continue  # what it is judged beside is missing or faulty itself
    if missing:
        faults.append(f"Missing: {', '.join(missing)}. Give them, or run it on a terminal to be asked.")
    if faults:
        raise click.UsageError("\n".join(faults))
    return _proven(answers)


def _answer(question: Question, text: str | None, answers: dict[str, Answer]) -> Answer:
    if text is None and question.usual is not None:
        return read_answer(question, question.usual(answers), answers, assumed=True)
    return read_answer(question, text or "", answers)


def _asked(given: dict[str, str | None]) -> str:
    """The file from options and questions; whatever cannot be is asked again, with the reason."""
    click.echo("A few questions for a first chassis file. Lengths in mm, masses in kg, or with a unit: 93 in, 2 t.")
    click.echo("Enter alone takes the value in brackets, which then is marked as ASSUMED. Ctrl-C stops.")
    answers: dict[str, Answer] = {}
    for q in QUESTIONS:
        answers[q.key] = _until_it_can_be(q, given[q.key], answers)
    while True:
        try:
            return _proven(answers)
        except ModelError as error:
            click.echo(f"{error} These are asked again:")
        for q in QUESTIONS:
            if q.key in LOADS:
                answers[q.key] = _until_it_can_be(q, None, answers)


def _until_it_can_be(question: Question, text: str | None, answers: dict[str, Answer]) -> Answer:
    usual = question.usual(answers) if question.usual else ""
    while True:
        try:
            if text is None and usual and not question.asked(answers):
                return read_answer(question, usual, answers, assumed=True)
            if text is None:
                text = click.prompt(question.asks, default=usual, show_default=bool(usual))
                if usual and text == usual:
                    return read_answer(question, text, answers, assumed=True)
            return read_answer(question, text, answers)
        except AnswerError as error:
            click.echo(f"  {error.problem}. {error.hint}.")
            text = None
            if isinstance(error, SwappedError):  # either may be the wrong one
                other = next(q for q in QUESTIONS if q.key == question.within)
                answers[other.key] = _until_it_can_be(other, None, answers)


def _proven(answers: dict[str, Answer]) -> str:
    """The file's text, its frame solved: ModelError where its loads contradict each other.

    Where the weight cannot lie all along the rails, it is laid evenly about its middle, and that is said.
    """
    text = first_file(answers)
    try:
        solve_chassis(chassis_from_text(text, "first file"))
        return text
    except ModelError as error:
        reach = even_reach(answers)
        text = first_file(answers, reach)
        try:
            solve_chassis(chassis_from_text(text, "first file"))
        except ModelError:
            raise error from None
        click.echo(
            "All along the rails the weight would come out lighter than nothing at one end, so in the file it lies "
            f"from {reach[0]} to {reach[1]} mm. Look the axles' loads and places over."
        )
        return text


def _file_name(overwrite: bool) -> Path:
    while True:
        name = Path(click.prompt("File to write", default=USUAL_FILE).strip())
        if not overwrite and name.exists():
            click.echo(f"  {name} is there already. Choose another name.")
            continue
        try:
            may_write(name, overwrite)
        except OutputError as error:
            click.echo(f"  {error}")
        else:
            return name
