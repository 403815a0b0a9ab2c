"""What all pages have in common: head, lists, self-check, and what is printed where the self-check falls short."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ladderfe.chassis import Chassis
from ladderfe.checks import Proof
from ladderfe.report.table import heading, paragraph, table

__all__ = ["bullets", "head_lines", "proof_lines", "short_lines", "short_page"]


def head_lines(chassis: Chassis, subject: str, source: str) -> list[str]:
    """Title and subject, if any; file and the condition weighed."""
    weighed = f"; weighed: {chassis.condition}" if chassis.condition else ""
    return [*paragraph(chassis.title + (f": {subject}" if subject else "")), *paragraph(source + weighed)]


def bullets(title: str, texts: Iterable[str]) -> list[str]:
    """A heading and a list."""
    return [*heading(title), *(line for text in texts for line in paragraph(text, "  ", "- "))]


def short_lines(proofs: Sequence[Proof], what: str = "findings") -> list[str]:
    """Which proofs fall short, and that `what` is left out for it."""
    names = ", ".join(p.what for p in proofs if not p.holds)
    words = f"The self-check fell short ({names}), so no {what} are printed. Please report the chassis file."
    return ["", *paragraph(words)]


def short_page(head: Sequence[str], proofs: Sequence[Proof], what: str = "findings") -> str:
    """The page where a proof falls short."""
    return "\n".join([*head, *short_lines(proofs, what), *proof_lines(proofs)])


def proof_lines(proofs: Sequence[Proof]) -> list[str]:
    """Proofs, line by line."""
    rows = [
        [
            "holds" if p.holds else "SHORT",
            p.what,
            f"{p.difference:.1e}" if not p.unit else f"{p.difference:.1f}",
            f"{p.limit:.0e}" if not p.unit else f"{p.limit:.0f}",
            p.unit or "relative",
        ]
        for p in proofs
    ]
    held = sum(p.holds for p in proofs)
    return [
        *heading(f"Self-check: {held} of {len(rows)} proofs hold"),
        *table(["", "proof", "apart by", "limit", ""], rows, "llrrl"),
    ]
