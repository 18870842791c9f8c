"""The atlas: how it is put together, and a metal of it computed."""

import pytest

from thermo.answers.finder.atlas import APART, KEPT, atlas_wish, compute, cost, kind_of, sets_of_every_four
from thermo.answers.finder.atlas_table import table
from thermo.answers.finder.search import final_rank
from thermo.records.composition import parse_amounts


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
