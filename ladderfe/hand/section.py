"""The section as on paper: area, I, section moduli, web area; bending stress M/Z, web shear V/A_web and VQ/(It).

Of two webs that are not alike the thinner one is looked at by itself, with half of the shear force.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

from ladderfe.errors import ModelError
from ladderfe.sections import Plated, Section, Shape, Wall, properties

__all__ = ["HandSection", "hand_section"]

Corner = tuple[float, float]
WORDS = {"minus": "left wall", "plus": "right wall"}
KINDS = {"TopHat": "top-hat"}
#: Plates cut by the level axis no farther apart than this, mm, are one web.
LAPPED = 0.5
#: Webs whose thicknesses differ by less, as a part of the thicker, are alike.
ALIKE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class HandSection:
    """What a hand calculation needs of a section that bends about its level axis; mm, mm2, mm3, mm4.

    `top` and `bottom` are the distances from the level axis through the centroid to the outermost faces; `web` is the
    thickness of metal that this axis cuts (both walls of a box; `webs` one by one) and `first_moment` that of the part
    above it.
    `skew` is Iyz/Iyy: where it is not nothing, plain M/Z takes the section as held to bend upright.
    """

    name: str
    depth: float
    area: float
    inertia: float
    top: float
    bottom: float
    web: float
    first_moment: float
    skew: float = 0.0
    webs: tuple[float, ...] = ()

    @property
    def Z_top(self) -> float:
        return self.inertia / self.top

    @property
    def Z_bottom(self) -> float:
        return self.inertia / self.bottom

    @property
    def Z_least(self) -> float:
        """The smaller of the two."""
        return min(self.Z_top, self.Z_bottom)

    @property
    def web_area(self) -> float:
        """Full depth times the thickness the level axis cuts, mm2."""
        return self.depth * self.web

    def bending(self, moment: float) -> tuple[float, float]:
        """Stress in MPa at the top and the bottom face, tension positive, under a sagging moment in N mm."""
        return -moment / self.Z_top, moment / self.Z_bottom

    def average_shear(self, shear: float) -> float:
        """V / A_web in MPa over the full depth, its size."""
        return abs(shear) / self.web_area

    @property
    def thinner_web(self) -> float | None:
        """The thickness of the thinner of two webs, mm; None where they are alike, or where they are not two."""
        if len(self.webs) != 2 or max(self.webs) - min(self.webs) <= ALIKE * max(self.webs):
            return None
        return min(self.webs)

    @property
    def thinner_area(self) -> float | None:
        """Full depth times the thickness of the thinner web, mm2; None where no web is thinner."""
        return None if self.thinner_web is None else self.depth * self.thinner_web

    def thinner_shear(self, shear: float) -> float | None:
        """V / (2 h t) of the thinner web in MPa, its size; None where no web is thinner.

        A force in the middle between two webs splits nearly by halves, whatever their thickness: statics, moments about
        either web, with what the flanges carry across left out.  Only a force through the shear centre splits by
        thickness.
        """
        return None if self.thinner_area is None else abs(shear) / (2 * self.thinner_area)

    def web_shear(self, shear: float) -> float:
        """The average over both webs or that of the thinner one, whichever is greater, in MPa."""
        return max(self.average_shear(shear), self.thinner_shear(shear) or 0.0)

    def peak_shear(self, shear: float) -> float:
        """V Q / (I t) at the level axis in MPa, its size.  Source: D. J. Jourawski's formula, any text."""
        return abs(shear) * self.first_moment / self.inertia / self.web


def hand_section(shape: Shape | Section) -> HandSection:
    """Section properties for bending in the vertical plane, from the shape's sizes or a section's walls.

    A, I and the centroid are those of ladderfe.sections; Q and the cut thickness are taken from the true plates, each a
    rectangle, cut along the level axis.  Raises ModelError where that axis cuts no metal.
    """
    return _cached(shape)


