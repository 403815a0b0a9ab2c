"""Findings as pandas frames, for those who go on reckoning with them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ladderfe.checks import Findings
from ladderfe.errors import ModelError
from ladderfe.report.data import findings_tables

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["frames"]


def frames(findings: Findings) -> dict[str, pd.DataFrame]:
    """Every table of the findings by its name ("utilisations", "resultants", "stresses", "reactions", ...).

    Columns are named with their units as in the CSV files (mm, N, N/mm2; a utilisation is a share: 1 is the limit);
    numbers are rounded to nine digits as there.  Raises ModelError where pandas is not installed.
    """
    try:
        import pandas as pd
    except ImportError:
        raise ModelError(
            "frames", "pandas is not installed", 'Install it: pip install pandas, or ladderfe with "[frames]"'
        ) from None
    return {name: pd.DataFrame(rows, columns=list(head)) for name, (head, rows) in findings_tables(findings).items()}
