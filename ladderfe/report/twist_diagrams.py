"""Diagrams of twist, as SVG with real text and as PNG: the angle along the frame, wheel loads against the height of
raised wheels, and what works in the frame."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np

from ladderfe.checks.twist import TwistFindings
from ladderfe.checks.twist_lifts import WHEELS, Lift
from ladderfe.report.colours import ACCENT, FAINT, INK, PAPER, SOFT
from ladderfe.report.twist_words import energy_bars, knm_per_deg, stiff

__all__ = ["Diagram", "twist_diagrams"]

DPI = 150
#: Two hues far apart in lightness too; bars run from dark to light.
FRONT, REAR = "#1c4278", "#c8501a"
BARS = {"bending": "#a5cfd1", "torsion": "#3573aa", "joints": "#8d2a6b"}
LINES = {
    "low": {"color": SOFT, "linewidth": 1.0, "linestyle": (0, (5, 2))},
    "middle": {"color": INK, "linewidth": 2.2},
    "high": {"color": SOFT, "linewidth": 1.0, "linestyle": (0, (1.5, 1.5))},
    "rigid": {"color": ACCENT, "linewidth": 1.6, "linestyle": (0, (8, 2, 1.5, 2))},
}
AS_STATED = {"color": INK, "linewidth": 2.2, "linestyle": (0, (3, 1))}
#: Marks at the foot of a diagram: what happens on the way up.
MARKS = {"bump stop": "^", "droop strap": "v", "spring": "D"}


@dataclass(frozen=True, slots=True)
class Diagram:
    """A diagram under its file name without ending, as SVG and as PNG (nothing where that was not asked for)."""

    name: str
    svg: str
    png: bytes


def twist_diagrams(t: TwistFindings, png: bool = True) -> tuple[Diagram, ...]:
    """All diagrams, as PNG too if asked for; the same findings give the same bytes."""
    makers = (("twist-angle", _angle), ("wheel-loads", _wheels), ("twist-energy", _energy))
    return tuple(_saved(name, make, t, png) for name, make in makers)


def _saved(name: str, make: Any, t: TwistFindings, as_png: bool = True) -> Diagram:
    from matplotlib import rc_context, style

    fixed: Any = {
        "svg.fonttype": "none", "svg.hashsalt": "ladderfe", "font.family": "DejaVu Sans", "font.size": 9,
        "text.parse_math": False,
    }  # fmt: skip
    with style.context("default"), rc_context(fixed), warnings.catch_warnings():  # whatever the machine's settings are
        warnings.filterwarnings("ignore", "Glyph", UserWarning)  # letters that the font lacks are drawn as boxes
        figure = make(t)
        svg, png = io.StringIO(), io.BytesIO()
        about = {"Date": None, "Creator": None, "Title": f"{t.chassis.title}: {name.replace('-', ' ')}"}
        figure.savefig(svg, format="svg", metadata=about, facecolor=PAPER)
        if as_png:
            figure.savefig(png, format="png", dpi=DPI, metadata={"Software": None}, facecolor=PAPER)
    return Diagram(name, svg.getvalue(), png.getvalue())


def _cut(words: str, most: int) -> str:
    """Words cut short with an ellipsis where they are too long for their place."""
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def _sheet(t: TwistFindings, title: str, below: str, size: tuple[float, float]) -> Any:
    """A figure with its title lines; size in inches."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=size, facecolor=PAPER)
    FigureCanvasAgg(figure)
    left, high = 0.35 / size[0], size[1]
    for words, down, height, colour, weight in (
        (_cut(t.chassis.title, 70), 0.32, 13, INK, "bold"),
        (title, 0.58, 10, INK, "normal"),
        (below, 0.80, 8.5, SOFT, "normal"),
    ):
        figure.text(left, 1 - down / high, words, fontsize=height, color=colour, fontweight=weight)
    return figure


