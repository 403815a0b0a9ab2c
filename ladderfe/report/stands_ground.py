"""Words of what is under a stand: cuts and damage beside it, walls that were read, the web that bears it."""

from __future__ import annotations

from ladderfe.advice.stand_ground import OFF_DAMAGE, Ground
from ladderfe.advice.stand_places import CLEAR
from ladderfe.advice.stands import Stands
from ladderfe.report.table import share

__all__ = ["badly_placed", "bears", "no_web", "over_the_web", "thin_metal"]

#: What better places are clear of, without and with readings.
CLEAR_OF = ("cuts", "cuts, holes and metal that was read thin or doubtful")


def badly_placed(s: Stands) -> list[str]:
    """Of every stand too near a cut, a hole or a doubtful place: what is wrong, and where it goes instead."""
    return [_badly(g, read=s.found is not None) for g in s.ground if g.exceeded]


def _badly(g: Ground, *, read: bool) -> str:
    why = []
    if g.near is not None:
        off = abs(g.station - g.near.station)
        where = f"right under the cut at {g.near.station:g} mm" if off < 0.5 else f"{off:.0f} mm from the cut"
        why.append(f"{where}, and the end of a cut rail may spring, drop or turn off it ({CLEAR:g} mm at least)")
    if g.damage:
        why.append(f"under bad metal or within {OFF_DAMAGE:g} mm of it: {'; '.join(g.damage)}")
    return f"Stand {g.name} is {'; it is '.join(why)}. {_move(g, read=read)}"


def _move(g: Ground, *, read: bool = True) -> str:
    """Where a stand may go instead."""
    if not g.better:
        return f"Move it: no place of the {g.side} rail is clear of {CLEAR_OF[read]}."
    stations = " or ".join(f"{v:.0f}" for v in g.better)
    return f"Move it to {stations} mm, the nearest on that rail clear of {CLEAR_OF[read]}."


def thin_metal(s: Stands) -> list[str]:
    """Of every other stand: what readings say of the walls there."""
    return [
        f"Stand {g.name}: {'; '.join(g.metal)}.{f' {_move(g)}' if g.better else ''}"
        for g in s.ground if g.metal and not g.exceeded
    ]  # fmt: skip


def over_the_web(g: Ground, most: float, low: str = "") -> str:
    """A stand that asks more than its web bears; N; low: which other stand is how low then."""
    if g.web is None or most <= g.web.limit:
        return ""
    return (
        f"Stand {g.name}{low}: {most / 1000:.2f} kN is more than the {g.web.wall} web bears there, "
        f"{g.web.limit / 1000:.2f} kN: spread it on a plate or block under both webs, or move it."
    )


def bears(g: Ground, force: float) -> list[str]:
    """What the web above a stand bears, kN, and how much of that is used."""
    if g.web is None:
        return ["-", "-"]
    return [f"{g.web.limit / 1000:.2f}", share(force / g.web.limit, 0)]


def no_web(s: Stands) -> list[str]:
    """Why a stand has no web to its name."""
    off = [g.name for g in s.ground if g.web is None and not g.side]
    lacks = [g.name for g in s.ground if g.web is None and g.side]
    out = []
    if lacks:
        out.append(
            f"- under {', '.join(lacks)}: no upright web stands on a whole bottom wall there, so nothing can be "
            "said of what bears the stand."
        )
    if off:
        out.append(f"- under {', '.join(off)}: off the rails, what bears the stand there is not checked.")
    return out
