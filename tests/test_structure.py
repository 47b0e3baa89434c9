"""The shape of the project: rooms import one way, files stay small, the README tells the truth."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = {
    "pieces": {"pieces"},
    "fabrics": {"pieces", "fabrics"},
    "layout": {"pieces", "fabrics", "layout"},
    "plans": {"pieces", "fabrics", "layout", "plans"},
}
HOUSES: dict[str, dict[str, set[str]]] = {
    "pieces": {
        "nouns": set(),
        "drafting": {"nouns"},
        "edits": {"nouns", "drafting"},
        "seams": {"nouns", "drafting"},
        "slips": {"nouns"},
        "files": {"nouns", "slips"},
        "readers": {"nouns", "drafting", "edits", "seams", "files"},
        "drawings": {"nouns", "drafting", "files", "readers"},
        "tracing": {"nouns", "files", "drawings"},
    },
    "pieces.tracing": {
        "nouns": set(),
        "picture": {"nouns"},
        "camera": {"nouns", "picture"},
        "outlines": {"nouns", "picture"},
        "result": {"nouns", "picture", "camera", "outlines"},
    },
    "fabrics": {
        "folds": set(),
        "nouns": {"folds"},
        "stash": {"nouns", "folds"},
    },
    "fabrics.stash": {
        "nouns": set(),
        "exchange": {"nouns"},
    },
    "layout.bounds": {
        "terms": set(),
        "weighing": {"terms"},
        "slicing": {"terms", "weighing"},
        "nouns": {"terms", "weighing", "slicing"},
        "proving": {"terms"},
    },
    "plans": {
        "nouns": set(),
        "data": {"nouns"},
        "problem": {"nouns"},
        "workers": {"nouns"},
        "words": {"nouns"},
        "drawing": {"nouns", "words"},
        "full_size": {"nouns", "words", "drawing"},
        "folds": {"nouns", "problem"},
        "choice": {"nouns", "problem", "folds"},
        "answer": {"nouns", "problem", "folds", "choice", "workers"},
        "outputs": {"nouns", "data", "words", "drawing"},
        "printing": {"nouns", "drawing", "full_size"},
        "compare": {"nouns", "problem", "workers", "words", "drawing", "folds"},
        "leftover_use": {"nouns", "data", "problem", "words", "folds", "answer"},
        "rescue": {
            "nouns", "problem", "workers", "drawing", "folds", "answer", "outputs", "leftover_use",
        },
        "orders": {"nouns", "compare", "folds", "answer", "leftover_use"},
        "by_hand": {
            "nouns", "problem", "folds", "choice", "answer", "leftover_use", "orders",
        },
        "traced": {"nouns", "words", "outputs", "drawing"},
        "batch": {
            "nouns", "workers", "orders", "words", "folds", "answer", "outputs",
        },
        "page": {
            "nouns", "workers", "orders", "data", "words", "drawing", "folds", "answer", "outputs",
            "compare", "leftover_use", "rescue", "full_size", "printing", "by_hand", "traced",
        },
        "cli": {
            "nouns", "workers", "orders", "batch", "data", "words", "drawing", "folds", "answer",
            "outputs", "compare", "leftover_use", "rescue", "full_size", "printing", "by_hand",
            "page", "traced",
        },
    },
    "plans.rescue": {
        "changes": set(),
        "nouns": {"changes"},
    },
    "plans.page": {
        "work": set(),
        "nouns": {"work"},
        "guard": set(),
        "garments": {"nouns", "work"},
        "planning": {"nouns", "work"},
        "moving": {"nouns", "work", "planning"},
        "cloth": {"nouns", "work"},
        "cutting": {"nouns", "work", "cloth"},
        "comparing": {"nouns", "work"},
        "front": {
            "nouns", "guard", "work", "garments", "planning", "moving", "cloth", "cutting",
            "comparing",
        },
    },
}  # fmt: skip
"""Rooms of a house, lower floors first, and what each may import; "nouns" are the modules that
stand in the house itself."""

MOST_MODULES = 15
"""Modules of a folder: as many names as are taken in at a glance. A room that outgrows this holds
more than one subject and becomes two."""

MOST_LINES = 430
"""Aim at 150 to 300 lines; the cap."""


def modules(room: str) -> list[Path]:
    found = sorted((ROOT / room).rglob("*.py"))
    assert found, f"{room} holds no modules"
    return found


def imported(path: Path) -> set[str]:
    """First parts of the names of all modules that a file imports."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module.split(".")[0])
    return names


@pytest.mark.parametrize("room", ROOMS)
def test_rooms_import_one_way(room: str) -> None:
    """Pieces and fabrics, then layout, then plans."""
    for path in modules(room):
        wrong = (imported(path) & set(ROOMS)) - ROOMS[room]
        assert not wrong, f"{path} imports {wrong}"


