"""Freezing of fluoride with chloride: solidus and path against pairs, one anion, other names of the same ions, and an
independent minimisation on random mixes.

RECIPROCAL_MIXES=500 python -m pytest tests/equilibrium/freezing/test_two_anions.py checks 500 mixes of up to
six salts instead of 20 of four.
"""

import json
import os

import numpy as np
import pytest

from tests.grid_minimum import GridMinimum, disagreements
from tests.made_up import changed
from tests.random_mixes import reciprocal_mixes
from thermo.equilibrium.freezing.freezing_path import freezing_path
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import coldest_solidus_K, phase_names, solidus
from thermo.equilibrium.freezing.solidus_sigma import uptakes
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.equilibrium.phases.balance import phase_balance
from thermo.equilibrium.system.solids import solid_weights
from thermo.equilibrium.system.two_anions import ReciprocalSystem
from thermo.present.command_line.main import main
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
from thermo.records.parameters import Parameter
from thermo.records.units import kelvin

MIXES = int(os.environ.get("RECIPROCAL_MIXES", "20"))
LARGEST = 6 if MIXES > 20 else 4
PARTS = 10 if MIXES > 20 else 1
ALIKE_K = 2e-3  # two results each good to 1e-3 K
USUAL = (
    {"NaF": 40, "NaCl": 60},
    {"LiF": 30, "LiCl": 50, "KCl": 20},
    {"LiF": 10, "NaCl": 45, "KCl": 45},
    {"MgCl2": 45, "NaCl": 45, "CaF2": 10},
    {"CaCl2": 78, "CaF2": 17, "NaCl": 5},
    {"NaF": 9, "NaCl": 40, "KCl": 51},
    {"BaCl2": 42, "NaCl": 51, "NaF": 7},
)
SOME = reciprocal_mixes(8, seed=3, largest=4)


def eutectic(a: str, b: str):
    return next(point for point in pair_invariants(a, b) if point.kind == "eutectic")


@pytest.mark.slow
@pytest.mark.parametrize("part", range(PARTS))
def test_random_mixes_agree_with_an_independent_minimisation(part):
    """Solidus within half a degree, the amount of liquid on the way to half a degree, the same energy."""
    disagree, unknown = [], 0
    mixes = reciprocal_mixes(MIXES, seed=11, largest=LARGEST)[part::PARTS]
    for mix in mixes:
        top, end = liquidus(mix).T_K, solidus(mix).T_K
        unknown += end is None
        disagree += disagreements(mix, end, () if end is None else (0.6 * end + 0.4 * top,))
    assert disagree == []
    assert unknown < len(mixes) / 3  # the check must have something to check


@pytest.mark.parametrize("t_C", [780, 794])
def test_two_liquids_that_hardly_differ_are_both_found(t_C):
    """0.3 mol% of Ce apart: one liquid, also in balance, lay 0.6 and 0.4 J higher. A grid is good to 0.1 J."""
    mix = from_amounts({"CeF3": 0.10611951824528436, "KCl": 0.41836667533425587, "CsCl": 0.47551380642045976})
    phases = phase_balance(mix.salts)
    balance, T_K = phases.at(phases.mix(mix), kelvin(t_C)), kelvin(t_C)
    scan = GridMinimum(mix.salts, phases.system)
    assert sum(phase.solid is None for phase in balance.phases) == 2
    assert scan.energy(balance, phases) == pytest.approx(scan.minimum(mix, T_K)[0], abs=0.1)


@pytest.mark.parametrize(
    ("amounts", "low_K"),
    [
        ({"NaCl": 0.3335929802420008, "LaF3": 0.17225941726668723, "CsCl": 0.4941476024913119}, 761.5),
        ({"CeF3": 0.10611951824528436, "KCl": 0.41836667533425587, "CsCl": 0.47551380642045976}, 992.0),
    ],
    ids=["NaCl-LaF3-CsCl", "CeF3-KCl-CsCl"],
)
def test_the_energy_of_a_mix_is_concave_in_temperature(amounts, low_K):
    """As the least of many straight enough lines: where one of two near twins was missed it stood 0.2 to 0.7 J out."""
    mix = from_amounts(amounts)
    phases = phase_balance(mix.salts)
    held = phases.mix(mix)
    energies = [float(phases.at(held, low_K + 0.75 * step).potentials @ held) for step in range(16)]
    assert np.diff(energies, 2).max() < 1e-4


