"""The atlas: a sample of its rows computed again, baths of the trade in it, and how it is put together."""

import pytest

from thermo.answers.deposition import deposition_order
from thermo.answers.evidence.start_of_freezing import start_of_freezing
from thermo.answers.finder import atlas_table
from thermo.answers.finder.atlas import (
    APART,
    KEPT,
    atlas_wish,
    compute,
    cost,
    kind_of,
    metals_of_the_atlas,
    sets_of_every_four,
)
from thermo.answers.finder.atlas_table import atlas, kept_on, search_atlas, table
from thermo.answers.finder.search import final_rank
from thermo.answers.finder.wish import Wish
from thermo.records.composition import Composition, parse_amounts
from thermo.records.provenance import InputError, read_table
from thermo.records.substances import salts

ROWS = read_table("fitted/atlas.csv")
SAMPLE = [(row["metal"], row["bath"]) for row in ROWS[::19]]
# baths of the trade as handbooks name them, from memory: metal, its salts
TRADE = [
    ("Mg", ("MgCl2", "NaCl", "KCl")),
    ("Li", ("LiCl", "KCl")),
    ("Na", ("NaCl", "CaCl2")),
    ("Ca", ("CaCl2",)),
    ("Al", ("NaF", "AlF3")),
    ("Nd", ("LiF", "NdF3")),
]


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


@pytest.mark.parametrize(("symbol", "names"), TRADE, ids=[symbol for symbol, _ in TRADE])
def test_baths_of_the_trade_stand_in_it(symbol, names):
    """At the rank they have, or as a published bath with the reason why another ranks before."""
    found = [row for row, entry in zip(ROWS, atlas(), strict=True)
             if entry.metal == symbol and set(entry.composition.salts) == set(names)]  # fmt: skip
    assert found
    assert any(int(row["rank"]) <= KEPT or row["behind"] for row in found)


def test_it_answers_a_wish():
    found = search_atlas(Wish("Na", tuple(salts()), most=2))
    assert {"NaCl", "CaCl2"} in [set(melt.composition.salts) for melt in found.melts]
    assert all(len(melt.composition.salts) <= 2 for melt in found.melts)
    assert any("atlas of" in note for note in found.notes)
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
    sets, melts = cost(("Zn",))
    assert sets == 1 + 12 + 66  # zinc chloride alone, with one, with two of the twelve other chlorides
    assert melts == 1 + 12 * 24 + 66 * (24 * 23 // 2)
    assert sets_of_every_four(("Zn",)) == (220, 220 * 18424)  # three of the twelve; 49 over 3 melts each


@pytest.mark.slow
def test_one_metal_is_computed_and_ranked():
    """Zinc has chlorides only: one to four salts, at most KEPT of each, no two neighbours, ranked as find ranks."""
    rows, searched = compute(("Zn",))
    assert searched > cost(("Zn",))[1]
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
