"""The house keeps its order: what a room may import, what only some rooms may do, how long modules and functions are.

Every import is read from the source with `ast`, those inside functions and under TYPE_CHECKING too.
"""

import ast
import sys
from functools import cache
from itertools import pairwise
from pathlib import Path

import ladderfe

PACKAGE = Path(ladderfe.__file__).parent
#: Rooms by level, lowest first.  A room imports lower levels only, never a room of its own level.
LEVELS = [
    {"errors", "units"}, {"sections", "elements"}, {"hand", "joints", "connections", "chassis"},
    {"condition", "cases", "mesh"}, {"solve"},
    {"checks"}, {"advice"}, {"report"}, {"cli"},
]  # fmt: skip
LEVEL = {room: number for number, rooms in enumerate(LEVELS) for room in rooms}
#: The one family of errors is below everything, units included.
BELOW_ALL = {"errors"}
#: Level 3 by the table of rooms, which names what each of them may see.
MAY_SEE = {
    "condition": {"sections", "chassis", "errors", "units"},
    "cases": {"sections", "chassis", "hand", "errors", "units"},
    "mesh": {"sections", "elements", "chassis", "joints", "errors", "units"},
    "joints": {"sections", "errors", "units"},
    "connections": {"sections", "errors", "units"},
    "hand": {"sections", "errors", "units"},
    "chassis": {"sections", "errors", "units"},
    "elements": set(),
}
DRAWING = {"pyvista", "vtk", "vtkmodules", "matplotlib", "meshio", "jinja2", "xlsxwriter", "pandas"}
#: Outside packages that a room may import while it is being imported itself; report's own only inside functions.
AT_START = {"sections": {"numpy"}, "elements": {"numpy"}, "chassis": {"pydantic", "pydantic_core"}, "cli": {"click"}}
LONGEST_MODULE, LONGEST_FUNCTION = 400, 60
#: A program of its own, run in a child process so that it may crash.
CHILD = "report/opengl_child.py"