@pytest.mark.parametrize("above_K", [0.5, 5.0])
def test_a_liquid_still_on_its_way_has_the_energy_of_where_it_is(above_K):
    """Above the solidus, 898.1 K, a search that had not ended left a melt with an energy 8 J too low among those tried.

    The balance then held two liquids, 93 and 4 J above the one that there is.
    """
    amounts = {"SrF2": 25.658244587160955, "CsCl": 10.305398454205972, "MgF2": 12.932030858720905}
    mix = from_amounts(amounts | {"BaF2": 51.10432609911219})
    phases, T_K = phase_balance(mix.salts), 898.0941 + above_K
    balance = phases.at(phases.mix(mix), T_K)
    scan = GridMinimum(mix.salts, phases.system)
    assert sum(phase.solid is None for phase in balance.phases) == 1
    assert scan.energy(balance, phases) == pytest.approx(scan.minimum(mix, T_K)[0], abs=0.1)


@pytest.mark.parametrize("mix", SOME, ids=lambda mix: "-".join(mix.salts))
def test_every_ion_is_kept_and_nothing_melts_on_cooling(mix):
    phases, path = phase_balance(mix.salts), freezing_path(mix, points=12)
    held = phases.mix(mix)
    for T_K in path.T_K[::4]:
        balance = phases.at(held, T_K)
        ions = sum(phase.amount * phase.composition for phase in balance.phases)
        chloride = sum(
            p.amount * (p.composition[:-1] @ phases.components.z - p.composition[-1]) for p in balance.phases
        )
        assert ions == pytest.approx(held, abs=1e-9)
        assert chloride == pytest.approx(held[:-1] @ phases.components.z - held[-1], abs=1e-9)
    total = path.liquid_fraction_mol + sum(amounts for _, amounts in path.phases)
    assert total == pytest.approx(np.ones(len(path.T_K)), abs=1e-9)
    if any("two liquids" in note for note in path.notes):
        pytest.skip("the computed melt separates: its two liquids may exchange solids either way")
    assert np.diff(path.liquid_fraction_mol).max() < 1e-7


@pytest.mark.parametrize("amounts", USUAL, ids=lambda amounts: "-".join(amounts))
def test_the_path_starts_at_the_liquidus(amounts):
    """All liquid just above it, less just below: 0.01 K is ten times the step both are found to."""
    mix = from_amounts(amounts)
    phases, start, path = phase_balance(mix.salts), liquidus(mix), freezing_path(mix, points=3)
    above, below = (phases.at(phases.mix(mix), start.T_K + step) for step in (0.01, -0.01))
    assert above.solids == ()
    assert above.liquid.amount == pytest.approx(1.0, abs=1e-12)
    assert [phase_names(below.solids)] == [[start.first_solid]]
    assert path.liquidus_K == start.T_K
    assert path.phases[0][0] == start.first_solid
    assert path.liquid_fraction_mol[start.T_K < path.T_K] == pytest.approx(1.0, abs=1e-12)
    assert path.solidus_K <= start.T_K


@pytest.mark.parametrize("fractions", [(0.9147, 0.0427, 0.0426), (0.509, 0.058, 0.433), (0.490, 0.044, 0.466)])
def test_the_solidus_is_where_the_first_liquid_costs_nothing(fractions):
    """Newton's rule runs away from the liquidus of these; 0.2 J is 0.01 K of a melt that takes 20 J/K a mole."""
    mix = Composition(("LiF", "NaCl", "KCl"), fractions)
    T_K, phases = solidus(mix).T_K, phase_balance(mix.salts)
    own = phases.mix(mix)
    for way in (-1.0, 0.0, 1.0):
        alone = phases.at(own, T_K + way, liquid=False)
        force = phases.first_liquid(alone.potentials, T_K + way)[1]
        assert abs(force) < 0.2 if way == 0 else way * force < 0


