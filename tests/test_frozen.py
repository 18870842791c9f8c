"""An answer, once given, cannot be changed by who shows it: public records are frozen dataclasses (a house rule)."""

import dataclasses
import importlib
import pkgutil
from collections.abc import Iterator

import pytest

import thermo.answers
import thermo.laws
import thermo.records


def public_records(package) -> Iterator[type]:
    """Every dataclass with a public name that a module of the package defines."""
    for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
        module = importlib.import_module(found.name)
        for name, one in vars(module).items():
            own = isinstance(one, type) and one.__module__ == module.__name__
            if own and dataclasses.is_dataclass(one) and not name.startswith("_"):
                yield one


@pytest.mark.parametrize("package", [thermo.records, thermo.laws, thermo.answers], ids=lambda package: package.__name__)
def test_public_records_are_frozen(package):
    found = list(public_records(package))
    assert len(found) > 10
    assert [f"{one.__module__}.{one.__name__}" for one in found if not one.__dataclass_params__.frozen] == []


def test_a_field_of_an_answer_cannot_be_set():
    from thermo.answers.flotation import Crossing

    crossing = Crossing(900.0, 10.0, "floats")
    with pytest.raises(dataclasses.FrozenInstanceError):
        crossing.T_K = 950.0