def house_imports(path: Path, house: str) -> set[str]:
    """Rooms of a house that a module imports, wherever in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            names = [f"{node.module}.{alias.name}" for alias in node.names]
            within = [
                name.removeprefix(f"{house}.").split(".")[0]
                for name in names
                if name.startswith(f"{house}.")
            ]
            found |= {name if name in HOUSES[house] else "nouns" for name in within}
    return found


@pytest.mark.parametrize("house", HOUSES)
def test_the_rooms_of_a_house_import_one_way(house: str) -> None:
    """No arrow goes back up, and every module stands in a room."""
    rooms = HOUSES[house]
    floors = list(rooms)
    for room, allowed in rooms.items():
        assert all(floors.index(other) < floors.index(room) for other in allowed)
    top = ROOT / house.replace(".", "/")
    assert {path.name for path in top.iterdir() if (path / "__init__.py").exists()} == set(
        floors
    ) - {"nouns"}
    for path in modules(house.replace(".", "/")):
        parts = path.relative_to(top).parts
        room = parts[0] if len(parts) > 1 else "nouns"
        wrong = house_imports(path, house) - rooms[room] - {room}
        assert not wrong, f"{path} imports from {wrong}"


@pytest.mark.parametrize("room", ROOMS)
def test_no_folder_is_crowded(room: str) -> None:
    """Fifteen modules, and then a room of its own."""
    for folder in {path.parent for path in modules(room)}:
        found = [path.name for path in folder.glob("*.py") if path.name != "__init__.py"]
        assert len(found) <= MOST_MODULES, f"{folder} holds {len(found)} modules"


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Reading one never leads back to it."""
    names = {
        ".".join(path.relative_to(ROOT).with_suffix("").parts): path
        for room in ROOMS
        for path in modules(room)
    }
    left = {name: _modules_imported(path) & set(names) for name, path in names.items()}
    while free := {name for name, others in left.items() if not others & set(left)}:
        left = {name: others for name, others in left.items() if name not in free}
    assert not left


def _modules_imported(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def test_efforts_are_listed_in_one_place() -> None:
    """Whoever lists them takes that list; tables with something for each have all of them."""
    from plans.compare import size_chart, table
    from plans.folds.levels import EFFORTS
    from plans.leftover_use import assignment

    lists = []
    for path in modules("plans"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Tuple | ast.List | ast.Set):
                names = {one.value for one in node.elts if isinstance(one, ast.Constant)}
                lists += [path.name] if set(EFFORTS) <= names else []
    assert not lists
    for texts in (size_chart.EFFORTS, table.EFFORT_WORDS, assignment.ROUNDS):
        assert tuple(texts) == EFFORTS


def test_only_one_module_imports_numba() -> None:
    """Kernels are compiled in one way, and nothing else loads the compiler."""
    users = [p for room in ROOMS for p in modules(room) if "numba" in imported(p)]
    assert [path.name for path in users] == ["compiled.py"]


def test_only_one_module_imports_the_solver_of_linear_programmes() -> None:
    """One place says how it is asked, so that its answers can be repeated."""
    users = [p for room in ROOMS for p in modules(room) if "highspy" in imported(p)]
    assert [path.name for path in users] == ["highs.py"]


def test_the_validator_shares_no_geometry_with_the_solver() -> None:
    """It may know poses and spans, never no-fit polygons, kernels or the search."""
    for path in [ROOT / "layout/validator.py", *(ROOT / "layout/validation").glob("*.py")]:
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"from layout\.(geometry|kernels|search|solver)", text), path


@pytest.mark.parametrize("room", [*ROOMS, "tests"])
def test_files_stay_small(room: str) -> None:
    """One idea each."""
    for path in modules(room):
        lines = len(path.read_text(encoding="utf-8").splitlines())
        assert lines <= MOST_LINES, f"{path} has {lines} lines"


def test_the_top_level_is_as_agreed() -> None:
    """README, contributors' guide, project file, four rooms, tests; else licence and dot-files."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    top = {line.split("/")[0] for line in listed if line}
    extra = {name for name in top if not name.startswith(".")} - {
        "README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "tests", *ROOMS,
    }  # fmt: skip
    assert not extra


def test_ci_runs_the_readmes_test_command() -> None:
    """The second command of the README stands in the verdict script."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"```sh\n(.+?)\n```", readme, re.DOTALL)
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert commands[1] in script


def test_the_readme_names_every_exit_code() -> None:
    """The table of exit codes is the enum."""
    from plans.cli.common.exit_codes import ExitCode

    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for code in ExitCode:
        assert re.search(rf"^\| {int(code)} \|", readme, re.MULTILINE)


def test_every_error_of_a_room_has_its_root() -> None:
    """The command line catches roots, so that none is taken for a fault of ours."""
    roots = {
        "pieces": "PieceError", "fabrics": "FabricError", "layout": "LayoutError",
        "plans": "PlansError",
    }  # fmt: skip
    ours = {
        "FaultError", "NobodyReadsError", "EndedAtOnceError", "FigureError", "_TooManyError",
        "PortableError",
    }  # fmt: skip
    for room, top in roots.items():
        bases: dict[str, set[str]] = {}
        for path in modules(room):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.ClassDef) and node.name.endswith("Error"):
                    bases[node.name] = {ast.unparse(base) for base in node.bases}
        rooted = {top}
        while more := {name for name, above in bases.items() if above & rooted} - rooted:
            rooted |= more
        assert top in bases
        assert set(bases) - rooted <= ours, f"{room}: {set(bases) - rooted - ours} has no root"
