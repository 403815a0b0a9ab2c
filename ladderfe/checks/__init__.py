"""Stress, utilisation, and the proofs that they hold."""

from ladderfe.checks.along import Along, along_part
from ladderfe.checks.findings import Findings, check
from ladderfe.checks.influence import Influence
from ladderfe.checks.proofs import Proof
from ladderfe.checks.utilisation import Utilisation

__all__ = ["Along", "Findings", "Influence", "Proof", "Utilisation", "along_part", "check"]
