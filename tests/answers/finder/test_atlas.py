"""The atlas: a sample of its rows computed again, baths of the trade in it, and how it is put together."""

import pytest

from thermo.answers.deposition import deposition_order
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.finder import atlas_table
from thermo.answers.finder.atlas import APART, KEPT, REASONS, compute
from thermo.answers.finder.atlas_sets import (
    atlas_wish,
    cost,
    kind_of,
    look,
    metals_of_the_atlas,
    sets_of_every_four,
    sets_of_four,
    sets_of_three,
)
from thermo.answers.finder.atlas_table import atlas, kept_on, search_atlas, table
from thermo.answers.finder.found import final_rank
from thermo.answers.finder.wish import WANTS, Wish, complete
from thermo.answers.flotation import float_or_sink
from thermo.answers.ranking import KNOWN_K, METAL_MARGIN_K
from thermo.records.cell_practice import baths_in_use
from thermo.records.composition import Composition, from_amounts, parse_amounts
from thermo.records.provenance import InputError, read_table
from thermo.records.substances import metal, salts
from thermo.records.units import celsius

ROWS = read_table("fitted/atlas.csv")
SAMPLE = [(row["metal"], row["bath"]) for row in ROWS[::19]]
# baths of the trade as handbooks name them, from memory: metal, its salts
TRADE = [
    ("Mg", ("MgCl2", "NaCl", "KCl")),
    ("Mg", ("MgCl2", "NaCl", "CaCl2")),
    ("Mg", ("MgCl2", "NaCl", "KCl", "CaCl2")),
    ("Li", ("LiCl", "KCl")),
    ("Na", ("NaCl", "CaCl2")),
    ("Na", ("NaCl", "CaCl2", "BaCl2")),
    ("Ca", ("CaCl2",)),
    ("Ca", ("CaCl2", "KCl")),
    ("Ca", ("CaCl2", "CaF2")),
    ("Al", ("NaF", "AlF3")),
    ("Al", ("NaF", "AlF3", "CaF2")),
    ("Al", ("NaF", "AlF3", "CaF2", "LiF")),
    ("Nd", ("LiF", "NdF3")),
    ("Nd", ("LiF", "NdF3", "BaF2")),
    ("Nd", ("NdCl3", "LiCl", "KCl")),
]
IN_USE = [(row, entry) for row, entry in zip(ROWS, atlas(), strict=True) if row["published"]]


def test_every_metal_of_the_salts_is_there():
    assert {row.metal for row in atlas()} == set(metals_of_the_atlas())
    assert len({(row["made"], row["commit"]) for row in ROWS}) == 1
    assert len(ROWS) > 180


@pytest.mark.parametrize("sample", SAMPLE, ids=lambda sample: f"{sample[0]}-{sample[1].replace(' ', '-')}")
def test_a_sample_is_computed_again(sample):
    n = [(row["metal"], row["bath"]) for row in ROWS].index(sample)
    entry, row = atlas()[n], ROWS[n]
    start = start_of_freezing(entry.composition)
    assert pytest.approx(entry.liquidus_K, abs=0.5) == start.T_K  # the melt is printed to 0.01 mol%
    if start.first_solid == row["first_solid"]:  # at a eutectic the last digit decides which solid is first
        assert start.sigma_K == pytest.approx(entry.sigma_K, abs=1.0)
    assert deposition_order(entry.composition, entry.T_K, entry.metal).first.metal == row["first_metal"]
    assert kind_of(entry.composition.salts) == row["kind"]


@pytest.mark.parametrize(("symbol", "names"), TRADE, ids=[f"{symbol}-{'-'.join(names)}" for symbol, names in TRADE])
def test_baths_of_the_trade_stand_in_it(symbol, names):
    """At the rank they have, or as a bath in use with the reason why another ranks before."""
    found = [row for row, entry in zip(ROWS, atlas(), strict=True)
             if entry.metal == symbol and set(entry.composition.salts) == set(names)]  # fmt: skip
    assert found
    assert any(not row["published"] or row["behind"] or row["rank"] == "1" for row in found)


