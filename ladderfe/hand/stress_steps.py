"""Steps of the page for sections and stresses at the places that matter most."""

from __future__ import annotations

from ladderfe.hand.rail import Permissible, StressRow
from ladderfe.hand.section import HandSection
from ladderfe.hand.steps import Quantity, Step
from ladderfe.units import kilonewton_metres, kilonewtons

__all__ = ["bending_steps", "section_steps", "shear_steps"]


def section_steps(section: HandSection, letter: str, where: str) -> list[Step]:
    """A, I, both section moduli, web area and first moment of one section; its symbols end in `letter`."""
    part = f"Section {letter}: {where}"
    depth, web = Quantity("h", section.depth, "mm"), Quantity("t_w", section.web, "mm")
    inertia = Quantity("I", section.inertia, "mm4")
    remark = f"{section.name[0].upper()}{section.name[1:]}; true plates, corners counted once"
    if abs(section.skew) > 0.005:  # less shifts the stress by about 1 % at most
        remark += f"; Iyz = {section.skew:.3f} Iyy: the section is taken as held to bend upright"
    faces = [("top", Quantity("c_t", section.top, "mm"), section.Z_top, "Z_t"),
             ("bottom", Quantity("c_b", section.bottom, "mm"), section.Z_bottom, "Z_b")]
    moduli = [Step(part=part, title=f"Section modulus, {face} face", result=Quantity(symbol, Z, "mm3"),
                   formula=f"{{I}} / {{{c.symbol}}}", quantities=(inertia, c)) for face, c, Z, symbol in faces]
    steps = [
        Step(part=part, title="Area", result=Quantity("A", section.area, "mm2"), remark=remark),
        Step(part=part, title="Second moment of area about the level axis", result=inertia),
        *moduli,
        Step(part=part, title="Web area",
             result=Quantity("A_w", section.web_area, "mm2"), formula="{h} * {t_w}", quantities=(depth, web),
             remark="Full depth times the thickness that the level axis cuts"),
        Step(part=part, title="First moment of what lies above the level axis",
             result=Quantity("Q", section.first_moment, "mm3")),
    ]
    if section.thinner_web is not None and section.thinner_area is not None:
        thin = Quantity("t_1", section.thinner_web, "mm")
        steps.insert(-1, Step(
            part=part, title="Area of the thinner web", result=Quantity("A_1", section.thinner_area, "mm2"),
            formula="{h} * {t_1}", quantities=(depth, thin), remark="Full depth too",
        ))  # fmt: skip
    return steps


HALVES = (
    "A force in the middle between two webs splits nearly by halves, whatever their thickness, so the thinner one is "
    "stressed more than the average; by thickness it splits only at the shear centre, nearer to the thicker web"
)


def shear_steps(row: StressRow, part: str) -> list[Step]:
    """Average web shear, that of a thinner web, the peak beside them, and the utilisation of the greater of the first
    two on one side of a station."""
    s, limits = row.section, row.permissible
    side = {"ahead": "just ahead of it", "behind": "just behind it"}.get(row.beside, "")
    shear, area = Quantity("V", kilonewtons(abs(row.shear)), "kN"), Quantity("A_w", s.web_area, "mm2")
    first, inertia = Quantity("Q", s.first_moment, "mm3"), Quantity("I", s.inertia, "mm4")
    web = Quantity("t_w", s.web, "mm")
    average, allowed = Quantity("tau", row.average_shear, "N/mm2"), Quantity("tau_0", limits.shear, "N/mm2")
    share, judged, alone = "Average web shear over permissible", average, list[Step]()
    if row.thinner_shear is not None and s.thinner_area is not None:
        judged = Quantity("tau_1", row.thinner_shear, "N/mm2")
        share = "Shear of the thinner web over permissible"
        alone = [Step(part=part, title="Shear of the thinner web, with half of the force", result=judged,
                      formula="{V} * 10^3 / 2 / {A_1}", quantities=(shear, Quantity("A_1", s.thinner_area, "mm2")),
                      remark=HALVES)]  # fmt: skip
    return [
        Step(part=part, title=f"Average web shear {side}".strip(), result=average, formula="{V} * 10^3 / {A_w}",
             quantities=(shear, area)),
        *alone,
        Step(part=part, title="Peak beside it, at the level axis", result=Quantity("tau_p", row.peak_shear, "N/mm2"),
             formula="{V} * 10^3 * {Q} / ({I} * {t_w})", quantities=(shear, first, inertia, web),
             remark="Shown, not judged here: it counts only together with bending"),
        _share(share, "n_tau", row.shear_utilisation, judged, allowed, part, limits),
    ]


def bending_steps(row: StressRow, part: str) -> list[Step]:
    """Stress at both faces and the utilisation of the greater."""
    s, limits = row.section, row.permissible
    moment = Quantity("M", kilonewton_metres(row.moment), "kN m")
    Z_top, Z_bottom = Quantity("Z_t", s.Z_top, "mm3"), Quantity("Z_b", s.Z_bottom, "mm3")
    greater, allowed = Quantity("sigma", row.bending, "N/mm2"), Quantity("sigma_0", limits.bending, "N/mm2")
    return [
        Step(part=part, title="Top face, tension positive", result=Quantity("sigma_t", row.top, "N/mm2"),
             formula="-{M} * 10^6 / {Z_t}", quantities=(moment, Z_top)),
        Step(part=part, title="Bottom face, tension positive", result=Quantity("sigma_b", row.bottom, "N/mm2"),
             formula="{M} * 10^6 / {Z_b}", quantities=(moment, Z_bottom)),
        _share("Greater flange stress over permissible", "n_sigma", row.bending_utilisation, greater, allowed, part,
               limits),
    ]


def _share(
    title: str, symbol: str, value: float, stress: Quantity, allowed: Quantity, part: str, limits: Permissible
) -> Step:
    return Step(part=part, title=title, result=Quantity(symbol, 100 * value, "%"), quantities=(stress, allowed),
                formula=f"{{{stress.symbol}}} / {{{allowed.symbol}}} * 100", remark=f"Permissible: {limits.source}")
