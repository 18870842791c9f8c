"""Searching melts: everything listed keeps what was asked for, the ranking is the one told, counts add up."""

import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.special import ndtr

from tests.answers.finder.by_hand import ASKED, FIVE, typed_by_hand
from thermo.answers.deposition import ALLOY_V
from thermo.answers.evidence.start_of_freezing import speaking_rows
from thermo.answers.finder import Wish, find_melts
from thermo.answers.finder.search import SHOWN
from thermo.answers.finder.sweep import APART, STEPS
from thermo.answers.finder.wish import LEAST_OWN
from thermo.answers.melt import describe_melt
from thermo.engine.workers import Workers
from thermo.equilibrium.invariants.lowest import lowest
from thermo.laws.volatility import melt_pressure
from thermo.present.as_json.find import find_json
from thermo.present.command_line.find import find_text, parse_salts
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError
from thermo.records.substances import metal, salts
from thermo.records.units import celsius, kelvin


@pytest.fixture(scope="module")
def asked():
    return find_melts(ASKED)


@pytest.fixture(scope="module")
def unasked():
    return find_melts(Wish("Na", ("NaCl", "CaCl2", "BaCl2")))


def test_everything_listed_is_what_was_asked_for(asked):
    assert asked.melts
    for found in asked.melts:
        assert 1 <= len(found.composition.salts) <= 3
        assert set(found.composition.salts) <= set(FIVE)
        assert "MgCl2" in found.composition.salts
        assert found.composition.mass_percent["MgCl2"] >= 100 * LEAST_OWN
        assert celsius(found.T_K) == pytest.approx(720)
        assert celsius(found.liquidus.T_K) <= 600
        assert found.flotation.verdict in ("floats", "likely floats")
        assert sum(found.composition.fractions) == pytest.approx(1)
        assert min(found.composition.fractions) > 0


def test_a_found_melt_typed_by_hand_gives_the_same_answer(asked):
    for found in asked.melts[:3]:
        typed_by_hand(ASKED, found)


def rank(found, wants=("floats", "likely floats")):
    outside = not (found.window.exists and found.window.low_K - 1e-6 <= found.T_K <= found.window.high_K)
    beaten = found.order.couple("Mg").gap_V > ALLOY_V
    low_K = max(found.liquidus.T_K + found.liquidus.sigma_K + 30, metal("Mg").melting_point_K + 20)
    width = -round(min(found.window.high_K - found.window.low_K, 50.0) / 10)
    margin = -round(min(found.flotation.difference_g_cm3, 0.15) / 0.01)
    return outside, beaten, wants.index(found.flotation.verdict), round(low_K, 3), width, margin


def test_ranking_is_the_one_told(asked):
    ranks = [rank(found) for found in asked.melts]
    assert ranks == sorted(ranks)
    assert len(asked.melts) <= SHOWN


def test_no_melt_is_the_neighbour_of_another(asked, unasked):
    for search, names in ((asked, FIVE), (unasked, ("NaCl", "CaCl2", "BaCl2"))):
        places = [np.array([found.composition.mole_percent.get(f, 0.0) for f in names]) / 100 for found in search.melts]
        for i, place in enumerate(places):
            assert all(np.abs(place - other).sum() > APART - 1e-9 for other in places[:i])


def test_searched_counts_the_grids():
    """One salt alone, and every inner point of the grid of each pair that holds the metal's salt."""
    assert find_melts(Wish("Na", ("NaCl", "CaCl2", "KCl"), most=2)).searched == 1 + 2 * (STEPS[2] - 1)
    steps = STEPS[3]
    inner = (steps - 1) * (steps - 2) // 2  # compositions of `steps` into three positive parts
    assert find_melts(Wish("Na", ("NaCl", "CaCl2", "KCl"), most=3)).searched == 1 + 2 * (STEPS[2] - 1) + inner


def test_the_eutectic_of_a_pair_is_found():
    """Refined to 1 mol% on a liquidus of at most 10 K per mol%: within 10 K of the computed eutectic."""
    best = find_melts(Wish("Li", ("LiCl", "KCl"))).melts[0]
    eutectic = lowest(("LiCl", "KCl"))
    assert best.composition.fractions[0] == pytest.approx(eutectic.fractions[0], abs=0.01)
    assert -1e-6 <= best.liquidus.T_K - eutectic.T_K < 10  # at the same melt two ways of solving leave rounding


def test_refinement_beats_the_grid():
    """LiCl-KCl melts lowest near 59 mol% LiCl, between the grid points 57.5 and 60."""
    best = find_melts(Wish("Li", ("LiCl", "KCl"))).melts[0]
    on_grid = [describe_melt(from_amounts({"LiCl": x, "KCl": 100 - x})).liquidus.T_K for x in (57.5, 60)]
    assert min(on_grid) > best.liquidus.T_K


