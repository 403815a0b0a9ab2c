"""Repair plans written by tests: a plain straight frame of box or channel rails, and plans beside it.

Reached through the fixture `plans` (tests/conftest.py).
"""

from __future__ import annotations

from pathlib import Path

from ladderfe.condition.plan_file import read_plan
from ladderfe.condition.repaired import repaired

MODELS = Path(__file__).resolve().parents[1] / "models"
#: Sections of the rails of the test frame; sharp corners, so that hand numbers are exact.
CHANNEL = '{ shape = "channel", opens = "inward", depth = 150, width = 65, wall = 4, radius = 0 }'
TWIST = '[[cases]]\nname = "twist"\nkind = "limit twist"\nwheels = ["front left"]\n'
HEAD = "side,station,wall,reading,to,rim\n"


def frame(folder: Path, section: str = "", more: str = "") -> Path:
    """A chassis file: the test frame, with another section of its rails where one is given."""
    file = folder / "frame.toml"
    rails = f"[rails]\nsections = [{section}]\n" if section else ""
    file.write_text(f'base = "{(MODELS / "test-frame.toml").as_posix()}"\ntitle = "frame"\n{rails}{more}')
    return file


def plan(folder: Path, text: str, *, readings: str = "", base: str | Path = "frame.toml", name: str = "plan") -> Path:
    """A plan file in a folder, with a table of readings where rows are given."""
    file = folder / f"{name}.toml"
    told = ""
    if readings:
        (folder / f"{name}.csv").write_text(HEAD + readings)
        told = f'readings = "{name}.csv"\n'
    file.write_text(f'base = "{Path(base).as_posix()}"\n{told}{text}')
    return file


def planned(folder: Path, text: str, **more):
    """The three states of a plan."""
    return repaired(read_plan(plan(folder, text, **more)))