@lru_cache(maxsize=4096)
def _cached(shape: Shape | Section) -> HandSection:
    section = shape if isinstance(shape, Section) else shape.section()
    known = properties(section)
    plates = [(_plate(wall), wall.modulus) for wall in section.walls if wall.area > 0]
    if isinstance(shape, Section | Plated):
        heights = [z for plate, _ in plates for _, z in plate]
        high, low = max(heights), min(heights)
    else:
        high, low = shape.depth / 2, -shape.depth / 2
    level = float(known.zc)
    above = [(_above(plate, level), modulus) for plate, modulus in plates]
    cuts = [cut for plate, _ in plates if (cut := _cut(plate, level))]
    web = sum(b - a for a, b in cuts)
    if not web > 0:
        raise ModelError("section", f"its level axis at {level:.1f} mm meets no wall, so nothing carries the shear",
                         "Give the section an upright wall")
    first = sum(modulus * _first_moment(part, level) for part, modulus in above)
    first += sum(f.area * (f.z - level) for f in section.fillets if f.z > level)
    return HandSection(
        name=_name(shape), depth=high - low, area=float(known.A), inertia=float(known.Iyy),
        top=high - level, bottom=level - low, web=web,
        first_moment=first, skew=float(known.Iyz / known.Iyy), webs=_webs(cuts),
    )


def _name(shape: Shape | Section) -> str:
    """The shape in words: its kind, its outline, and every further size that is not nothing."""
    if isinstance(shape, Section):
        return f"section of {len(shape.walls)} walls"
    if isinstance(shape, Plated):
        plates = (f"{p.thickness:.4g} mm {p.kind} on {p.wall}" for p in shape.plates)
        return f"{_name(shape.base)}, plates {', '.join(plates)}"
    sizes = []
    for field in fields(shape):
        value, word = getattr(shape, field.name), WORDS.get(field.name, field.name)
        alike = field.name == "lying" and value == getattr(shape, "wall", None)
        if field.name not in ("depth", "width", "diameter") and value and not alike:
            sizes.append(f"{word} {value}" if isinstance(value, str) else f"{word} {value:.4g}")
    kind = KINDS.get(type(shape).__name__, type(shape).__name__.lower())
    return f"{kind} {shape.depth:.4g} x {shape.width:.4g} mm: {', '.join(sizes)}"


def _plate(wall: Wall) -> list[Corner]:
    """The four corners of the true plate, in order."""
    (y0, z0), (y1, z1) = wall.start, wall.end
    ey, ez = (y1 - y0) / wall.length, (z1 - z0) / wall.length
    ny, nz = -ez * wall.thickness / 2, ey * wall.thickness / 2
    ya, za = y0 - wall.grow_start * ey, z0 - wall.grow_start * ez
    yb, zb = y1 + wall.grow_end * ey, z1 + wall.grow_end * ez
    return [(ya - ny, za - nz), (yb - ny, zb - nz), (yb + ny, zb + nz), (ya + ny, za + nz)]


def _above(plate: list[Corner], level: float) -> list[Corner]:
    """The part of a convex outline at or above a level."""
    kept: list[Corner] = []
    for (y0, z0), (y1, z1) in zip(plate, plate[1:] + plate[:1], strict=True):
        if z0 >= level:
            kept.append((y0, z0))
        if (z0 - level) * (z1 - level) < 0:
            kept.append((y0 + (level - z0) / (z1 - z0) * (y1 - y0), level))
    return kept


def _first_moment(outline: list[Corner], level: float) -> float:
    """Of an outline drawn counter-clockwise, about a level (Green's theorem)."""
    edges = zip(outline, outline[1:] + outline[:1], strict=True)
    return sum((y0 * (z1 - level) - y1 * (z0 - level)) * (z0 + z1 - 2 * level) / 6 for (y0, z0), (y1, z1) in edges)


def _webs(cuts: list[Corner]) -> tuple[float, ...]:
    """Thickness of each web, from left to right, of where plates are cut: those that lap are one."""
    webs: list[float] = []
    end = float("-inf")
    for a, b in sorted(cut for cut in cuts if cut[1] > cut[0]):
        if a > end + LAPPED:
            webs.append(0.0)
        webs[-1] += b - a
        end = max(end, b)
    return tuple(webs)


def _cut(plate: list[Corner], level: float) -> Corner | None:
    """From where to where a level cuts a convex outline; None where it does not."""
    places = []
    for (y0, z0), (y1, z1) in zip(plate, plate[1:] + plate[:1], strict=True):
        if (z0 - level) * (z1 - level) < 0:
            places.append(y0 + (level - z0) / (z1 - z0) * (y1 - y0))
        elif z0 == level:
            places.append(y0)
    return (min(places), max(places)) if places else None