MODULES = sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def room_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(node: ast.AST) -> list[str]:
    """Dotted names that an import statement names; a relative one as dots."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        if node.level:
            return ["." * node.level]
        if node.module == "ladderfe":
            return [f"ladderfe.{alias.name}" for alias in node.names]
        return [node.module or ""]
    return []


def own_rooms(name: str) -> set[str]:
    """The room of the package that a dotted name belongs to, if any."""
    parts = name.split(".")
    return {parts[1]} if parts[0] == "ladderfe" and len(parts) > 1 and parts[1] != "__version__" else set()


@cache
def all_imports(path: Path) -> list[tuple[int, str]]:
    return [(n.lineno, name) for n in ast.walk(tree_of(path)) for name in imported(n)]


def imports_at_start(path: Path) -> list[tuple[int, str]]:
    """Imports that run when the module is imported: neither in functions nor for type checking only."""
    found: list[tuple[int, str]] = []

    def visit(node: ast.AST) -> None:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            return
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            return
        found.extend((node.lineno, name) for name in imported(node))
        for child in ast.iter_child_nodes(node):
            visit(child)

    visit(tree_of(path))
    return found


def modules_outside(*rooms: str) -> list[Path]:
    return [m for m in MODULES if room_of(m) not in rooms]


def test_every_room_is_in_the_table():
    rooms = {p.name.removesuffix(".py") for p in PACKAGE.iterdir() if p.is_dir() or p.suffix == ".py"}
    assert rooms - {"__init__", "__main__", "__pycache__"} <= set(LEVEL)
    assert all(not (a & b) for a, b in pairwise(LEVELS))


def test_imports_inside_functions_are_seen():
    band = PACKAGE / "solve" / "band.py"
    assert "scipy.sparse" in {name for _, name in all_imports(band)}
    assert "scipy.sparse" not in {name for _, name in imports_at_start(band)}


def test_no_import_upward_or_sideways():
    found = []
    for module in modules_outside("__init__", "__main__"):
        here = room_of(module)
        for line, name in all_imports(module):
            upward = {
                there for there in own_rooms(name) - {here} - BELOW_ALL
                if LEVEL[there] >= LEVEL[here] or there not in MAY_SEE.get(here, set(LEVEL))
            }  # fmt: skip
            if upward or name.startswith("."):
                found.append(f"{name_of(module)}:{line} imports {name}")
    assert not found


def test_elements_know_numpy_only():
    found = []
    for module in (PACKAGE / "elements").rglob("*.py"):
        for line, name in all_imports(module):
            top = name.split(".")[0]
            if not (top in sys.stdlib_module_names or top == "numpy" or name.startswith("ladderfe.elements")):
                found.append(f"{name_of(module)}:{line} imports {name}")
    assert not found


def test_connections_know_numpy_only_from_outside():
    for module in (PACKAGE / "connections").rglob("*.py"):
        outside = {name.split(".")[0] for _, name in all_imports(module)} - set(sys.stdlib_module_names)
        assert outside <= {"numpy", "ladderfe"}, name_of(module)


def test_only_report_draws_and_only_when_asked():
    found = []
    for module in MODULES:
        at_start = {line for line, _ in imports_at_start(module)}
        for line, name in all_imports(module):
            if name.split(".")[0] in DRAWING and (room_of(module) != "report" or line in at_start):
                found.append(f"{name_of(module)}:{line} imports {name}")
    assert not found


def test_what_runs_at_start_up_is_light():
    """scipy and all else from outside is imported where it is used; numpy is allowed everywhere."""
    found = []
    for module in MODULES:
        allowed = {"numpy", "ladderfe"} | AT_START.get(room_of(module), set())
        for line, name in imports_at_start(module):
            top = name.split(".")[0]
            if top not in sys.stdlib_module_names and top not in allowed:
                found.append(f"{name_of(module)}:{line} imports {name} at start-up")
    assert not found


SPEAKING = {"print", "input", "exit", "quit", "sys.exit", "os._exit", "sys.stdout.write", "sys.stderr.write"}


def test_only_the_command_line_prints_reads_and_exits():
    found = []
    for module in modules_outside("cli", "__main__"):
        if name_of(module) == CHILD:
            continue
        for node in ast.walk(tree_of(module)):
            called = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
            raised = ast.unparse(node.exc) if isinstance(node, ast.Raise) and node.exc is not None else ""
            if called in SPEAKING or "SystemExit" in raised or (isinstance(node, ast.Name) and node.id == "click"):
                found.append(f"{name_of(module)}:{node.lineno} {called or raised or 'knows click'}")
    assert not found


def test_errors_are_of_one_family():
    """Nothing is caught wholesale, nothing asserted, and no bare ValueError raised outside the rooms that may speak
    it: pydantic's validators do, and the reading turns that into faults of the file."""
    found = []
    for module in MODULES:
        for node in ast.walk(tree_of(module)):
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
                bare = ast.unparse(node.exc.func) in {"ValueError", "Exception", "RuntimeError"}
                if bare and room_of(module) not in {"chassis", "units"}:
                    found.append(f"{name_of(module)}:{node.lineno} raises {ast.unparse(node.exc.func)}")
            if isinstance(node, ast.ExceptHandler):
                caught = "" if node.type is None else ast.unparse(node.type)
                if caught in {"", "Exception", "BaseException"}:
                    found.append(f"{name_of(module)}:{node.lineno} catches everything")
            if isinstance(node, ast.Assert):
                found.append(f"{name_of(module)}:{node.lineno} asserts")
    assert not found


def test_modules_and_functions_stay_short():
    found = []
    for module in MODULES:
        lines = module.read_text(encoding="utf-8").count("\n")
        if lines > LONGEST_MODULE:
            found.append(f"{name_of(module)} has {lines} lines")
        for node in ast.walk(tree_of(module)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                length = (node.end_lineno or 0) - node.lineno + 1
                if length > LONGEST_FUNCTION:
                    found.append(f"{name_of(module)}:{node.lineno} {node.name} has {length} lines")
    assert not found


def test_a_rooms_init_names_what_is_public_and_has_no_logic():
    for path in PACKAGE.glob("*/__init__.py"):
        kinds = {type(node).__name__ for node in tree_of(path).body}
        assert kinds <= {"Expr", "Import", "ImportFrom", "Assign"}, f"{name_of(path)}: {kinds}"
