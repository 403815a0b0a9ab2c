"""What `ladderfe start` asks: the questions, and whether an answer can be, alone and beside the others."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import isfinite
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from ladderfe.chassis.faults import listed
from ladderfe.chassis.readers import AxleLoad, Size, Spacing, Station, Text, Track, Wall, Wheelbase
from ladderfe.errors import ModelError
from ladderfe.units import UnitError

__all__ = ["QUESTIONS", "Answer", "Answers", "AnswerError", "Question", "SwappedError", "read_answer"]

SHAPES: Final = ("box", "channel")
#: Which ends of box rails plates close; on channels nothing can.
ENDS: Final = ("none", "front", "rear", "both")
#: What the words of a choice mean.
MEANS: Final = {
    SHAPES: "A box is closed all round, a channel has three walls",
    ENDS: "An end is closed where a plate is welded to all four walls of the box",
}
#: One comma between figures is a decimal comma; before three figures alone it may part thousands.
COMMA: Final = re.compile(r"(?<![\d.,])(\d+),(?=\d+(?![\d.,]))", re.ASCII)
GROUPED: Final = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}(?![\d.,])", re.ASCII)
#: Crossmembers are spread between these distances from the rails' ends, mm.
INSET: Final = 100.0
#: Room that a crossmember needs along the frame, mm.
ROOM: Final = 100.0
MOST_CROSSMEMBERS: Final = 20


class AnswerError(ModelError):
    """An answer that cannot be: `where` names the question."""


class SwappedError(AnswerError):
    """An answer larger than the one that it should not exceed: either of the two may be wrong."""


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer: as it goes into the file, and as a number in mm or kg (0 where it is a word)."""

    written: str
    number: float = 0.0
    assumed: bool = False


Answers = Mapping[str, Answer]


@dataclass(frozen=True, slots=True)
class Question:
    """A question: its key, what it asks, how the answer is read, and what is taken where none is given.

    usual : the answer to offer, from the answers so far; None where there is none and the question must be answered
    against : what the answers so far have against a number (of a word: its place in the choice), as (rule, hint);
        None where nothing
    within : key of a size that this one does not exceed as a rule: more is taken for two sizes that were swapped
    asked : whether the answers so far leave anything to ask; where not, the usual answer is taken
    """

    key: str
    asks: str
    kind: Any
    usual: Callable[[Answers], str] | None = None
    against: Callable[[float, Answers], tuple[str, str] | None] = lambda number, answers: None
    asked: Callable[[Answers], bool] = lambda answers: True
    within: str = ""

    @property
    def option(self) -> str:
        """Its name on the command line."""
        return "--" + self.key.replace("_", "-")

    @property
    def is_word(self) -> bool:
        return self.kind is Text or isinstance(self.kind, tuple)


def _length(value: float, a: Answers) -> tuple[str, str] | None:
    base = a["wheelbase"].number
    return None if value > base else (f"must be more than the wheelbase, {base:g} mm", "Measure the rails end to end")


def _front_axle(value: float, a: Answers) -> tuple[str, str] | None:
    length, rear = a["length"].number, value + a["wheelbase"].number
    if value < 0:
        return "must not be negative", "Measure rearward from the front end of the rails to the front axle"
    if rear > length:
        rule = f"puts the rear axle at {rear:g} mm, behind the rear end of the rails at {length:g} mm"
        return rule, "Measure rearward from the front end of the rails to the front axle"
    return None


def _spacing(value: float, a: Answers) -> tuple[str, str] | None:
    track = a["track"].number
    return (
        None
        if value < track
        else (f"must be less than the track, {track:g} mm", "Measure from outside to outside of the rails")
    )


def _width(value: float, a: Answers) -> tuple[str, str] | None:
    spacing = a["spacing"].number
    if value <= (spacing - ROOM) / 2:
        return None
    return f"leaves no room between rails that are {spacing:g} mm wide together", "Give the width of one rail"


def _wall(value: float, a: Answers) -> tuple[str, str] | None:
    least = min(a["depth"].number, a["width"].number)
    if 2 * value < least / 2:
        return None
    return f"is too thick for a rail of {least:g} mm", "Give the thickness of the steel, such as 2.5"


def _is_box(a: Answers) -> bool:
    return a["shape"].written == '"box"'


def _ends(value: float, a: Answers) -> tuple[str, str] | None:
    return None if _is_box(a) or not value else ("must be none on channel rails", "Only boxes have an inside to close")


