"""Imports only go down the tiers of TIERS, folders inside folders too; no files import each other in a circle."""

import ast
from graphlib import TopologicalSorter
from pathlib import Path

from tests.each import each

ROOT = Path(__file__).resolve().parents[1]
TIERS = [
    "records",
    "engine",
    "laws",
    "equilibrium.system",
    "equilibrium.phases",
    "equilibrium.freezing",
    "equilibrium.invariants",
    "fitting",
    "answers.evidence",
    "answers.cooling",
    "answers",
    "answers.finder",
    "answers.run",
    "answers.plan",
    "notebook",
    "present.words",
    "present.as_json",
    "present.charts",
    "present.paper",
    "present.command_line",
    "present.diagram",
    "present.page",
]
MODULES = sorted((ROOT / "thermo").rglob("*.py"))
STREAMLIT_IMPORTERS = ("app.py", "thermo/present/diagram/component.py", "thermo/present/page/")


def imported(path: Path) -> set[str]:
    """Absolute names of all modules a file imports, at its top or inside functions."""
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            names |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
    return names


def tier(name: str) -> int | None:
    """Position of a module's tier; None for the package root and for other packages."""
    found = [t for t in TIERS if f"{name}.".startswith(f"thermo.{t}.")]
    return TIERS.index(max(found, key=len)) if found else None


def test_every_tier_has_modules():
    found = {path.parent.relative_to(ROOT / "thermo").as_posix().replace("/", ".") for path in MODULES}
    assert set(TIERS) <= found


@each(MODULES)
def test_no_import_climbs(path):
    own = path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".")
    if tier(own) is None:
        return
    climbing = [name for name in imported(path) if (other := tier(name)) is not None and other > tier(own)]
    assert climbing == []


@each([*MODULES, ROOT / "app.py"])
def test_only_the_page_imports_streamlit(path):
    uses = any(name.split(".")[0] == "streamlit" for name in imported(path))
    page = path.relative_to(ROOT).as_posix().startswith(STREAMLIT_IMPORTERS)
    assert page or not uses


def test_no_circle():
    """Files that import each other, straight or through others, would have no order to be read in."""
    graph = {}
    for path in MODULES:
        own = path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".")
        graph[own] = imported(path) - {own}
    sorter = TopologicalSorter({own: used & set(graph) for own, used in graph.items()})
    sorter.prepare()  # raises CycleError with the files in the circle


@each(MODULES)
def test_every_module_says_what_it_is(path):
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert text
    assert len(text) > 40


def test_top_level_is_the_agreed_one():
    agreed = {"README.md", "DEVELOPERS.md", "requirements.txt", "app.py", "thermo", "data", "tests"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - agreed == set()