def test_every_bath_in_use_stands_in_it():
    """Each bath of the two tables once, as a row of its metal, but for salts of which the data lack a partner."""
    wanted = sorted(
        (symbol, source)
        for symbol, bath, basis, source in baths_in_use()
        if complete(from_amounts(parse_amounts(bath.split()), basis).salts)
    )
    assert sorted((row["metal"], row["published"]) for row, _ in IN_USE) == wanted


def first_of(entry, row):
    """The row that is first in rank among the baths of the same metal, kind and number of salts, or None."""
    count = len(entry.composition.salts)
    for other, rival in zip(ROWS, atlas(), strict=True):
        alike = (other["metal"], other["kind"], len(rival.composition.salts)) == (row["metal"], row["kind"], count)
        if alike and other["rank"] == "1" and not other["published"]:
            return other, rival
    return None


def low_end_C(row):
    """Printed figures to the low end of what can be run: liquidus and band with 30 K, or the metal's melting point."""
    own = celsius(metal(row["metal"]).melting_point_K) + METAL_MARGIN_K
    return max(float(row["liquidus_C"]) + float(row["sigma_K"]) + 30.0, own)


def window_holds(entry):
    freezing = start_of_freezing(entry.composition)
    window = atlas_wish(entry.metal).window(entry.composition, freezing.T_K, freezing.sigma_K)
    return window.holds(entry.T_K)


def doubt(row):
    order = WANTS[atlas_wish(row["metal"]).want]
    place = order.index(row["verdict"]) if row["verdict"] in order else len(order)
    return place + (float(row["sigma_K"]) > KNOWN_K)


def margin(entry):
    side = {"floats": 1, "sinks": -1}[atlas_wish(entry.metal).want]
    return side * float_or_sink(entry.composition, entry.metal, entry.T_K).difference_g_cm3


@pytest.mark.parametrize("n", range(len(IN_USE)), ids=[f"{row['metal']}-{row['bath']}" for row, _ in IN_USE])
def test_the_reason_why_another_ranks_before_is_true(n):
    """Shown by the printed figures of both where they are printed; window, margin and other metal by their answers."""
    row, entry = IN_USE[n]
    found = first_of(entry, row)
    if found is None or row["rank"] == "1":
        assert not row["behind"], "behind nothing"
        return
    assert row["behind"]
    first, rival = found
    better = {
        "an open window": lambda: window_holds(rival) and not window_holds(entry),
        "no other metal before": lambda: row["first_metal"] != row["metal"],
        "a surer verdict": lambda: doubt(first) < doubt(row),
        "a colder low end": lambda: low_end_C(first) < low_end_C(row),
        "a window of 50 K": lambda: float(first["window_K"]) > float(row["window_K"]) < 50,
        "a larger margin in density": lambda: min(margin(rival), 0.15) > margin(entry),
        "a wider window": lambda: min(float(first["window_K"]), 300.0) > float(row["window_K"]),
        "a colder liquidus": lambda: low_end_C(first) - 200 < float(row["liquidus_C"]) + float(row["sigma_K"])
        > float(first["liquidus_C"]) + float(first["sigma_K"]),
    }  # fmt: skip
    assert set(better) == set(REASONS)
    assert better[row["behind"]](), (row, first)


def test_it_answers_a_wish():
    found = search_atlas(Wish("Na", tuple(salts()), most=2))
    assert {"NaCl", "CaCl2"} in [set(melt.composition.salts) for melt in found.melts]
    assert all(len(melt.composition.salts) <= 2 for melt in found.melts)
    assert any("atlas of" in note for note in found.notes)
    published = [row for row in atlas() if row.metal == "Na" and row.published]
    assert [note for note in found.notes if note.startswith("in use: ")] == [row.in_use for row in published]
    assert any("NaCl 57.9, CaCl2 42.1 mol%, number" in row.in_use for row in published)
    with pytest.raises(InputError, match="no such salt"):
        search_atlas(Wish("Pb", tuple(salts())))


CALCIUM_CHLORIDE = Composition(("CaCl2",), (1.0,))


def test_a_bath_of_the_search_that_is_in_print_too_is_listed_once():
    stored = [row.composition for row in atlas() if row.metal == "Ca"]
    assert stored.count(CALCIUM_CHLORIDE) == 2, "no bath is stored twice: this test shows nothing"
    found = [melt.composition for melt in search_atlas(Wish("Ca", tuple(salts())), shown=len(stored)).melts]
    assert found.count(CALCIUM_CHLORIDE) == 1
    assert len(set(found)) == len(found)


