"""LAPACK's routines for symmetric bands, as scipy wraps them.

All of `scipy.linalg` takes longer to import than a frame takes to be checked.  Its module with the wrappers needs
nothing of the rest, so it is loaded by itself, under its own name: whoever imports scipy.linalg later finds it there.
"""

from __future__ import annotations

import sys
from functools import lru_cache
from importlib.machinery import PathFinder
from importlib.util import find_spec, module_from_spec
from typing import Any

__all__ = ["lapack"]

NAME = "scipy.linalg._flapack"


@lru_cache(maxsize=1)
def lapack() -> Any:
    """The module with `dpbtrf` and `dpbtrs`."""
    return sys.modules.get(NAME) or _alone() or _whole()


def _alone() -> Any:
    """The wrappers alone; None where that does not do."""
    scipy = find_spec("scipy")
    folders = [f"{place}/linalg" for place in (scipy.submodule_search_locations or ())] if scipy else []
    spec = PathFinder.find_spec("_flapack", folders)
    if spec is None or spec.loader is None:
        return None
    spec.name = spec.loader.name = NAME  # type: ignore[attr-defined]
    try:
        module = module_from_spec(spec)
        spec.loader.exec_module(module)
    except ImportError:  # scipy itself has to look for its libraries first
        return None
    sys.modules[NAME] = module
    return module


def _whole() -> Any:
    from scipy.linalg import lapack as whole

    return whole
