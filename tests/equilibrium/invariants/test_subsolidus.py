"""The solid half of the pairs' diagrams: what must hold for any pair, and the made-up ones with known answers."""

import numpy as np
import pytest

from tests.each import each
from tests.made_up import made_up_system, pair_model
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.invariants.lines import PairSolids
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.invariants.subsolidus import pair_solids, solids_below
from thermo.laws.unmixing import PairSolution
from thermo.records.composition import Composition
from thermo.records.fitted import pair_models
from thermo.records.provenance import InputError
from thermo.records.solid_solutions import solid_solution
from thermo.records.substances import salt
from thermo.records.units import R, kelvin

ALL = [model.salts for model in pair_models().values()]
SPLIT = [("LiF", "NaF"), ("NaF", "KF"), ("MgCl2", "CaCl2"), ("NaCl", "RbCl")]
HOST = [("LiF", "MgF2"), ("LiCl", "MgCl2")]
WHOLE = [("NaCl", "KCl"), ("LiCl", "NaCl"), ("KCl", "RbCl"), ("KCl", "CsCl"), ("SrCl2", "BaCl2"), ("CaCl2", "SrCl2"),
         ("CaF2", "SrF2"), ("SrF2", "BaF2"), ("KF", "RbF"), ("LaCl3", "NdCl3")]  # fmt: skip


def horizontals(found: PairSolids, *kinds: str):
    return [h for h in found.horizontals if h.kind in kinds]


@each(ALL)
def test_every_pair_has_sound_lines(a, b):
    found = pair_solids(a, b)
    for region in found.regions:
        assert (np.diff(region.T_K) > 0).all()
        assert ((region.left >= 0) & (region.right <= 1) & (region.left <= region.right)).all()
        assert region.T_K[0] >= found.floor_K
        if region.closes:
            assert region.left[-1] == region.right[-1]
    for horizontal in found.horizontals:
        low, high = horizontal.span
        assert 0 <= low < high <= 1
        xs = [end.x for end in horizontal.ends]
        assert xs == sorted(xs)
        if horizontal.kind == "eutectic":
            assert xs[0] < horizontal.x_liquid < xs[1]
        elif horizontal.kind == "peritectic":
            assert not xs[0] < horizontal.x_liquid < xs[1]
    for double in found.doubles:
        assert double.low_K < double.high_K
    assert bool(found.solidus) == bool(found.gap_status)


@pytest.mark.parametrize(("a", "b"), ALL[::7], ids=str)
def test_the_other_order_is_the_mirror_image(a, b):
    one, other = pair_solids(a, b), pair_solids(b, a)
    assert [h.kind for h in one.horizontals] == [h.kind for h in other.horizontals]
    for h, mirrored in zip(one.horizontals, other.horizontals, strict=True):
        assert pytest.approx(mirrored.T_K, abs=0.01) == h.T_K
        assert [end.x for end in h.ends] == pytest.approx([1 - end.x for end in mirrored.ends[::-1]], abs=1e-5)
        assert [end.sigma for end in h.ends] == pytest.approx([end.sigma for end in mirrored.ends[::-1]], abs=1e-5)
    for gap, mirrored in zip(one.gaps, other.gaps, strict=True):
        assert gap.left == pytest.approx(1 - mirrored.right, abs=1e-5)
        assert np.nan_to_num(gap.left_sigma) == pytest.approx(np.nan_to_num(mirrored.right_sigma), abs=1e-5)


@pytest.mark.parametrize(("a", "b"), WHOLE, ids=str)
def test_complete_solutions_have_no_eutectic(a, b):
    found = pair_solids(a, b)
    assert solid_solution(a, b).extent == "complete"
    assert horizontals(found, "eutectic", "peritectic") == []
    (branch,) = found.solidus
    assert (branch.x_solid[0], branch.x_solid[-1]) == pytest.approx((0, 1), abs=1e-9)
    assert branch.T_K[0] == pytest.approx(salt(a).melting_point_K, abs=0.1)
    assert branch.T_K[-1] == pytest.approx(salt(b).melting_point_K, abs=0.1)
    for gap in found.gaps:
        assert gap.closes
        assert gap.T_K[-1] < branch.T_K.min()


@pytest.mark.parametrize(("a", "b"), [*WHOLE[:4], *SPLIT[:4]], ids=str)
def test_the_solidus_lies_at_or_below_the_liquidus(a, b):
    for branch in pair_solids(a, b).solidus:
        for n in range(5, len(branch.T_K) - 5, 97):
            y = float(branch.x_solid[n])
            found = liquidus(Composition((a, b), (1 - y, y)))
            assert branch.T_K[n] - 0.05 <= found.T_K


