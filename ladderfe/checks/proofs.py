"""Proofs that a solution holds: each states what was compared, how far apart it came out and how far it may."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Proof"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """One comparison: `difference` is relative unless `unit` says otherwise; `why` gives the reason for the limit."""

    what: str
    difference: float
    limit: float
    why: str
    unit: str = ""

    @property
    def holds(self) -> bool:
        """False also for a difference that is not a number."""
        return self.difference <= self.limit