def _plain(axes: Any) -> None:
    """Axes with a light frame and grid."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(SOFT)
    axes.tick_params(colors=INK, labelsize=8.5)
    axes.grid(True, color=FAINT, linewidth=0.4, alpha=0.6)
    axes.set_axisbelow(True)


def _angle(t: TwistFindings) -> Any:
    """How far the bare frame has turned since the front axle, under 1 kN m between the axles, by joints."""
    figure = _sheet(
        t, "Twist of the bare frame along its length, 1 kN m between the axle stations",
        "counted from the front axle: right side down against it; grey uprights: crossmembers", (9.0, 5.2),
    )  # fmt: skip
    axes = figure.add_axes((0.085, 0.12, 0.70, 0.60))
    _plain(axes)
    front, rear = (a.station for a in t.chassis.axles)
    turned = {
        name: np.degrees((level.angle_at(front) - level.angle) * 1e6) for name, level in t.twisted.items()
    }  # fmt: skip
    stations = t.twisted[t.used].stations
    ends = []
    for name, level in t.twisted.items():
        style = LINES.get(name, AS_STATED)
        axes.plot(level.stations, turned[name], zorder=4 if name == t.used else 3, **style)
        words = f"{name} {stiff(knm_per_deg(level.stiffness))} kN m/deg"
        ends.append((float(turned[name][-1]), words, str(style["color"]), name == t.used))
    axes.fill_between(stations, turned["low"], turned["high"], color=FAINT, alpha=0.35, linewidth=0, zorder=2)
    axes.set_xlim(float(stations[0]), float(stations[-1]))
    _beside(axes, ends, at=float(stations[-1]))
    _crossmembers(axes, t)
    for name, x, y, down in (("front axle", front, 0.97, "top"), ("rear axle", rear, 0.03, "bottom")):
        axes.axvline(x, color=INK, linewidth=1.0, zorder=1)
        axes.annotate(name, (x, y), xycoords=("data", "axes fraction"), rotation=90, fontsize=8, color=INK,
                      ha="right", va=down, xytext=(-2, 0), textcoords="offset points")  # fmt: skip
    axes.set_xlabel("station, mm rearward", color=INK)
    axes.set_ylabel("twist, degrees", color=INK)
    return figure


def _beside(axes: Any, ends: list[tuple[float, str, str, bool]], at: float) -> None:
    """Names of lines at their ends on the right, moved apart where they would overlap."""
    low, high = axes.get_ylim()
    least = 0.055 * (high - low)
    ends = sorted(ends)
    placed = [e[0] for e in ends]
    for _ in range(100):  # neighbours that are too near push each other apart evenly
        for k in range(len(placed) - 1):
            push = (least - (placed[k + 1] - placed[k])) / 2
            if push > 0:
                placed[k], placed[k + 1] = placed[k] - push, placed[k + 1] + push
    down = max(placed[-1] - high, 0.0)
    for y, (value, words, colour, bold) in zip(placed, ends, strict=True):
        axes.annotate(words, (at, value), xytext=(1.02, y - down), textcoords=("axes fraction", "data"), fontsize=8.5,
                      color=colour, va="center", fontweight="bold" if bold else "normal", annotation_clip=False,
                      arrowprops={"arrowstyle": "-", "color": FAINT, "linewidth": 0.6})  # fmt: skip


def _crossmembers(axes: Any, t: TwistFindings) -> None:
    """Faint lines at the crossmembers, their names above the axes."""
    for c in t.chassis.crossmembers:
        x = (c.station_left + c.station_right) / 2
        axes.axvline(x, color=FAINT, linewidth=0.9, zorder=1)
        axes.annotate(_cut(c.name, 16), (x, 1.01), xycoords=("data", "axes fraction"), rotation=35, fontsize=8,
                      color=SOFT, ha="left", va="bottom", annotation_clip=False)  # fmt: skip


def _wheels(t: TwistFindings) -> Any:
    """Wheel loads against the height of the wheels that are raised, a panel for each."""
    figure = _sheet(
        t, "Wheel loads while wheels are raised, laden and standing, springs and frame in series",
        f"ring: a wheel comes off the ground; grey upright: {t.height:.0f} mm as asked for; marks: what takes hold",
        (10.0, 6.6),
    )  # fmt: skip
    panels = figure.subplots(2, 3, sharex=True, sharey=True)
    figure.subplots_adjust(left=0.07, right=0.985, top=0.78, bottom=0.09, wspace=0.08, hspace=0.22)
    order = [lift for k in range(2) for lift in (t.lifts[2 * k], t.lifts[2 * k + 1], t.lifts[4 + k])]
    for axes, lift in zip(panels.ravel(), order, strict=True):
        _panel(axes, lift, t.height)
    most = max(float(lift.wheel_forces.max()) for lift in t.lifts) / 1000
    panels[0, 0].set_ylim(-0.16 * most, 1.05 * most)
    panels[0, 0].set_xlim(0, max(float(lift.height[-1]) for lift in t.lifts))
    for axes in panels[:, 0]:
        axes.set_ylabel("wheel load, kN", color=INK)
    for axes in panels[-1]:
        axes.set_xlabel("raised by, mm", color=INK)
    _key(figure, t)
    return figure


def _style(wheel: str) -> dict[str, Any]:
    axle, side = wheel.split()
    return {"color": FRONT if axle == "front" else REAR, "linewidth": 1.7,
            "linestyle": "-" if side == "left" else (0, (4, 1.6))}  # fmt: skip


def _panel(axes: Any, lift: Lift, height: float) -> None:
    _plain(axes)
    axes.set_title(f"{lift.name} raised", fontsize=9.5, color=INK, loc="left")
    axes.axhline(0, color=INK, linewidth=0.7)
    axes.axvline(height, color=FAINT, linewidth=1.0)
    for wheel, force in zip(WHEELS, lift.wheel_forces / 1000, strict=True):
        axes.plot(lift.height, force, zorder=3, **_style(wheel))
    for c in lift.changes:
        kind = c.support.split(" ", 2)[2]
        if kind == "wheel":
            colour = _style(c.support.removesuffix(" wheel"))["color"]
            axes.plot([c.height], [0], "o", markerfacecolor=PAPER, markeredgecolor=colour, markersize=6, zorder=5)
            axes.annotate(f"{c.height:.0f} mm", (c.height, 0), xytext=(0, -5), textcoords="offset points", fontsize=8,
                          color=colour, ha="left", va="top", fontweight="bold")  # fmt: skip
        elif kind in MARKS:
            colour = FRONT if c.support.startswith("front") else REAR
            axes.plot([c.height], [0.018], MARKS[kind], transform=axes.get_xaxis_transform(), color=colour,
                      markersize=4.5, clip_on=False, zorder=5)  # fmt: skip


def _key(figure: Any, t: TwistFindings) -> None:
    """What the lines and marks mean, above the panels."""
    from matplotlib.lines import Line2D

    handles = [Line2D([], [], label=wheel, **_style(wheel)) for wheel in WHEELS]
    seen = {c.support.split(" ", 2)[2] for lift in t.lifts for c in lift.changes}
    for kind, words in (("bump stop", "bump stop"), ("droop strap", "droop strap"), ("spring", "spring loose")):
        if kind in seen:
            handles.append(Line2D([], [], linestyle="", marker=MARKS[kind], color=SOFT, markersize=5, label=words))
    figure.legend(handles=handles, loc="upper left", bbox_to_anchor=(0.03, 0.865), ncols=len(handles), frameon=False,
                  fontsize=8.5, labelcolor=INK, handlelength=2.2, columnspacing=1.4)  # fmt: skip


def _energy(t: TwistFindings) -> Any:
    """Shares of strain energy as bars."""
    bars = energy_bars(t)
    size = (9.0, 1.65 + 0.3 * len(bars))
    figure = _sheet(
        t, "What works in the bare frame in twist: share of the strain energy",
        f"joints {t.used}; bending counts with shear and stretch, torsion with warping and racking", size,
    )  # fmt: skip
    axes = figure.add_axes((0.27, 0.42 / size[1], 0.66, 1 - 1.75 / size[1]))
    _plain(axes)
    axes.grid(False, axis="y")
    y = np.arange(len(bars))[::-1]
    start = np.zeros(len(bars))
    for what, colour in BARS.items():
        share = np.array([100 * getattr(b, what) for b in bars])
        axes.barh(y, share, left=start, height=0.66, color=colour, label=what, edgecolor=PAPER, linewidth=0.6)
        start = start + share
    for k, total in zip(y, start, strict=True):
        axes.text(total + 0.01 * start.max(), k, f"{total:.1f} %", va="center", fontsize=8.5, color=INK)
    axes.set_yticks(y, [_cut(b.name, 30) for b in bars])
    axes.set_ylim(-0.6, len(bars) - 0.4)
    axes.set_xlim(0, 1.12 * start.max())
    axes.tick_params(axis="y", length=0)
    axes.set_xlabel("share of the strain energy, %", color=INK)
    axes.legend(loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=3, frameon=False, fontsize=8.5, labelcolor=INK,
                borderaxespad=0.1)  # fmt: skip
    return figure
