"""Spoilt copies of the demo file: each is read, or refused with Problems; nothing else may come out."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from ladderfe.chassis import chassis_from_text
from ladderfe.errors import InputError

DEMO = (Path(__file__).parents[2] / "models" / "short-4x4.toml").read_text(encoding="utf-8")
VALUE = re.compile(r'(?<== )("[^"]*"|[-\d.]+|true|false)')
NUMBER = re.compile(r"(?<== )[-\d.]+")
KEY = re.compile(r"\b[a-z_]+(?= =)")
SIGNS = "\"'{}[]=,.#\\é½\0\u2028 −“”\r\ta0-"
VALUES = [
    '"59 in"', '"1/8 in"', '"2 t"', '"14 gauge"', '"2,5 mm"', "nan", "-inf", "1e400", "-1", "0", "1" * 400, "true",
    "[[1]]", "[]", "{}", "[1, 2]", '""', '"é½′"', "{ a = 1 }", '"rigid"', "1979-05-27", '"left rail"', "0x1F",
]  # fmt: skip
LINES = [
    "[", "[[", "[rails]", "[[axles]]", "[rails.left]", "[body]", "x = 1", "= 3", "[[crossmembers.via]]", "[axles]",
    "joint = 5", 'joint = { rx = 20, y = "free" }', '"" = 1', "a.b.c = 3", "rails.left.sections = []", "eyes = [1]",
    "[joints]", 'estimate = "soft"', "[[bench_tests]]", 'held = [{ rail = "left", station = 600 }]', "loads = [3]",
    'gauges = [{ rail = "lift", station = 1e9, reading = "1 kg" }]', 'kind = "raised"', 'wheels = ["front left", 3]',
    'low = { "front jack pad left" = 10, "tow coupling" = "1 kg" }', "low = 3", 'of = [{ case = "a" }, { times = 2 }]',
    'forces = [{ at = "winch", x = "5 kN" }, 3]', 'kind = "winch"', 'kind = "stands"', 'kind = "combination"',
    'kind = "usual"', "[towing]", 'coupling = ["winch"]', 'winch = "recovery eye"', "[workshop]", "stands = 4",
    'pads = ["winch"]', 'arms = { height = "low" }', "damper = { force = 2 }", "track_bar = 3", 'torsion_bar = "rear"',
    "roll_centre = 100", "acceleration = 2", 'against = "wheels"', "fixed_eye = 1", 'recovery = "winch"', "angle = 1e9",
    "bump_rate = 900", 'pull = "held"', 'joint_left = { kind = "through", doubler = 2, rz = 1 }', "motion_ratio = 0.5",
    "people = 4", "people = 2.5", "litres = 70", 'fluid = "diesel"', "fill = 2", "empty = 0", "rate = 300",
    'rate_sideways = "1 kN/mm"', "spread = { from = 2600, to = 3800 }", "spread = { from = 1 }", "spread = 3",
]  # fmt: skip


def delete(rng, lines, i):
    del lines[i]


def duplicate(rng, lines, i):
    lines.insert(rng.randrange(len(lines)), lines[i])


def swap_lines(rng, lines, i):
    j = rng.randrange(len(lines))
    lines[i], lines[j] = lines[j], lines[i]


def garble(rng, lines, i):
    k = rng.randrange(len(lines[i]) + 1)
    lines[i] = lines[i][:k] + rng.choice(SIGNS) + lines[i][k + rng.randrange(2) :]


def other_value(rng, lines, i):
    i = rng.choice([k for k, text in enumerate(lines) if VALUE.search(text)] or [i])
    lines[i] = VALUE.sub(lambda m: rng.choice([m[0], rng.choice(VALUES)]), lines[i])


def swap_numbers(rng, lines, i):
    j, k = (rng.choice([k for k, text in enumerate(lines) if NUMBER.search(text)] or [i]) for _ in "ab")
    one, other = NUMBER.search(lines[j]), NUMBER.search(lines[k])
    if one and other:
        lines[j] = NUMBER.sub(other[0], lines[j], count=1)
        lines[k] = NUMBER.sub(one[0], lines[k], count=1)


def misspell(rng, lines, i):
    def turned(match):
        k = rng.randrange(len(match[0]))
        return match[0][:k] + match[0][k + 1 : k + 2] + match[0][k : k + 1] + match[0][k + 2 :]

    i = rng.choice([k for k, text in enumerate(lines) if KEY.search(text)] or [i])
    lines[i] = KEY.sub(turned, lines[i])


def other_key(rng, lines, i):
    lines[i] = KEY.sub(lambda m: rng.choice(KEY.findall(DEMO)), lines[i], count=1)


def cut_off(rng, lines, i):
    del lines[i + 1 :]


def strange_line(rng, lines, i):
    lines.insert(i, rng.choice(LINES))


SPOILERS = [
    delete,
    duplicate,
    swap_lines,
    garble,
    other_value,
    swap_numbers,
    misspell,
    other_key,
    cut_off,
    strange_line,
]


def spoilt(seed):
    rng, lines = random.Random(seed), DEMO.split("\n")
    for k in range(rng.choice([1, 1, 2, 4])):
        spoil = SPOILERS[seed % len(SPOILERS)] if k == 0 else rng.choice(SPOILERS)
        spoil(rng, lines, rng.randrange(len(lines)))
    return "\n".join(lines)


def outcome(text):
    """The faults of a text; none when it is read."""
    try:
        chassis_from_text(text, "spoilt.toml")
    except InputError as refused:
        return refused.problems
    return ()


CASES = """
[[cases]]
kind = "usual"
[[cases]]
name = "haul"
kind = "winch"
at = "recovery eye"
force = 20
bridle = 500
against = "tow coupling"
[[cases]]
name = "props"
kind = "stands"
low = { "front jack pad left" = 8 }
forces = [{ at = "winch plate left", z = -1 }]
[[cases]]
name = "both"
kind = "combination"
of = [{ case = "haul", times = 0.5 }, { case = "braking" }]
"""
DEMO += CASES  # the demo leaves them to the usual set


def test_the_demo_is_read_before_it_is_spoilt():
    assert not outcome(DEMO)


@pytest.mark.parametrize("seed", range(100))
def test_a_spoilt_demo_is_read_or_refused(seed):
    text = spoilt(seed)
    for problem in outcome(text):
        assert 0 <= problem.line <= text.count("\n") + 1
        assert problem.key
        assert problem.rule
        assert problem.suggestion
        assert str(problem).startswith("spoilt.toml")


def test_spoiling_spoils():
    """Most of the hundred copies are refused and some are read: all of one kind would tell little."""
    refused = sum(bool(outcome(spoilt(seed))) for seed in range(100))
    assert 50 <= refused <= 95
