"""How wide words are, told from a table, so that no font file or plotting library is needed.

Advance widths of DejaVu Sans (the widest of the fonts that sheets ask for, so that words in another one need less room)
in thousandths of the size of type; letters beside ASCII count as wide ones.
"""

from __future__ import annotations

from typing import Final

__all__ = ["DOWN", "TIED", "UP", "fitted", "width_of", "wrapped"]

#: Share of the size of type by which letters reach above and below the line they stand on.
UP, DOWN = 0.78, 0.24
#: From the space (32) to the tilde (126).
PLAIN: Final = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863,
    748, 787, 603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635,
    615, 352, 635, 634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636,
    337, 636, 838,
)  # fmt: skip
#: The same of bold letters.
HEAVY: Final = (
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696,
    696, 696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995,
    837, 850, 733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716,
    678, 435, 716, 712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712,
    365, 712, 838,
)  # fmt: skip
TIED: Final = "\u00a0"  # a space at which no line breaks
OTHER: Final = 1000  # of letters that the table does not have


def width_of(words: str, size: float, bold: bool = False) -> float:
    """Width of a line of words in pixels; size of type in pixels."""
    table = HEAVY if bold else PLAIN
    return sum(table[ord(c) - 32] if " " <= c <= "~" else table[0] if c == TIED else OTHER for c in words) * size / 1000


def fitted(words: str, size: float, room: float, bold: bool = False) -> str:
    """The words, cut short with an ellipsis where they are wider than the room."""
    if width_of(words, size, bold) <= room:
        return words
    count = len(words)
    while count and width_of(words[:count].rstrip() + "…", size, bold) > room:
        count -= 1
    return words[:count].rstrip() + "…"


def wrapped(words: str, size: float, room: float, bold: bool = False) -> list[str]:
    """The words in lines no wider than the room; a single word that is wider is cut short."""
    lines: list[str] = []
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size, bold) <= room:
            lines[-1] = longer
        else:
            lines.append(fitted(word, size, room, bold))
    return lines
