"""Imports only go down the tiers records < laws < equilibrium < answers < present < app.py."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TIERS = ["records", "laws", "equilibrium", "answers", "present"]
MODULES = sorted((ROOT / "thermo").rglob("*.py"))
# The page: its script, its diagram, and one module a section (what a section draws and what it asks stay together).
STREAMLIT_IMPORTERS = {
    "app.py",
    "thermo/present/handle.py",
    "thermo/present/page_parts.py",
    "thermo/present/page_sections.py",
    "thermo/present/page_bath.py",
    "thermo/present/page_cell.py",
    "thermo/present/page_cooling.py",
    "thermo/present/page_evidence.py",
    "thermo/present/page_find.py",
    "thermo/present/page_freezing.py",
    "thermo/present/page_materials.py",
    "thermo/present/page_review.py",
    "thermo/present/page_sheet.py",
    "thermo/present/page_weigh.py",
}


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
    parts = name.split(".")
    return TIERS.index(parts[1]) if len(parts) > 1 and parts[0] == "thermo" and parts[1] in TIERS else None


def test_every_tier_has_modules():
    found = {path.parent.name for path in MODULES}
    assert set(TIERS) <= found


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_import_climbs(path):
    own = path.relative_to(ROOT).with_suffix("").as_posix().replace("/", ".")
    if tier(own) is None:
        return
    climbing = [name for name in imported(path) if (other := tier(name)) is not None and other > tier(own)]
    assert climbing == []


@pytest.mark.parametrize("path", [*MODULES, ROOT / "app.py"], ids=lambda p: str(p.relative_to(ROOT)))
def test_only_the_page_imports_streamlit(path):
    uses = any(name.split(".")[0] == "streamlit" for name in imported(path))
    assert uses == (path.relative_to(ROOT).as_posix() in STREAMLIT_IMPORTERS)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_module_says_what_it_is(path):
    text = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert text
    assert len(text) > 40


def test_top_level_is_the_agreed_one():
    agreed = {"README.md", "DEVELOPERS.md", "requirements.txt", "app.py", "thermo", "data", "tests"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - agreed == set()
