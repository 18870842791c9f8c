"""What is installed is what is pinned: every package, what follows included, at one exact version with its licence."""

import json
import re
from importlib.metadata import version

import pytest
from packaging.utils import canonicalize_name

from tests.requirements_files import ROOT, asked_for, pinned

LINES = [line for lines in pinned().values() for line in lines]
HERE = {
    name: [line for line in lines if line.marker is None or line.marker.evaluate()] for name, lines in pinned().items()
}


def test_every_line_is_one_exact_version():
    assert [str(line) for line in LINES if not re.fullmatch(r"==[\w.+!]+", str(line.specifier))] == []
    assert {name: lines for name, lines in HERE.items() if len(lines) > 1} == {}


def test_what_is_asked_for_is_pinned_at_the_version_asked_for():
    assert len(asked_for()) > 15
    apart = [name for name, line in asked_for().items() if [line.specifier] != [one.specifier for one in HERE[name]]]
    assert apart == []


def test_what_is_asked_for_is_told_apart_from_what_follows():
    """The locker notes below each package who wants it."""
    text = (ROOT / "requirements.txt").read_text(encoding="utf-8")
    told = re.findall(
        r"^([\w.-]+)==[^\n]*\n(?:    # .*\n)*?    # (?:via)?\s*-r \.requirements\.in$", text, re.MULTILINE
    )
    assert {canonicalize_name(name) for name in told} == set(asked_for())


def test_nothing_that_is_needed_lacks_its_pin():
    from tests.benchmarks.bill_of_materials import needed

    found = needed(list(asked_for()))
    assert len(found) > 60
    assert [name for name in found if not HERE.get(name)] == []


def test_this_environment_has_the_pinned_versions():
    from tests.benchmarks.bill_of_materials import needed

    apart = [
        f"{name} {version(name)}, pinned {HERE[name][0].specifier}"
        for name in needed(list(asked_for()))
        if f"=={version(name)}" != str(HERE[name][0].specifier)
    ]
    assert apart == [], "run: .venv/bin/pip install -r requirements.txt"


def test_the_bill_of_materials_names_every_package_with_its_licence():
    cyclonedx = pytest.importorskip("cyclonedx.output.json")
    from tests.benchmarks.bill_of_materials import bill, needed

    made = json.loads(cyclonedx.JsonV1Dot6(bill(list(asked_for()))).output_as_string())
    assert (made["bomFormat"], made["specVersion"]) == ("CycloneDX", "1.6")
    assert {part["name"] for part in made["components"]} == set(needed(list(asked_for())))
    assert [part["name"] for part in made["components"] if not part.get("licenses")] == []
    assert all(part["purl"].startswith("pkg:pypi/") for part in made["components"])