def test_liquidus_and_solidus_touch_where_the_melt_freezes_to_its_own_composition():
    (minimum,) = pair_invariants("NaCl", "KCl")
    (branch,) = pair_solids("NaCl", "KCl").solidus
    at = int(np.argmin(branch.T_K))
    assert branch.T_K[at] == pytest.approx(minimum.T_K, abs=0.05)
    assert branch.x_solid[at] == pytest.approx(branch.x_liquid[at], abs=0.01)


@pytest.mark.parametrize(("a", "b"), SPLIT, ids=str)
def test_a_split_solution_melts_at_one_horizontal_where_solidus_and_gap_meet(a, b):
    found = pair_solids(a, b)
    (eutectic,) = horizontals(found, "eutectic")
    (gap,) = found.gaps
    assert not gap.closes
    left, right = eutectic.ends
    assert (left.name, right.name) == (a, b)
    assert gap.T_K[-1] == pytest.approx(eutectic.T_K, abs=0.01)
    assert (gap.left[-1], gap.right[-1]) == pytest.approx((left.x, right.x), abs=1e-5)
    first, second = found.solidus
    assert (first.x_solid[-1], second.x_solid[0]) == pytest.approx((left.x, right.x), abs=1e-9)
    assert (first.T_K[-1], second.T_K[0]) == pytest.approx((eutectic.T_K, eutectic.T_K))
    assert left.sigma > 0
    assert right.sigma > 0


@pytest.mark.parametrize(("a", "b"), HOST, ids=str)
def test_a_host_freezes_beside_the_pure_crystal_of_what_it_dissolves(a, b):
    found = pair_solids(a, b)
    (eutectic,) = horizontals(found, "eutectic")
    left, right = eutectic.ends
    assert (left.name, right.name) == (a, b)
    assert 0 < left.x < 0.5
    assert left.sigma > 0
    assert (right.x, right.sigma) == (1.0, 0.0)
    (branch,) = found.solidus
    assert (branch.name, branch.whole) == (a, False)
    assert (branch.x_solid[-1], branch.T_K[-1]) == pytest.approx((left.x, eutectic.T_K), abs=1e-9)
    (gap,) = found.gaps
    assert not gap.closes
    assert (gap.right == 1.0).all()
    assert (gap.right_sigma == 0.0).all()
    assert (gap.left_sigma > 0).all()
    assert (np.diff(gap.left) > 0).all()  # less dissolves on cooling
    assert gap.left[-1] == pytest.approx(left.x, abs=1e-5)


def test_a_host_holds_its_boltzmann_share_and_is_known_as_well_as_its_energy():
    """Ideal but for E: y = exp(-E / R T), and dy = -y dE / R T."""
    E = 9000.0
    model = pair_model("LiCl", "MgCl2", hosts={"LiCl": (E, 0.0)}, spread=0.1)
    (gap,) = solids_below(made_up_system(("LiCl", "MgCl2"), model)).gaps
    assert gap.left == pytest.approx(np.exp(-E / (R * gap.T_K)), rel=1e-6)
    assert gap.left_sigma == pytest.approx(gap.left * 0.1 * E / (R * gap.T_K), rel=1e-6)


def test_a_regular_solution_has_its_closed_form_gap():
    W = 15000.0
    found = solids_below(made_up_system(("NaCl", "KCl"), pair_model("NaCl", "KCl", solid=((W, 0.0),))))
    (gap,) = found.gaps
    assert gap.closes
    assert gap.T_K[-1] == pytest.approx(W / (2 * R), rel=1e-9)
    for y, T_K in zip(gap.left[:-1], gap.T_K[:-1], strict=True):
        assert np.log(y / (1 - y)) == pytest.approx(W * (2 * y - 1) / (R * T_K), rel=1e-6)
    assert gap.T_K[0] == pytest.approx(found.floor_K)


def test_a_gap_reaching_above_the_solidus_makes_a_eutectic():
    """The same pair with less and more repulsion: gap below the solidus, then through it."""
    for W, whole in ((15000.0, True), (24000.0, False)):
        found = solids_below(made_up_system(("NaCl", "KCl"), pair_model("NaCl", "KCl", solid=((W, 0.0),))))
        assert (horizontals(found, "eutectic") == []) is whole
        assert found.gaps[0].closes is whole
    assert found.gaps[0].T_K[-1] < W / (2 * R)


def test_spread_of_the_gap_comes_from_the_coefficients_alone():
    """Regular, a_0 known to 10 %: the top a_0 / 2R is known to 10 % as well."""
    model = pair_model("NaCl", "KCl", solid=((15000.0, 0.0),), spread=0.1)
    (gap,) = solids_below(made_up_system(("NaCl", "KCl"), model)).gaps
    assert gap.top_sigma_K == pytest.approx(0.1 * 15000 / (2 * R))
    W, T_K, y = 15000.0, float(gap.T_K[0]), float(gap.left[0])
    wider, narrower = (PairSolution((W + sign,), (0.0,)).gaps(T_K)[0][0] for sign in (1, -1))
    assert gap.left_sigma[0] == pytest.approx(abs(wider - narrower) / 2 * 0.1 * W, rel=1e-4)
    assert y < 0.5