def test_a_eutectic_mix_of_one_cation_is_solid_at_the_temperature_of_its_pair():
    point = eutectic("NaF", "NaCl")
    at_once = Composition(point.salts, point.fractions)
    assert pytest.approx(point.T_K, abs=ALIKE_K) == solidus(at_once).T_K
    assert liquidus(at_once).T_K - solidus(at_once).T_K < 0.01
    for percent in (2, 20, 60, 95):
        found = solidus(from_amounts({"NaF": percent, "NaCl": 100 - percent}))
        assert pytest.approx(point.T_K, abs=ALIKE_K) == found.T_K
        assert found.ions == ("Na", "F", "Cl")
        assert found.last_liquid == pytest.approx((1.0, *point.fractions), abs=1e-5)
        assert found.sigma_K == pytest.approx(point.sigma_K, rel=0.01)  # weighed by differences there


def test_a_compound_of_two_anions_decides_like_any_other():
    """CaF2-CaCl2 on the chloride side of CaFCl: CaFCl and CaCl2, at the eutectic of the pair; on the other its end."""
    points = {point.kind: point for point in pair_invariants("CaF2", "CaCl2")}
    found = solidus(from_amounts({"CaF2": 20, "CaCl2": 80}))
    assert set(found.solids) == {"CaFCl", "CaCl2"}
    assert pytest.approx(points["eutectic"].T_K, abs=ALIKE_K) == found.T_K
    found = solidus(from_amounts({"CaF2": 80, "CaCl2": 20}))
    assert set(found.solids) == {"CaF2", "CaFCl"}
    assert pytest.approx(points["peritectic"].T_K, abs=ALIKE_K) == found.T_K


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"LiF": 1, "KCl": 1}, {"LiCl": 1, "KF": 1}),
        ({"LiF": 2, "NaCl": 3, "KCl": 1}, {"LiCl": 2, "NaF": 2, "NaCl": 1, "KCl": 1}),
        ({"CaF2": 1, "NaCl": 4}, {"CaCl2": 1, "NaF": 2, "NaCl": 2}),
    ],
    ids=["LiF+KCl", "LiF+NaCl+KCl", "CaF2+NaCl"],
)
def test_the_way_of_naming_the_ions_changes_nothing(one, other):
    first, second = (freezing_path(from_amounts(amounts), points=8) for amounts in (one, other))
    assert pytest.approx(second.liquidus_K, abs=ALIKE_K) == first.liquidus_K
    assert pytest.approx(second.solidus_K, abs=ALIKE_K) == first.solidus_K
    assert first.sigma_solidus_K == pytest.approx(second.sigma_solidus_K, rel=1e-3)
    assert [name for name, _ in first.phases] == [name for name, _ in second.phases]
    for T_K in first.T_K[::3]:
        amounts = [
            phase_balance(path.salts).at(phase_balance(path.salts).mix(mix), T_K).phases
            for path, mix in ((first, from_amounts(one)), (second, from_amounts(other)))
        ]
        assert [p.amount for p in amounts[0]] == pytest.approx([p.amount for p in amounts[1]], abs=1e-6)


@pytest.mark.parametrize("trace", [{"NaF": 1e-6}, {"CaF2": 1e-6}])
def test_a_vanishing_second_anion_leaves_the_path_of_one(trace):
    """NaCl-CaCl2: as much liquid at every temperature; below its eutectic no more than a few times the trace."""
    plain = from_amounts({"NaCl": 30, "CaCl2": 70})
    path = freezing_path(plain, points=6)
    traced = from_amounts({"NaCl": 0.3, "CaCl2": 0.7} | trace)
    phases = phase_balance(traced.salts)
    for T_K, liquid in zip(path.T_K, path.liquid_fraction_mol, strict=True):
        if abs(T_K - path.solidus_K) < 0.5:
            continue  # a millionth moves the eutectic by some hundredths of a degree
        found = phases.at(phases.mix(traced), T_K).liquid
        assert (0.0 if found is None else found.amount) == pytest.approx(liquid, abs=1e-4)


