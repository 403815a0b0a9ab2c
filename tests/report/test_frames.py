"""Pandas frames and what notebooks show, against the tables and IPython's own formatter protocol."""

import sys
from dataclasses import replace
from types import SimpleNamespace

import pandas as pd
import pytest

from ladderfe.checks import Findings
from ladderfe.errors import ModelError
from ladderfe.report.data import findings_tables
from ladderfe.report.frames import frames
from ladderfe.report.notebook import findings_html, load_ipython_extension


def test_frames_are_the_tables(plain_findings):
    found, tables = frames(plain_findings), findings_tables(plain_findings)
    assert list(found) == list(tables)
    for name, (head, rows) in tables.items():
        assert list(found[name].columns) == list(head)
        assert len(found[name]) == len(rows)
    top = found["utilisations"]["utilisation"].max()
    assert top == pytest.approx(plain_findings.utilisations[0].ratio, rel=1e-8)  # nine digits are kept


def test_reactions_of_a_case_sum_to_the_weight(plain_findings):
    """Grouped by pandas: the static reactions carry what was weighed (1177 kg/m x 2079 mm each half in the file)."""
    by_case = frames(plain_findings)["reactions"].groupby("case")["force N"].sum()
    assert by_case["static"] == pytest.approx((512 + 665) * 2.079 * 9.80665, rel=1e-3)


def test_without_pandas_a_sentence_says_what_to_install(plain_findings, monkeypatch):
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ModelError) as caught:
        frames(plain_findings)
    assert str(caught.value) == (
        'frames: pandas is not installed. Install it: pip install pandas, or ladderfe with "[frames]".'
    )


def test_notebooks_show_findings_as_a_table(plain_findings):
    shown = findings_html(plain_findings)
    cells = pd.read_html(__import__("io").StringIO(shown), flavor="lxml")[0] if _has("lxml") else None
    for case, u in plain_findings.first_of_cases().items():
        assert f"<td>{case}</td>" in shown
        assert f"{100 * u.ratio:.1f} %" in shown
    assert cells is None or len(cells) == len(plain_findings.first_of_cases())


def _has(module):
    from importlib.util import find_spec

    return find_spec(module) is not None


def test_the_users_words_are_escaped(plain_findings):
    f = replace(plain_findings, chassis=replace(plain_findings.chassis, title="<script>alert(1)</script>"))
    assert "<script>" not in findings_html(f)


def test_the_extension_tells_the_formatter_of_findings(plain_findings):
    told = {}
    formatter = SimpleNamespace(for_type=lambda kind, show: told.update({kind: show}))
    load_ipython_extension(SimpleNamespace(display_formatter=SimpleNamespace(formatters={"text/html": formatter})))
    assert told[Findings](plain_findings) == findings_html(plain_findings)
