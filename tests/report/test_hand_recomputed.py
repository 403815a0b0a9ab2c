"""The hand calculation recomputed line by line from its own printed numbers, as an inspector would with a calculator.

Every step prints its numbers and its result; each printed number stands for all that are rounded to it.  The result
must lie within what the expression can come to over these ranges (each moved alone, added up), half a unit of its own
last digit besides.
"""

import ast
import re

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks.beside import hand_of
from ladderfe.report.hand_page import hand_text

NUMBER = re.compile(r"\d+(?:\.\d+)?(?:e\d+)?")
HEAD = re.compile(r"^ *(\d+)  (\S.*?) {2,}(-?[\d.]+(?:e\d+)?) (\S+)")
#: Constants of the formulas: exact as they stand.
EXACT = re.compile(r"^(?:10|100|[1-9])$")


def half_digit(text):
    """Half a unit of the last digit of a printed number."""
    mantissa, _, power = text.partition("e")
    digits = len(mantissa.partition(".")[2])
    return 0.5 * 10.0 ** (int(power or 0) - digits)


def value_and_reach(expression):
    """What an expression comes to, and how far rounding of its numbers may move it (sum of all, each moved alone)."""
    numbers = list(NUMBER.finditer(expression))

    def evaluated(moved=-1, by=0.0):
        parts, last = [], 0
        for k, m in enumerate(numbers):
            parts += [expression[last : m.start()], repr(float(m[0]) + (by if k == moved else 0.0))]
            last = m.end()
        text = "".join([*parts, expression[last:]]).replace("^", "**")
        tree = ast.parse(text, mode="eval")
        allowed = (ast.Expression, ast.BinOp, ast.UnaryOp, ast.Constant, ast.operator, ast.unaryop)
        if not all(isinstance(n, allowed) for n in ast.walk(tree)):
            raise ValueError(text)
        return eval(compile(tree, "<step>", "eval"), {"__builtins__": {}})

    reach = sum(
        abs(evaluated(k, half_digit(m[0])) - evaluated(k, -half_digit(m[0]))) / 2
        for k, m in enumerate(numbers) if not EXACT.match(m[0])
    )  # fmt: skip
    return evaluated(), reach


def steps_of(page):
    """(title, printed result, expression in numbers) of every step that has one; of an equation the result is 0."""
    step, lines = None, []
    for line in [*page.splitlines(), "  0  end    0 x"]:
        if found := HEAD.match(line):
            told = " ".join(lines)
            if told.endswith(" = 0"):
                yield step[0], "0", told.split(" = 0")[-2].strip()
            elif told:
                last = told.split(" = ")[-1]
                if not re.search(r"[A-Za-z]_|[A-Z]", last):
                    yield (*step, last)
            step, lines = (found[2], found[3]), []
        elif step and re.match(r"^ {5,}(=|[-+*/(\d]|\S+ = |.* = 0$)", line):
            lines.append(line.strip())


@pytest.mark.parametrize("model", ["test-frame", "short-4x4", "pick-up", "light-lorry"])
def test_every_line_comes_out_again(model, plain_file):
    page = hand_text(hand_of(read_chassis(plain_file.with_name(f"{model}.toml"))))
    done = 0
    for title, shown, expression in steps_of(page):
        value, reach = value_and_reach(expression)
        own = half_digit(shown) if shown != "0" else 0.0
        assert abs(value - float(shown)) <= 1.02 * reach + own, (title, expression)
        done += 1
    assert done >= 25


def test_a_wrong_digit_is_seen():
    """The same test on a line in which one digit is off."""
    value, reach = value_and_reach("23.997 * (3.1185 - 2.2141) / (3.1185 - 1.0395)")
    assert abs(value - 10.439) <= reach + half_digit("10.439")
    assert not abs(value - 10.539) <= reach + half_digit("10.539")
