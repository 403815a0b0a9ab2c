"""What the pages and data about natural frequencies say in words."""

from __future__ import annotations

from ladderfe.chassis import Chassis
from ladderfe.checks.mode_kinds import ELASTIC, LATERAL, RIGID, TWIST, VERTICAL, Mode
from ladderfe.checks.vibration import BARE, FIRSTS, LADEN, SPRUNG, State, VibrationFindings
from ladderfe.report.cautions import NO_INSPECTION, USUAL
from ladderfe.report.mode_scene import hertz, listed

__all__ = [
    "CAUTIONS_VIBRATION", "EXCITED", "HEADINGS", "SHOWN", "about", "left_out", "moves_most", "near_words",
    "rates_words", "short_words", "shown",
]  # fmt: skip

HEADINGS = {
    BARE: "Bare frame, free: nothing on it, nothing holds it",
    LADEN: "Laden frame, free: everything it carries fixed to it",
    SPRUNG: "Laden frame on its springs, wheels at rest",
}
NAMES = {BARE: "Bare", LADEN: "Laden", SPRUNG: "On its springs"}
#: Columns of shares: the greatest kinds by themselves, all motion as a whole in one.
SHOWN = (TWIST, VERTICAL, LATERAL, "lozenge")
#: What shakes a frame, Hz (values from memory, no source).
EXCITED = {
    "wheel hop": (8.0, 15.0),
    "idling engine of four cylinders": (20.0, 30.0),
    "of six": (30.0, 45.0),
}
EXCITED_WORDS = (
    "To set it beside (values from memory, no source): wheels hop on their tyres at about 8 to 15 Hz; an engine that "
    "idles at 600 to 900 rev/min shakes at 20 to 30 Hz with four cylinders, at 30 to 45 Hz with six."
)
CAUTIONS_VIBRATION = (
    "These are frequencies and shapes in which a frame of the stated walls and masses swings by itself. How far it "
    "swings and what stress that brings does not follow from them. " + NO_INSPECTION,
    *USUAL,
)
BODY = (
    "The body's stiffness: what was weighed and is not listed moves with the rails as a mass and stiffens nothing. A "
    "body that is stiff and firmly mounted raises the frequency of twist, often well beyond what is given here."
)
BODY_TWIST = (
    "The body's stiffness but in twist: laden, the frame is {:g} times as stiff between its axles, as the file "
    "says; bending and lozenge have nothing of the body."
)
LEFT_OUT = (
    "Rubber: listed masses and body sit firmly on the frame. On rubber an engine, a cab or a body swings by itself.",
    "The turning of listed masses about their own centres: each is a point at its centre.",
    "Dampers, friction of leaf springs and all other damping: frequencies hardly feel it, how far something swings "
    "does, and that is not calculated.",
    "Wheels, axles and tyres: axles stand still, so wheel hop is not among the modes; stops and straps do not touch. "
    "In plane each axle holds the frame firmly at the middle of its springs' seats; modes sideways and lengthwise hang "
    "on that, those up and down hardly.",
    "The pull of gravity on what leans over, and drumming of single walls.",
)


def left_out(v: VibrationFindings) -> list[str]:
    """What the frequencies leave out."""
    joints = (
        "The range of joints that nobody described: they are taken as in the check; twist follows the root of the "
        "torsional stiffness, for which `ladderfe twist` gives the range."
    )
    stiffening = v.chassis.body.stiffening
    body = BODY_TWIST.format(stiffening) if stiffening > 1 else BODY
    return [body, *LEFT_OUT, *([joints] if any(not j.given for j in v.solution.mesh.joints) else [])]


def shown(mode: Mode) -> list[float]:
    """Shares of SHOWN, of all motion as a whole, and of the rest."""
    own = [mode.shares[name] for name in SHOWN]
    whole = sum(mode.shares[name] for name in RIGID)
    rest = sum(mode.shares[name] for name in ELASTIC if name not in SHOWN)
    return [*own, whole, rest]


def moves_most(mode: Mode) -> str:
    """The part or mass with the most kinetic energy."""
    name, share = next(iter(mode.moving.items()))
    return f"{name} {100 * share:.0f} %"


def _kg(mass: float) -> str:
    return f"{1000 * mass:.0f} kg"


def short_words(v: VibrationFindings) -> str:
    """The firsts of every state in one paragraph."""
    parts = [_state_words(state) for state in v.states.values()]
    if v.weightless:
        parts.insert(0, "The file gives the steel no weight, so the bare frame has no frequencies.")
    return " ".join(parts)


def _state_words(state: State) -> str:
    told = []
    for k, mode in enumerate(state.modes):
        whole = mode.kind in RIGID and k < 3
        if whole or mode.name in FIRSTS:
            told.append(listed(mode))
    for name in FIRSTS:
        own = [hertz(state.modes[k].frequency) for k in state.sharing(name)]
        if own:
            told.append(f"{name} shared by modes of {', '.join(own[:-1])} and {own[-1]} Hz")
    words = ", ".join(told) or f"lowest {hertz(state.modes[0].frequency)} Hz"
    return f"{NAMES[state.name]} ({_kg(state.mass)}): {words}."


def rates_words(chassis: Chassis) -> str:
    """That rates of mounts are not used, where the file states some."""
    rated = {m.name for m in chassis.mounts if m.rates}
    on_rubber = [mass.name for mass in chassis.masses if rated & set(mass.mounts)]
    if not rated:
        return ""
    told = f", firmly fixed to the frame all the same: {', '.join(on_rubber)}" if on_rubber else ""
    return f"The rates that the file states for mounts are NOT used here{told}."


def about(state: State) -> str:
    """How the state is held, and which motions have no frequency."""
    if state.name == SPRUNG:
        return f"{_kg(state.mass)} on springs and anti-roll bars."
    return f"{_kg(state.mass)}; its six motions as a rigid body have frequency 0 and are left out."


def near_words(v: VibrationFindings) -> str:
    """Which modes on springs lie where a frame is usually shaken."""
    state, found = v.states[SPRUNG], []
    for what, (low, high) in EXCITED.items():
        own = [listed(m).removesuffix(" Hz") for m in state.modes if low <= m.frequency <= high]
        if own:
            found.append(f"{what}: {', '.join(own)}")
    near = f" Modes on springs in these ranges, Hz: {'; '.join(found)}." if found else ""
    return EXCITED_WORDS + near