def _crossmembers(value: float, a: Answers) -> tuple[str, str] | None:
    most = min(MOST_CROSSMEMBERS, int((a["length"].number - 2 * INSET) // ROOM) + 1)
    if value != round(value) or value < 2:
        return "must be a whole number of 2 or more", "Count all members that join the two rails"
    return None if value <= most else (f"must be at most {most} on rails of this length", "More can be added later")


QUESTIONS: Final = (
    Question("title", "What is it", Text, lambda a: "My chassis"),
    Question("wheelbase", "Wheelbase, from axle to axle", Wheelbase),
    Question("length", "Length of the rails, end to end", Wheelbase, None, _length),
    Question("front_axle", "From the front end of the rails to the front axle", Station, None, _front_axle),
    Question("front_load", "Weighed under the front axle", AxleLoad),
    Question("rear_load", "Weighed under the rear axle", AxleLoad),
    Question("track", "Track, between the middles of the tyres", Track),
    Question(
        "spacing",
        "Across both rails, outside to outside",
        Spacing,
        lambda a: f"{round(0.55 * a['track'].number, -1):.0f}",
        _spacing,
    ),
    Question("shape", "Section of the rails, box or channel", SHAPES, lambda a: "box"),
    Question("depth", "Depth of the rails, upright, outside", Size),
    Question("width", "Width of one rail, sideways, outside", Size, None, _width, within="depth"),
    Question("wall", "Thickness of the rails' walls", Wall, None, _wall),
    Question(
        "closed_ends",
        "Rail ends closed by a plate: none, front, rear or both",
        ENDS,
        lambda a: "none",
        _ends,
        _is_box,
    ),
    Question("crossmembers", "Number of crossmembers", int, lambda a: "4", _crossmembers),
)


def read_answer(question: Question, text: str, answers: Answers, *, assumed: bool = False) -> Answer:
    """The answer that `text` gives, judged beside the answers so far; AnswerError says why it cannot be."""
    text = " ".join(text.split())
    if not text:
        raise _not(question, text, "needs an answer", "Write a number" if not question.is_word else "Write a word")
    if isinstance(question.kind, tuple):
        return replace(_chosen(question, text, answers), assumed=assumed)
    if question.kind is Text:
        _checked(question, text, text)
        return Answer(_quoted(text), assumed=assumed)
    if GROUPED.match(text):
        whole, part = text.replace(",", ""), text.replace(",", ".", 1)
        raise _not(question, text, "may mean a thousand or a fraction", f"Write {whole}, or {part} for the fraction")
    text = COMMA.sub(r"\1.", text)
    value: float | str = _number(text)
    if not isinstance(value, str) and not isfinite(value):
        raise _not(question, text, "must be a finite number", "Write the measured value")
    number = float(value) if question.kind is int and not isinstance(value, str) else _checked(question, value, text)
    if fault := question.against(number, answers):
        raise _not(question, text, *fault)
    if question.within and number > answers[question.within].number:
        raise _swapped(question, text, answers)
    return Answer(_quoted(value) if isinstance(value, str) else f"{value:.10g}", number, assumed)


def _chosen(question: Question, text: str, answers: Answers) -> Answer:
    """The word of a choice that begins like the text, its number being its place among them."""
    words = question.kind
    meant = [i for i, word in enumerate(words) if word.startswith(text.casefold())]
    if len(meant) != 1:
        raise _not(question, text, f"must be {listed(words)}", MEANS[words])
    if fault := question.against(meant[0], answers):
        raise _not(question, text, *fault)
    return Answer(_quoted(words[meant[0]]), meant[0])


def _number(text: str) -> float | str:
    """A plain number, or the text where a unit stands behind it."""
    try:
        return float(text) if text.replace("_", "").isascii() else text
    except ValueError:
        return text


def _checked(question: Question, value: Any, text: str) -> Any:
    """A value as the chassis file would read it."""
    kind = question.kind
    if kind is int:
        raise _not(question, text, "must be a whole number", "Count all members that join the two rails")
    try:
        return TypeAdapter(kind).validate_python(value, strict=True)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        cause = first.get("ctx", {}).get("error")
        rule, hint = (cause.rule, cause.hint) if isinstance(cause, UnitError) else ("cannot be", "Write it otherwise")
        raise _not(question, text, _bare(rule), _bare(hint)) from None


def _not(question: Question, text: str, rule: str, hint: str) -> AnswerError:
    return AnswerError(question.asks, f"{rule} (got {text!r})" if text else rule, hint)


def _swapped(question: Question, text: str, answers: Answers) -> SwappedError:
    larger = answers[question.within].number
    rule = f"{question.key} {text} is more than {question.within} {larger:g} mm (swapped?)"
    hint = "The depth is measured upright, the width sideways; rails that lie flat go into the file by hand"
    return SwappedError(question.asks, rule, hint)


def _bare(words: str) -> str:
    """What is said of a file's values, said of an answer, which has no quotation marks."""
    return words.replace(" in quotes", "").replace("another unit goes, as", "another unit goes behind it, as")


def _quoted(text: str) -> str:
    """Text as TOML writes it."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
