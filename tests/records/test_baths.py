"""Names of cryolite baths: cryolite ratio, bath ratio, excess AlF3."""

import pytest

from thermo.records.baths import bath_composition, bath_name, excess_of_ratio
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.provenance import InputError


def test_cryolite_is_ratio_three_without_excess():
    name = bath_name(from_amounts({"NaF": 3, "AlF3": 1}))
    assert name.cryolite_ratio == pytest.approx(3, rel=1e-12)
    # the rule of the trade: bath ratio is half the cryolite ratio; M(NaF) / M(AlF3) = 41.988 / 83.977
    assert name.bath_ratio == pytest.approx(1.5, rel=2e-4)
    assert name.excess_alf3_pct == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("excess", [-10.0, -2.0, 0.0, 4.0, 12.0, 25.0])
@pytest.mark.parametrize("additions", [{}, {"CaF2": 5.0}, {"CaF2": 4.0, "LiF": 2.0, "MgF2": 1.0, "KF": 0.5}])
@pytest.mark.parametrize("alumina", [0.0, 3.0])
def test_a_name_made_into_salts_reads_back(excess, additions, alumina):
    name = bath_name(bath_composition(excess, additions, alumina), alumina)
    assert name.excess_alf3_pct == pytest.approx(excess, abs=1e-9)
    assert name.additions_pct == pytest.approx(additions, abs=1e-9)


def test_excess_by_hand():
    # 100 g with 10 g excess AlF3: 90 g cryolite is 0.42870 mol, so 1.28609 mol NaF and 0.42870 + 0.11908 mol AlF3
    cryolite = 90 / (3 * formula_mass("NaF") + formula_mass("AlF3"))
    ratio = 3 * cryolite / (cryolite + 10 / formula_mass("AlF3"))
    assert bath_name(bath_composition(10, {}, 0)).cryolite_ratio == pytest.approx(ratio, rel=1e-12)
    assert ratio == pytest.approx(2.348, abs=1e-3)


@pytest.mark.parametrize("ratio", [1.5, 2.2, 3.0, 3.4])
@pytest.mark.parametrize("additions", [{}, {"CaF2": 4.0, "LiF": 2.0, "MgF2": 1.0}])
@pytest.mark.parametrize("alumina", [0.0, 3.0])
def test_a_ratio_made_into_salts_reads_back(ratio, additions, alumina):
    name = bath_name(bath_composition(excess_of_ratio(ratio, additions, alumina), additions, alumina), alumina)
    assert name.cryolite_ratio == pytest.approx(ratio, rel=1e-9)
    assert name.additions_pct == pytest.approx(additions, abs=1e-9)


def test_the_ratio_of_ten_percent_excess_by_hand():
    # the same 100 g as above: CR 1.28609 / 0.54778
    assert excess_of_ratio(1.28609 / 0.54778, {}, 0) == pytest.approx(10, abs=1e-3)  # five figures of each


@pytest.mark.parametrize("ratio", [0.0, -2.2, float("nan"), float("inf")])
def test_a_ratio_that_is_none_is_refused(ratio):
    with pytest.raises(InputError, match="allowed is more than 0"):
        excess_of_ratio(ratio, {}, 0)


def test_a_ratio_without_room_for_its_salts_is_refused():
    with pytest.raises(InputError, match="less than 100"):
        excess_of_ratio(2.2, {"CaF2": 90.0}, 10)


def test_alumina_dilutes_the_excess():
    mix = bath_composition(10, {}, 0)
    assert bath_name(mix, 5.0).excess_alf3_pct == pytest.approx(9.5, rel=1e-9)


def test_other_melts_have_no_name():
    assert bath_name(from_amounts({"NaF": 1, "LiF": 1})) is None
    assert bath_name(from_amounts({"KF": 1, "AlF3": 1})) is None
    assert bath_name(from_amounts({"NaF": 1, "AlF3": 0})) is None


@pytest.mark.parametrize(
    ("excess", "additions", "alumina", "says"),
    [
        (0, {"CaF2": -1}, 0, "CaF2 -1 mass%"),
        (0, {}, 25, "up to 20"),
        (50, {"CaF2": 40}, 15, "less than 100"),
        (-80, {}, 0, "mol% AlF3"),
        (60, {}, 0, "boils off"),
    ],
)
def test_impossible_baths_are_refused_in_one_line(excess, additions, alumina, says):
    with pytest.raises(InputError, match=says) as error:
        bath_composition(excess, additions, alumina)
    assert "\n" not in str(error.value)