def test_default_temperature_is_liquidus_and_superheat(unasked):
    assert all(abs(found.T_K - found.liquidus.T_K - 30) < 0.01 for found in unasked.melts)


def test_a_liquid_deposit_is_judged_above_the_melting_point():
    for found in find_melts(Wish("Mg", ("KCl", "MgCl2"), deposit="liquid")).melts:
        assert celsius(found.T_K) >= celsius(metal("Mg").melting_point_K) + 20 - 1e-6
        assert found.flotation.state == "liquid"


def test_a_metal_that_comes_second_ranks_below():
    """Sodium comes before lithium at like activities: baths rich in NaCl are no lithium baths."""
    search = find_melts(Wish("Li", ("LiCl", "NaCl", "KCl"), T_K=kelvin(700)))
    beaten = [found.order.couple("Li").gap_V > ALLOY_V for found in search.melts]
    assert beaten == sorted(beaten)
    assert search.melts[0].order.first.metal == "Li"


def test_floating_and_sinking_melts_are_different_ones():
    floats = find_melts(Wish("Mg", FIVE, 2, kelvin(720), "floats"))
    sinks = find_melts(Wish("Mg", FIVE, 2, kelvin(720), "sinks"))
    assert all(found.flotation.difference_g_cm3 > 0 for found in floats.melts)
    assert all(found.flotation.difference_g_cm3 < 0 for found in sinks.melts)
    assert {found.composition for found in sinks.melts}  # lithium chloride makes a bath that magnesium sinks in


def test_counts_add_up(asked):
    """What is left out is counted once, by its first reason, and never exceeds what was looked at."""
    left_out = [int(note.split()[0]) for note in asked.notes if " melts " in note]
    assert 0 < sum(left_out) < asked.searched


def test_nothing_found_says_why():
    search = find_melts(Wish("Ca", ("CaCl2", "NaCl"), below_K=kelvin(300)))
    assert search.melts == ()
    assert f"{search.searched} of {search.searched} melts" not in search.notes[0]  # some starve first
    assert any("freeze above" in note for note in search.notes)
    text = find_text(find_json(Wish("Ca", ("CaCl2", "NaCl")), search))
    assert text.startswith("no melt passes")


def test_a_temperature_below_every_liquidus_finds_nothing():
    search = find_melts(Wish("Na", ("NaCl", "CaCl2"), T_K=kelvin(400)))
    assert search.melts == ()
    assert any("not molten" in note for note in search.notes)


def test_melts_without_a_window_come_last():
    """Borosilicate glass stands too little for any of these baths: listed all the same, each with its clash told."""
    search = find_melts(Wish("Na", ("NaCl", "CaCl2"), vessel="borosilicate glass"))
    exist = [found.window.exists for found in search.melts]
    assert exist == sorted(exist, reverse=True)
    assert all("What would open one" in f.window.explanation for f in search.melts if not f.window.exists)


def test_more_salts_never_make_the_best_worse():
    few = find_melts(Wish("Mg", ("KCl", "MgCl2")))
    more = find_melts(Wish("Mg", ("KCl", "MgCl2", "NaCl")))
    reach = [search.melts[0].liquidus.T_K + search.melts[0].liquidus.sigma_K for search in (few, more)]
    assert reach[1] <= reach[0] + 1e-6


def test_single_salt():
    search = find_melts(Wish("Na", ("NaCl",)))
    assert search.searched == 1
    assert search.melts[0].composition.salts == ("NaCl",)
    assert search.melts[0].order.margin_V is None


def test_fluorides():
    search = find_melts(Wish("Nd", ("NdF3", "LiF", "CaF2"), T_K=kelvin(1050), want="sinks"))
    assert search.melts
    assert all(found.flotation.verdict == "sinks" for found in search.melts)
    assert all(found.order.first.metal == "Nd" for found in search.melts)


