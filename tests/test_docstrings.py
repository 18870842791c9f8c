"""Every public thing says what it is; a law's module says how far it goes, where it comes from and one worked value."""

import ast
import re
from pathlib import Path

from tests.each import each

ROOT = Path(__file__).resolve().parents[1]
MODULES = sorted((ROOT / "thermo").rglob("*.py"))
LAWS = sorted(path for path in (ROOT / "thermo" / "laws").glob("*.py") if path.name != "__init__.py")
# A law rests on a publication, on the data files (whose rows name theirs), on another law that does, or says that it is
# common practice. A year is no temperature: "2000 K" names nobody.
SOURCE = re.compile(
    r"(?<![\d.])(1[89]|20)\d\d\b(?! (K|J|kJ|deg))|\([A-Z][a-z]+ & [A-Z][a-z]+\)|data/[a-z_/]+\.csv"
    r"|data/gibbs|thermo\.laws\.\w+|common practice"
)


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def public_nodes(tree: ast.Module):
    """Public functions and classes of a module, and the public methods of its classes, with their names."""
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
    for node in tree.body:
        if isinstance(node, kinds) and not node.name.startswith("_"):
            yield node.name, node
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, kinds) and not inner.name.startswith("_"):
                        yield f"{node.name}.{inner.name}", inner


def test_the_walk_finds_what_is_public():
    tree = ast.parse(
        "def seen(): pass\ndef _hidden(): pass\nclass Box:\n    def open(self): pass\n    def _in(self): pass"
    )
    assert [name for name, _ in public_nodes(tree)] == ["seen", "Box", "Box.open"]


@each(MODULES)
def test_public_things_have_docstrings(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    silent = [name for name, node in public_nodes(tree) if not ast.get_docstring(node)]
    assert silent == []


@each(MODULES)
def test_no_public_docstring_is_the_name_again(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for name, node in public_nodes(tree):
        words = re.sub(r"[^a-z]", "", (ast.get_docstring(node) or "").lower())
        assert words != re.sub(r"[^a-z]", "", name.split(".")[-1].lower()), f"{name} only repeats its name"


def docstring(path: Path) -> str:
    return ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


@each(LAWS)
def test_a_law_states_its_limits(path):
    assert re.search(r"\b[Ll]imits: \S", docstring(path))


@each(LAWS)
def test_a_law_gives_a_worked_value(path):
    found = re.search(r"Worked values?: ", docstring(path))
    assert found, "no 'Worked value:' in the module's docstring"
    assert re.search(r"\d", docstring(path)[found.end() :]), "a worked value is a number"


@each(LAWS)
def test_a_law_names_its_source(path):
    assert SOURCE.search(docstring(path)), "no publication, data file or 'common practice' in the module's docstring"