def test_double_salts_stand_between_floor_and_melting():
    found = pair_solids("KCl", "MgCl2")
    lines = {double.formula: double for double in found.doubles}
    assert set(lines) == {"K2MgCl4", "KMgCl3"}
    congruent = {p.solids[0]: p.T_K for p in pair_invariants("KCl", "MgCl2") if p.kind == "congruent"}
    for formula, line in lines.items():
        assert line.low_K == found.floor_K == kelvin(250.0)
        assert line.high_K == pytest.approx(congruent[formula], abs=0.1)
    assert [region.names for region in sorted(found.regions, key=lambda r: r.left[0])] == [
        ("KCl", "K2MgCl4"),
        ("K2MgCl4", "KMgCl3"),
        ("KMgCl3", "MgCl2"),
    ]


def test_a_double_salt_that_melts_incongruently_ends_at_its_peritectic():
    model = pair_model("LiCl", "CaCl2", doubles={"LiCaCl3": (-1500.0, 0.0)})
    found = solids_below(made_up_system(("LiCl", "CaCl2"), model))
    (peritectic,) = horizontals(found, "peritectic")
    assert [end.name for end in peritectic.ends] == ["LiCaCl3", "CaCl2"]
    (line,) = found.doubles
    assert line.high_K == pytest.approx(peritectic.T_K)


def test_a_double_salt_that_falls_apart_below_the_eutectic_has_its_own_horizontal():
    model = pair_model("KCl", "MgCl2", liquid=((-10000.0, 0.0),), doubles={"KMgCl3": (-5500.0, -10.0)})
    found = solids_below(made_up_system(("KCl", "MgCl2"), model))
    (peritectoid,) = horizontals(found, "peritectoid")
    (eutectic,) = horizontals(found, "eutectic")
    assert pytest.approx(550.0, abs=1e-3) == peritectoid.T_K
    assert peritectoid.T_K < eutectic.T_K
    assert [end.name for end in peritectoid.ends] == ["KCl", "KMgCl3", "MgCl2"]
    assert found.doubles[0].high_K == pytest.approx(550.0, abs=1e-3)


def test_no_region_is_drawn_where_one_of_its_solids_has_melted():
    """Above the peritectic of a double salt its neighbours never meet without melt."""
    found = pair_solids("RbCl", "LaCl3")
    for region in found.regions:
        for double in found.doubles:
            if double.formula in region.names:
                assert region.T_K[-1] <= double.high_K + 0.1


def test_the_form_of_a_pure_salt_changes_along_a_line():
    found = pair_solids("NaCl", "CsCl")
    (line,) = horizontals(found, "transition")
    assert pytest.approx(743.0) == line.T_K  # CsCl alpha to beta, data/fitted/gibbs/phases.csv
    assert line.span == (0.0, 1.0)  # below the eutectic: across to solid NaCl
    above = pair_solids("LiCl", "BaCl2")
    (line,) = horizontals(above, "transition")
    melt = Composition(("LiCl", "BaCl2"), (1 - line.x_liquid, line.x_liquid))
    assert pytest.approx(line.T_K, abs=0.5) == liquidus(melt).T_K  # above it: as far as the liquidus; grid of 1/800


def test_what_nobody_measured_is_called_estimated():
    assert pair_solids("NaCl", "KCl").gap_status == "fitted"
    for a, b in (("MgCl2", "CaCl2"), ("KF", "CsF")):
        found = pair_solids(a, b)
        assert found.gap_status == "estimated"
        assert any("gap of the solid solution estimated" in note for note in found.notes)
    assert pair_solids("CaF2", "BaF2").status == "estimated"
    assert pair_solids("LiCl", "KCl").gap_status == ""


def test_two_kinds_of_crystal_are_announced():
    for a, b in (*HOST, ("LiCl", "CaCl2")):
        assert any("two kinds of crystal" in note for note in pair_solids(a, b).notes)
    assert any("changes its form" in note for note in pair_solids("SrCl2", "BaCl2").notes)
    assert pair_solids("NaCl", "KCl").notes == ()


def test_a_pair_that_melts_low_has_a_lower_floor():
    assert pair_solids("NaCl", "KCl").floor_K == kelvin(250.0)
    found = pair_solids("LiCl", "KCl")
    (eutectic,) = horizontals(found, "eutectic")
    assert found.floor_K == pytest.approx(0.8 * eutectic.T_K, rel=1e-3)  # the grid's lowest point is not quite it


@pytest.mark.parametrize("pair", [("NaCl", "NaCl"), ("NaCl", "KF"), ("NaCl", "Nacl")])
def test_what_is_no_pair_is_refused(pair):
    with pytest.raises(InputError):
        pair_solids(*pair)