@pytest.mark.parametrize(
    ("wish", "message"),
    [
        (Wish("Xx", ("NaCl",)), "'Xx'"),
        (Wish("Mg", ("NaCl", "KCl")), "add MgCl2"),
        (Wish("Pb", ("NaCl", "KCl")), "no such salt"),
        (Wish("Na", ("NaCl", "NaCl")), "different salts"),
        (Wish("Na", ()), "1 to 8"),
        (Wish("Na", tuple(f for f in salts() if salts()[f].anion == "Cl")), "1 to 8"),
        (Wish("Na", ("NaCl", "KCl"), most=0), "1 to 5"),
        (Wish("Na", ("NaCl", "KCl"), most=6), "1 to 5"),
        (Wish("Na", ("NaCl", "KCl"), chance=1.0), "0.5 to below 1"),
        (Wish("Na", ("NaCl", "KCl"), share=(0.5, 0.4)), "the least first"),
        (Wish("Na", ("NaCl", "KCl"), most_cost=3.0), "needs the cost"),
        (Wish("Na", ("NaCl", "KCl"), want="hovers"), "floats and sinks"),
        (Wish("Na", ("NaCl", "KCl"), deposit="gas"), "liquid and solid"),
        (Wish("Na", ("NaCl", "KCl"), superheat_K=-1.0), "0 to 500"),
        (Wish("Na", ("NaCl", "KCl"), vessel="cheese"), "'cheese'"),
        (Wish("Na", ("NaCl", "KCl"), atmosphere="steam"), "air and inert"),
    ],
)
def test_refusals(wish, message):
    with pytest.raises(InputError, match=message):
        find_melts(wish)


def test_dictionary_repeats_the_record(asked):
    found = find_json(ASKED, asked)
    assert found["searched"] == asked.searched
    for entry, record in zip(found["melts"], asked.melts, strict=True):
        assert entry["liquidus_C"] == pytest.approx(celsius(record.liquidus.T_K), abs=0.005)
        assert entry["first_metal"] == record.order.first.metal
        assert entry["margin_V"] == pytest.approx(record.order.margin_V, abs=5e-5)
        assert entry["verdict"] == record.flotation.verdict
        assert entry["window"]["exists"] == record.window.exists
    assert "local codes" in found["cautions"][-1]


def test_text_has_a_line_for_every_melt(asked):
    found = find_json(ASKED, asked)
    lines = find_text(found).splitlines()
    assert lines[0].startswith("mol%")
    for line, entry in zip(lines[1:], found["melts"], strict=False):
        assert all(formula in line for formula in entry["mole_percent"])
        assert entry["verdict"] in line
    assert f"{asked.searched} melts looked at" in lines


@pytest.mark.parametrize("words", ["", "NaCl,", "NaCl,,KCl", "NaCl,NaCl", "NaCl KCl", "NaCI"])
def test_bad_lists_of_salts(words):
    with pytest.raises(InputError, match=r"allowed|did you mean"):
        parse_salts(words)


def test_list_of_salts_may_hold_blanks():
    assert parse_salts("NaCl, KCl") == ("NaCl", "KCl")


def test_ranks_strictly_worsen_only_in_the_last_place(unasked):
    """Without a wish the verdict does not rank: liquidus + sigma grows along melts of the same class."""
    same = [f for f in unasked.melts if f.window.exists and f.order.couple("Na").gap_V <= ALLOY_V]
    totals = [found.liquidus.T_K + found.liquidus.sigma_K for found in same]
    assert all(a <= b for a, b in pairwise(totals))


def test_melts_beyond_the_voltages_and_densities_are_skipped_and_counted():
    # AlF3 itself sublimes at 1276 deg C; its melts with a little NaF would be judged above 2000 K
    found = find_melts(Wish("Al", ("NaF", "AlF3"), 2))
    assert found.melts
    assert all(melt.composition.mole_percent["AlF3"] <= 50 for melt in found.melts)
    counted = [int(note.split()[0]) for note in found.notes if "no voltages" in note or "no density" in note]
    assert len(counted) == 2
    assert 0 < sum(counted) < found.searched


def test_a_metal_that_leaves_as_vapour_can_be_looked_for():
    found = find_melts(Wish("Na", ("NaCl", "KCl"), 2, kelvin(1000)))  # sodium boils at 883 deg C
    assert found.melts[0].flotation.verdict is None


@pytest.mark.slow
def test_two_workers_give_the_answer_of_one(asked):
    with Workers(2) as workers:
        assert find_melts(ASKED, workers) == asked


PEAKS = """
from pathlib import Path
from thermo.answers.finder import Wish, find_melts
wish = Wish("Mg", ("LiCl", "NaCl", "KCl", "RbCl", "MgCl2", "CaCl2", "SrCl2", "BaCl2"), 4, 993.15, "floats")
for _ in range(3):
    searched, told = find_melts(wish).searched, Path("/proc/self/status").read_text()
    print(searched, int(told.split("VmHWM:")[1].split()[0]) / 1024)
"""
OWN_PEAK = Path("/proc/self/status")  # getrusage would count the memory of the process that started this one