def test_what_is_light_is_wanted_floating():
    wanted = {symbol: atlas_wish(symbol).want for symbol in ("Mg", "Na", "Ca", "Al", "Nd")}
    assert wanted == {"Mg": "floats", "Na": "floats", "Ca": "floats", "Al": "sinks", "Nd": "sinks"}


def test_cost_counts_sets_and_melts():
    """Zinc chloride alone, with one, with two, with three of the twelve other chlorides."""
    found = cost(("Zn",))
    assert found["one to three salts"] == (1 + 12 + 66, 1 + 12 * 24 + 66 * (24 * 23 // 2))
    assert found["four salts, coarsely"] == (220, 220 * (9 * 8 * 7 // 6))
    sets, melts = sets_of_every_four()
    assert melts == sets * 18424  # 49 over 3 melts each


def test_a_set_is_looked_at_once_for_all_its_metals():
    """What a set gives a metal is the same whether others are asked for beside it or not."""
    names = ("NaCl", "CaCl2")
    (both,) = [task for task in sets_of_three(("Na", "Ca")) if task.names == names]
    assert both.metals == ("Na", "Ca")
    together = look(both)
    for n, symbol in enumerate(both.metals):
        (alone,) = [task for task in sets_of_three((symbol,)) if task.names == names]
        assert look(alone).best == (together.best[n],)
    assert len({task.names for task in sets_of_four(("Na", "Ca"))}) == len(sets_of_four(("Na", "Ca")))


@pytest.mark.slow
def test_one_metal_is_computed_and_ranked():
    """Zinc has chlorides only: one to four salts, at most KEPT of each, no two neighbours, ranked as find ranks."""
    rows, searched = compute(("Zn",))
    assert searched > sum(cost(("Zn",))[stage][1] for stage in ("one to three salts", "four salts, coarsely"))
    assert {row.kind for row in rows} == {"chlorides"}
    for count in (1, 2, 3, 4):
        melts = [row.melt for row in rows if not row.source and len(row.melt.composition.salts) == count]
        assert 1 <= len(melts) <= KEPT
        ranks = [final_rank(atlas_wish("Zn"), melt) for melt in melts]
        assert ranks == sorted(ranks)
        shares = [melt.composition.mole_percent for melt in melts]
        for n, one in enumerate(shares):
            for other in shares[:n]:
                assert sum(abs(one.get(f, 0) - other.get(f, 0)) for f in {*one, *other}) > 100 * APART - 1e-6
    assert {"KCl", "ZnCl2"} in [set(row.melt.composition.salts) for row in rows]
    (published,) = [row for row in rows if row.source]
    assert published.source == "ri8133"  # 20 ZnCl2, 40 LiCl, 40 KCl: freezes 20 K hotter than the best of three salts
    assert published.behind == "a colder low end"
    printed = table(rows, "2026-11-29", "abc")
    assert all(kind_of(tuple(parse_amounts(row["bath"].split()))) == row["kind"] for row in printed)


def test_stored_baths_are_answered_again_where_only_some_metals_are_computed(monkeypatch):
    """Zinc's stored baths: the same melts, ranked from 1 on, and what was published after them."""
    zinc = tuple(row for row in atlas() if row.metal == "Zn")
    monkeypatch.setattr(atlas_table, "atlas", lambda: zinc)
    monkeypatch.setattr(atlas_table, "metals_of_the_atlas", lambda: ("Zn",))
    found = kept_on([], (), (), None)
    own = [row for row in found if not row.source]
    stored = {row.composition.salts for row in zinc if not row.published}
    assert {row.melt.composition.salts for row in own} <= stored
    assert len(own) >= len(stored) // 2  # of two that today rank as neighbours one is left
    for count in (1, 2, 3, 4):
        ranks = [row.rank for row in own if len(row.melt.composition.salts) == count]
        assert ranks == list(range(1, len(ranks) + 1))
    assert [row.source for row in found if row.source] == [row.published for row in zinc if row.published]
    assert kept_on([], ("Zn",), ("chlorides",), None) == []  # computed anew, and nothing found
