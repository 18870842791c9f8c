"""Published melts of three and more salts beside computed ones."""

from dataclasses import replace

import numpy as np
import pytest

from tests.made_up import reference
from thermo.answers.evidence.melts import (
    MeltNotCompared,
    coldest,
    compare_melt,
    lowest_evidence,
    melt_evidence,
    one_melt,
)
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.records.composition import Composition
from thermo.records.published import MeltPoint


def melt_point(fractions=(0.465, 0.115, 0.42), kind="eutectic", T_K=730.0, **more):
    return MeltPoint(replace(reference(), **more), ("LiF", "NaF", "KF"), fractions, kind, T_K, 3.0, ())


def test_a_melt_is_compared_at_its_composition_with_fractions_brought_to_one():
    found = compare_melt(melt_point((0.93, 0.23, 0.84)))
    assert found.found_K == pytest.approx(liquidus(Composition(("LiF", "NaF", "KF"), (0.465, 0.115, 0.42))).T_K)
    assert found.difference == pytest.approx(found.found_K - 730.0)
    assert found.sigmas == pytest.approx(found.difference / np.hypot(found.model_sigma_K, 3.0))


def test_a_melt_with_a_foreign_salt_says_so():
    point = replace(melt_point(), salts=("LiF", "NaF", "ZnF2"))
    found = compare_melt(point)
    assert isinstance(found, MeltNotCompared)
    assert "ZnF2" in found.reason


def test_a_temperature_without_a_composition_is_compared_as_a_lowest_melt_only():
    found = compare_melt(melt_point(()))
    assert isinstance(found, MeltNotCompared)
    assert "no composition" in found.reason
    assert coldest([melt_point(T_K=740.0), melt_point((), T_K=730.0)]).fractions == ()


def test_the_coldest_melt_leaves_out_what_cannot_be_the_lowest():
    good = melt_point(T_K=730.0)
    others = [
        melt_point(T_K=700.0, unsure=True),
        melt_point(T_K=700.0, kind="peritectic"),
        melt_point(T_K=700.0, caveat="on the section from LiF-NaF-KF"),
    ]
    assert coldest([*others, good]) is good
    assert coldest(others) is None


def test_one_melt_is_order_blind_and_close():
    first = compare_melt(melt_point())
    turned = replace(first, point=replace(first.point, salts=("KF", "LiF", "NaF"), fractions=(0.42, 0.465, 0.115)))
    assert one_melt(first, turned)
    moved = replace(first, point=replace(first.point, fractions=(0.42, 0.16, 0.42)))
    assert not one_melt(first, moved)


def test_lowest_melt_of_flinak_is_the_coldest_published():
    found = lowest_evidence("LiF", "NaF", "KF")
    assert found.way == "lowest"
    assert pytest.approx(454 + 273.15) == found.point.T_K
    assert sum(found.found_fractions) == pytest.approx(1.0)
    assert lowest_evidence("NaCl", "RbCl", "CsCl") is None


def test_melts_of_a_set_of_salts_in_any_order():
    assert {row.point for row in melt_evidence("KF", "NaF", "LiF")} == {
        row.point for row in melt_evidence("LiF", "NaF", "KF")
    }
