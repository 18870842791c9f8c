"""Parameters of a pair: their text, their units and what they are multiplied by."""

import pytest

from thermo.records.fitted import pair_models
from thermo.records.parameters import HOSTED, REGULAR, Parameter
from thermo.records.provenance import InputError

KNOWN = [
    # text, order, host, per kelvin, factor at 1000 K: L_k = a_k + b_k T (Redlich & Kister 1948); dH - T dS
    ("liquid:a0", 0, None, False, 1.0),
    ("liquid:b3", 3, None, True, 1000.0),
    ("solid solution:a1", 1, None, False, 1.0),
    ("solid solution in LiCl:slope", 0, "LiCl", True, 100.0),
    ("solid solution in LiCl:lattice", 0, "LiCl", False, 1.0),
    ("K2MgCl4:dH", 0, None, False, 1.0),
    ("K2MgCl4:dS", 0, None, True, -1000.0),
]


@pytest.mark.parametrize(("text", "order", "host", "per_kelvin", "factor"), KNOWN, ids=[case[0] for case in KNOWN])
def test_text_reads_back(text, order, host, per_kelvin, factor):
    one = Parameter.parse(text)
    assert str(one) == text
    assert (one.order, one.host, one.per_kelvin, one.factor(1000.0)) == (order, host, per_kelvin, factor)
    assert one.unit == ("J/(mol K)" if per_kelvin else "J/mol")


@pytest.mark.parametrize("text", ["", "liquid", "liquid:", ":a0", "liquid:c0", "liquid:a", "KMgCl3:dG"])
def test_what_names_no_parameter_is_refused(text):
    with pytest.raises(InputError, match="allowed is PHASE:TERM"):
        Parameter.parse(text)


def test_parameters_are_keys_and_sort():
    assert {Parameter("liquid", "a0"): 1}[REGULAR[0]] == 1
    assert sorted([REGULAR[1], REGULAR[0]]) == list(REGULAR)
    with pytest.raises(AttributeError):
        REGULAR[0].phase = HOSTED


def test_every_parameter_of_the_files_parses():
    for model in pair_models().values():
        for one in model.parameters:
            assert Parameter.parse(str(one)) == one