@pytest.mark.parametrize("trace", [1e-5, 1e-8, 1e-12])
@pytest.mark.parametrize(
    ("pair", "other"), [(("LiF", "KF"), "KCl"), (("LiCl", "KCl"), "KF"), (("NaF", "CaF2"), "NaCl")]
)
def test_a_vanishing_anion_leaves_liquidus_and_order_of_solids(pair, other, trace):
    plain = freezing_path(from_amounts({pair[0]: 0.3, pair[1]: 0.7}), points=5)
    traced = freezing_path(from_amounts({pair[0]: 0.3, pair[1]: 0.7, other: trace}), points=5)
    assert pytest.approx(plain.liquidus_K, abs=0.1) == traced.liquidus_K  # 1e-5 of some 1000 K a mole fraction: 0.01
    assert [name for name, _ in traced.phases[:2]] == [name for name, _ in plain.phases]
    total = traced.liquid_fraction_mol + sum(amounts for _, amounts in traced.phases)
    assert total == pytest.approx(np.ones(len(traced.T_K)), abs=1e-9)


def test_an_anion_that_is_hardly_there_is_left_out():
    plain, traced = from_amounts({"NaF": 0.3, "CaF2": 0.7}), from_amounts({"NaF": 0.3, "CaF2": 0.7, "NaCl": 1e-12})
    assert pytest.approx(solidus(plain).T_K, abs=ALIKE_K) == solidus(traced).T_K
    assert solidus(traced).ions == ()


def test_calcium_fluoride_in_a_magnesium_chloride_bath_freezes_magnesium_fluoride_first():
    mix = from_amounts({"MgCl2": 45, "NaCl": 45, "CaF2": 10})
    path = freezing_path(mix, points=8)
    assert path.phases[0][0] == "MgF2"
    assert not any(name == "CaF2" for name, _ in path.phases)
    assert sum(amounts[-1] for name, amounts in path.phases if name == "MgF2") == pytest.approx(0.1, abs=1e-9)


def test_stable_salts_leave_a_liquid_they_can_make_up():
    """NaCl with MgF2 dissolve nothing: the last liquid has two F for every Mg, whatever the mix, as on the section."""
    for percent in (10, 30, 60):
        found = solidus(from_amounts({"NaCl": 100 - percent, "MgF2": percent}))
        assert set(found.solids) == {"NaCl", "MgF2"}
        last = dict(zip(found.ions, found.last_liquid, strict=True))
        assert last["F"] == pytest.approx(2 * last["Mg"], abs=1e-6)
        assert last["Na"] + last["Mg"] == pytest.approx(1.0, abs=1e-12)
        there = liquidus(from_amounts({"NaCl": last["Na"], "MgF2": last["Mg"]}))
        assert pytest.approx(there.T_K, abs=ALIKE_K) == found.T_K


def test_the_coldest_solidus_is_below_that_of_every_mix():
    salts = ("LiF", "NaCl", "KCl")
    low = coldest_solidus_K(salts)
    for amounts in ((1, 1, 1), (5, 1, 1), (1, 5, 2), (1, 1, 6)):
        assert low <= solidus(from_amounts(dict(zip(salts, amounts, strict=True)))).T_K + ALIKE_K


# ---- uncertainty -----------------------------------------------------------------------------------------------------


class _Sure(ReciprocalSystem):
    """Salts and exchange known exactly and no error of the model: one parameter alone is uncertain."""

    def fusion_errors(self, solid, T_K, y):
        """None."""
        return np.zeros(len(self.constituents))

    def exchange_errors(self, x, weights, T_K):
        """None."""
        return np.zeros(1)

    def model_variance(self, solid, x, T_K, y):
        """None."""
        return 0.0