@pytest.mark.slow
@pytest.mark.skipif(not OWN_PEAK.exists(), reason="a process's own peak is read from Linux's /proc")
def test_memory_does_not_grow_with_the_number_of_melts():
    """Twice 670,000 melts in the 300 MiB that a worker may take, and as many again in no more (a twentieth for chance).

    After the first search the allocator holds pieces that are used again from then on.
    """
    run = subprocess.run([sys.executable, "-c", PEAKS], capture_output=True, text=True, check=True)
    _, (many, twice), (_, thrice) = (map(float, line.split()) for line in run.stdout.splitlines())
    assert many > 600_000
    assert twice < 300
    assert thrice < 1.05 * twice


def test_progress_is_told_and_can_cancel():
    told = []
    find_melts(Wish("Na", ("NaCl", "KCl", "CaCl2")), progress=lambda done, total: told.append((done, total)))
    assert [done for done, _ in told] == list(range(1, len(told) + 1))
    assert told[-1] == (4, 4)

    def cancel(done, total):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        find_melts(Wish("Na", ("NaCl", "KCl", "CaCl2")), progress=cancel)


def test_an_impossible_wish_says_what_keeps_out_most():
    found = find_melts(Wish("Mg", ("NaCl", "KCl", "MgCl2"), T_K=kelvin(720), want="floats", below_K=kelvin(300)))
    assert not found.melts
    assert found.notes[0].startswith("no melt passes")
    assert "freeze above the limit" in found.notes[0]


def test_every_wish_is_kept():
    cost = {"NaCl": 1.0, "KCl": 2.0, "MgCl2": 10.0, "CaCl2": 3.0}
    wish = Wish("Mg", tuple(cost), T_K=kelvin(720), chance=0.9, margin_V=0.2, share=(0.15, 0.4), vapour_Pa=200.0,
                window_K=100.0, cost=cost, most_cost=4.0)  # fmt: skip
    found = find_melts(wish)
    assert found.melts
    for melt in found.melts:
        assert 0.15 <= melt.composition.mass_percent["MgCl2"] / 100 <= 0.4
        assert melt.order.first.metal == "Mg"
        assert melt.order.margin_V >= 0.2
        assert melt.price <= 4.0
        assert melt.window.high_K - melt.window.low_K >= 100
        assert melt_pressure(melt.composition, melt.T_K) <= 200
        assert ndtr((kelvin(690) - melt.liquidus.T_K) / melt.liquidus.sigma_high_K) >= 0.9


def test_poison_and_water_leave_salts_out():
    listed = ("NaCl", "CaCl2", "BaCl2", "MgCl2")
    assert all("BaCl2" not in names for names in Wish("Na", listed, poison=False).sets())
    assert all("MgCl2" not in names for names in Wish("Na", listed, wet=False).sets())  # no oven dries it
    assert any("BaCl2" in names for names in Wish("Na", listed).sets())


def test_both_anions_may_be_at_hand():
    sets = Wish("Ca", ("CaCl2", "CaF2", "KCl", "ZnCl2"), 2).sets()
    assert ("CaCl2", "CaF2") in sets
    assert ("CaF2", "ZnCl2") not in sets  # the data have no ZnF2
    best = find_melts(Wish("Ca", ("CaCl2", "CaF2"))).melts[0]
    assert best.liquidus.T_K <= lowest(("CaCl2", "CaF2")).T_K + 1.0


def test_what_nothing_beats_is_marked(asked):
    assert 0 in asked.pareto
    low = [m.liquidus.T_K + m.liquidus.sigma_K for m in asked.melts]
    assert int(np.argmin(np.maximum(low, 0))) in asked.pareto or len(asked.pareto) < len(asked.melts)


LOWEST = [("LiCl", "KCl"), ("CaCl2", "NaCl"), ("RbCl", "CaCl2", "LaCl3"), ("NaF", "BaF2", "MgF2")]


@pytest.mark.parametrize("names", LOWEST, ids="-".join)
def test_the_lowest_melt_is_that_of_the_data(names):
    """Find ends within a kelvin and a mol% of the lowest melt (sets of which no melt of three salts was measured)."""
    assert not speaking_rows(names)
    wish = Wish(salts()[names[0]].cation, names, len(names), deposit="solid", share=(0.0, 1.0))
    point = lowest(names)
    found = [m for m in find_melts(wish).melts if set(m.composition.salts) == set(names)]
    best = min(found, key=lambda m: m.liquidus.T_K)
    assert pytest.approx(point.T_K, abs=1.0) == best.liquidus.T_K
    assert [best.composition.mole_percent[f] / 100 for f in names] == pytest.approx(point.fractions, abs=0.01)
