"""The walls of the frame and their utilisation in all cases, packed small for the viewer in the record.

Sections looked at that lie between others as a straight line would have it are left out (`record/thinned.py`); corners
that agree in place and in all values are kept once, places in whole steps of `STEP` mm, utilisations in per cent as
bytes, all cases of a corner together, and all of it is packed by DEFLATE.  Places axis by axis and numbers of corners
are told by how much they differ from the one before, which packs to less.  None above 100 % becomes 100 or less, none
below becomes more, so that the break in the colours is true.
"""

from __future__ import annotations

import base64
import zlib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.report.colours import BAND_EDGES, BANDS
from ladderfe.report.frame_walls import corner_values
from ladderfe.report.record.thinned import thinned_strips
from ladderfe.report.view import edges

__all__ = ["STEP", "band_of", "deflated", "frame_data", "further_cases", "per_cent", "same_cases", "states_of"]

#: Places are kept to this part of a mm.
STEP = 0.125
#: Utilisations beyond this, in per cent, are all drawn alike.
MOST = 255
#: Ends of an axis beyond which two bytes do not hold a place.
FURTHEST = STEP * 32767


def states_of(findings: Findings, repaired: Findings | None = None) -> tuple[tuple[str, Findings], ...]:
    """Name and findings of every state, what the vehicle is now first, what a plan makes of it last."""
    now = "as the file has it" if findings.as_found is None else "as found"
    built = [("as built", findings.as_found.built)] if findings.as_found else []
    return ((now, findings), *built, *([("as repaired", repaired)] if repaired else []))


def same_cases(findings: Findings, other: Findings) -> list[int]:
    """For each case of one state its number among those of another, whose names may be others: that of its name, else
    the one that asks the same under a name that the first has not; 0 where it has none."""
    own, there = ({c.name: replace(c, name="") for c in f.chassis.cases} for f in (findings, other))
    number = {c.name: k for k, c in enumerate(other.solution.cases) if k}
    alike = {name: next((n for n in number if n not in own and there.get(n) == spec), "") for name, spec in own.items()}
    return [number.get(c.name) or number.get(alike.get(c.name, ""), 0) for c in findings.solution.cases[1:]]


def further_cases(findings: Findings, other: Findings) -> list[str]:
    """Names of the cases that only the other state has."""
    known = same_cases(findings, other)
    return [c.name for k, c in enumerate(other.solution.cases) if k and k not in known]


def per_cent(ratios: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Utilisations as whole per cent, away from the limit: 1.0 is 100, the least more than 1.0 is 101."""
    scaled = np.where(ratios > 1, np.ceil(100 * ratios), np.round(100 * ratios).clip(max=100))
    scaled = np.where(ratios > 1, np.maximum(scaled, 101), scaled)
    whole: NDArray[np.uint8] = np.clip(np.nan_to_num(scaled), 0, MOST).astype(np.uint8)
    return whole


def band_of(ratio: float) -> int:
    """Number of the band of colour of a utilisation."""
    return min(max(int(np.searchsorted(BAND_EDGES, ratio)) - 1, 0), len(BANDS) - 1)


def frame_data(findings: Findings, repaired: Findings | None = None) -> dict[str, Any]:
    """What the viewer reads: states with their walls, names of cases, bands."""
    cases = [c.name for c in findings.solution.cases[1:]]
    return {
        "step": STEP,
        "cases": cases,
        "bands": list(BANDS),
        "edges": [round(100 * e) for e in BAND_EDGES[1:-1]],
        "states": [_state(name, f, same_cases(findings, f)) for name, f in states_of(findings, repaired)],
    }


def _state(name: str, findings: Findings, cases: Sequence[int]) -> dict[str, Any]:
    """One state; cases: numbers of those that are shown, 0 for one that it has not."""
    strips = thinned_strips(findings)
    values = corner_values(findings, strips, "utilisation").reshape(-1, len(findings.solution.cases))[:, 1:]
    shown = np.concatenate([np.zeros((len(values), 1)), values], axis=1)[:, list(cases)]
    use = per_cent(np.concatenate([values.max(axis=1, keepdims=True), shown], axis=1))  # all cases together first
    places = np.round(strips.corners.reshape(-1, 3).clip(-FURTHEST, FURTHEST) / STEP).astype(np.int64)
    along = np.round(findings.rows.along[strips.rows].reshape(-1).clip(-32767, 32767)).astype(np.int64)
    first, corner = _shared(np.column_stack([places, along, use]))
    mesh = findings.solution.mesh
    parts = list(dict.fromkeys(p.name for p in mesh.parts))
    own = [parts.index(mesh.parts[k].name) for k in mesh.part_of()[strips.member]]
    walls = list(dict.fromkeys(strips.walls))
    which = edges(strips.corners)
    return {
        "name": name,
        "parts": parts,
        "across": [p.kind != "rail" for p in mesh.parts],
        "walls": walls,
        "corners": _packed(_steps(corner.ravel()), np.uint32 if len(first) > 65535 else np.uint16),
        "wide": len(first) > 65535,
        "lines": _packed(4 * which[:, 0] + which[:, 1], np.uint32),
        "part": _packed(np.array(own), np.uint16),
        "wall": _packed(np.array([walls.index(w) for w in strips.walls]), np.uint16),
        "places": _packed(np.array([_steps(own) for own in places[first].T]), np.int16),
        "along": _packed(along[first], np.int16),
        "use": _packed(use[first], np.uint8),
    }


def _shared(keys: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The first of every kind of row (n, k), in the order in which they come, and for all rows which they are like."""
    _, first, corner = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    order = np.argsort(first)
    rank = np.zeros(len(first), dtype=np.int64)
    rank[order] = np.arange(len(first))
    return first[order], rank[corner.ravel()]


def _steps(values: NDArray[np.int64]) -> NDArray[np.int64]:
    """Each value less the one before; as words of fixed width they add up again, whatever runs over."""
    return np.diff(values, prepend=0)


def _packed(values: NDArray[Any], kind: type[np.generic]) -> str:
    """Little-endian bytes, packed."""
    return deflated(np.ascontiguousarray(values.astype(np.dtype(kind).newbyteorder("<"))).tobytes())


def deflated(data: bytes) -> str:
    """Raw DEFLATE (RFC 1951) in base64."""
    packer = zlib.compressobj(level=9, wbits=-15)
    return base64.b64encode(packer.compress(data) + packer.flush()).decode()
