"""The two lists of packages: what is asked for (.requirements.in) and everything pinned (requirements.txt)."""

from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]


def _lines(name: str) -> list[Requirement]:
    text = (ROOT / name).read_text(encoding="utf-8").splitlines()
    return [Requirement(line.partition("#")[0]) for line in text if line.partition("#")[0].strip()]


def asked_for() -> dict[str, Requirement]:
    """What the project asks for itself, by canonical name."""
    return {canonicalize_name(line.name): line for line in _lines(".requirements.in")}


def pinned() -> dict[str, list[Requirement]]:
    """Every line of requirements.txt by canonical name; two of one name where Python versions differ."""
    found: dict[str, list[Requirement]] = {}
    for line in _lines("requirements.txt"):
        found.setdefault(canonicalize_name(line.name), []).append(line)
    return found
