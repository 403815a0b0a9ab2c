"""Findings shown in notebooks: `%load_ext ladderfe.report.notebook`, then a cell that ends with findings shows them."""

from __future__ import annotations

from html import escape
from typing import Any

from ladderfe.checks import Findings
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.table import use_share

__all__ = ["findings_html", "load_ipython_extension"]

HEAD = ("case", "utilisation", "part", "along mm", "wall", "criterion", "stress N/mm2", "limit N/mm2")


def findings_html(findings: Findings) -> str:
    """A table of every case's greatest utilisation as HTML, the user's words escaped; over 1 in words too."""
    f = findings
    title = escape(f.chassis.title)
    if not f.proven:
        return f"<p><b>{title}</b>: the self-check fell short, so no findings are shown.</p>"
    rows = []
    for u in f.first_of_cases().values():
        share = escape(use_share(u.ratio))
        share = f"<b>{share} OVER</b>" if u.ratio > 1 else share
        words = [u.part, f"{u.along:.0f}", u.wall, u.criterion, f"{u.stress:.1f}", f"{u.limit:.1f}"]
        rows.append([escape(u.case), share, *(escape(w) for w in words)])
    head = "".join(f"<th>{escape(h)}</th>" for h in HEAD)
    body = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return f"<p><b>{title}</b></p><table><tr>{head}</tr>{body}</table><p>{escape(CAUTIONS[0])}</p>"


def load_ipython_extension(ipython: Any) -> None:
    """What IPython calls for `%load_ext`: from then on it shows findings by `findings_html`."""
    ipython.display_formatter.formatters["text/html"].for_type(Findings, findings_html)