@pytest.mark.parametrize(
    ("amounts", "pair"),
    [
        ({"NaF": 40, "NaCl": 30, "CaCl2": 30}, ("NaF", "NaCl")),
        ({"NaF": 40, "NaCl": 30, "CaCl2": 30}, ("NaCl", "CaCl2")),
        ({"LiF": 20, "LiCl": 30, "NaCl": 50}, ("LiCl", "NaCl")),  # a solid solution; two cations: no preference term
    ],
)
def test_sigma_answers_to_a_parameter_as_the_solidus_does(amounts, pair):
    mix, key, models = from_amounts(amounts), frozenset(pair), pair_models()
    sure = {
        k: changed(m, covariance=0 * m.covariance, fusion_response=0 * m.fusion_response) for k, m in models.items()
    }

    def with_change(J_mol: float, sigma: float) -> _Sure:
        values = models[key].values.copy()
        at = models[key].parameters.index(Parameter("liquid", "a0"))
        values[at] += J_mol
        covariance = np.zeros((len(values), len(values)))
        covariance[at, at] = sigma**2
        return _Sure(mix.salts, sure | {key: changed(sure[key], values=values, covariance=covariance)})

    up, down = (solidus(mix, with_change(step, 0.0)).T_K for step in (50.0, -50.0))
    found = solidus(mix, with_change(0.0, 100.0))
    assert found.sigma_K == pytest.approx(abs(up - down), rel=0.02)


class _Exchange(_Sure):
    """As sure, but the exchange energies are off by `shift` (J/mol, one a cation), or uncertain by it."""

    shift, uncertain = (0.0, 0.0), False

    def _laws(self, exchange):
        """With the shift."""
        return super()._laws(exchange + np.outer(self.shift, [1.0, 0.0]))

    def exchange_sigmas(self):
        """One error, of the first cation."""
        return np.array([200.0 * self.uncertain, 0.0])

    def exchange_errors(self, x, weights, T_K):
        """That error, shared by all solids; Z is known."""
        return ReciprocalSystem.exchange_errors(self, x, weights, T_K)[:-1]

    def model_variance(self, solid, x, T_K, y):
        """Only that error."""
        errors = self.exchange_errors(x, solid_weights(solid, len(self.constituents), y), T_K)
        return float(errors @ errors)


def test_an_exchange_energy_moves_all_solids_together():
    """d(solidus)/dE from two runs, against sigma when E alone is uncertain; LiF and NaCl share the error."""
    mix, models = from_amounts({"LiF": 1, "NaCl": 2}), pair_models()
    sure = {
        k: changed(m, covariance=0 * m.covariance, fusion_response=0 * m.fusion_response) for k, m in models.items()
    }

    def shifted(J_mol: float, uncertain: bool = False) -> float:
        kind = type("Shifted", (_Exchange,), {"shift": (J_mol, 0.0), "uncertain": uncertain})
        found = solidus(mix, kind(mix.salts, sure))
        return found.sigma_K if uncertain else found.T_K

    assert shifted(0.0, True) == pytest.approx(abs(shifted(100.0) - shifted(-100.0)), rel=0.02)


@pytest.mark.parametrize(
    "amounts",
    [{"NaF": 1, "NaCl": 2}, {"LiF": 1, "NaCl": 2}, {"LiF": 2, "NaCl": 3, "KCl": 3}],
    ids=["one cation", "a section", "a solid solution"],
)
def test_the_solids_take_up_the_whole_last_liquid(amounts):
    mix = from_amounts(amounts)
    phases, found = phase_balance(mix.salts), solidus(mix)
    solids = phases.at(phases.mix(mix), found.T_K - 0.01, liquid=False).solids
    x = phases.liquid.spread(np.array([found.last_liquid]))[0]
    taken = sum(u.more * u.phase.composition + u.shift for u in uptakes(phases, solids, x, found.T_K))
    assert taken == pytest.approx(x, abs=1e-5)


# ---- the command -----------------------------------------------------------------------------------------------------


def test_the_command_tells_solidus_and_solids(capsys):
    assert main(["melt", "MgCl2=45", "NaCl=45", "CaF2=10", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["solidus"]["T_C"] < found["liquidus"]["T_C"]
    assert found["solidus"]["sigma_K"] > 0
    assert "MgF2" in found["solidus"]["solids"]
    assert not any("not computed" in note for note in found["notes"])
    assert main(["melt", "MgCl2=45", "NaCl=45", "CaF2=10"]) == 0
    assert "all solid below   4" in capsys.readouterr().out
