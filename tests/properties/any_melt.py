"""Any melt that the program accepts, drawn by hypothesis, and a decorator that tries a law on many of them.

    @tried(40, melt=melts())
    def test_the_order_of_the_salts_does_not_matter(melt): ...

Each test prints how many cases it drew and how many of them had anything to compare (`pytest -s`), and fails where
those are too few. The suite draws the same cases every time; MELTWRIGHT_TRIALS=10 draws ten times as many, new ones.
"""

import os
from collections.abc import Callable

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.each import NOTHING
from thermo.records.composition import Composition, from_amounts
from thermo.records.substances import metals, salts

TIMES = int(os.environ.get("MELTWRIGHT_TRIALS", "0"))
MOST = 6 if TIMES else 4  # cations: short trials keep to quick melts
OF_ANION = {anion: sorted(f for f, s in salts().items() if s.anion == anion) for anion in ("Cl", "F")}
BOTH = sorted({salts()[f].cation for f in OF_ANION["Cl"]} & {salts()[f].cation for f in OF_ANION["F"]})
SYMBOLS = sorted(metals())
FEW = 20  # where fewer are drawn each is slow, and making a failing one simpler would take minutes
PHASES = (Phase.explicit, Phase.generate, Phase.shrink)
AMOUNTS = st.one_of(st.integers(1, 100).map(float), st.floats(0.01, 100.0))


def tried(examples: int, least: float = 0.5, **drawn: st.SearchStrategy) -> Callable:
    """Decorator: tries the law on so many cases, of which at least the share `least` must have had something to say."""

    def decorate(law: Callable) -> Callable:
        def test():
            counts = {"drawn": 0, "compared": 0}

            @settings(
                max_examples=examples * max(TIMES, 1),
                deadline=None,
                derandomize=not TIMES,
                database=None,
                phases=PHASES if examples > FEW else PHASES[:-1],
                suppress_health_check=list(HealthCheck),
            )
            @given(**drawn)
            def one(**case):
                counts["drawn"] += 1
                counts["compared"] += law(**case) != NOTHING

            one()
            print(f"\n{law.__name__}: {counts['drawn']} drawn, {counts['compared']} compared")
            assert counts["drawn"] > 0
            assert counts["compared"] >= least * counts["drawn"]

        test.__name__, test.__doc__, test.__module__ = law.__name__, law.__doc__, law.__module__
        return test

    return decorate


def _mix(names: list[str]) -> st.SearchStrategy[Composition]:
    amounts = st.lists(AMOUNTS, min_size=len(names), max_size=len(names))
    return amounts.map(lambda parts: from_amounts(dict(zip(names, parts, strict=True))))


def one_anion(least: int = 1, most: int = MOST) -> st.SearchStrategy[Composition]:
    """Chlorides or fluorides; AlF3 up to half."""
    pools = st.sampled_from([OF_ANION["Cl"], OF_ANION["F"]])
    names = pools.flatmap(lambda pool: st.lists(st.sampled_from(pool), min_size=least, max_size=most, unique=True))
    return names.flatmap(_mix).filter(lambda melt: melt.mole_percent.get("AlF3", 0.0) <= 50.0)


def aluminium_baths(most: int = MOST) -> st.SearchStrategy[Composition]:
    """Fluorides of which 2 to 50 mol% is AlF3."""
    others = [f for f in OF_ANION["F"] if f != "AlF3"]
    names = st.lists(st.sampled_from(others), min_size=1, max_size=most - 1, unique=True)
    return st.tuples(names.flatmap(_mix), st.floats(0.02, 0.5)).map(
        lambda drawn: from_amounts(
            {f: (1 - drawn[1]) * x for f, x in zip(drawn[0].salts, drawn[0].fractions, strict=True)}
            | {"AlF3": drawn[1]}
        )
    )


def two_anions(most: int = 3) -> st.SearchStrategy[Composition]:
    """Fluorides with chlorides, of cations that have both."""
    listed = [f for f, s in salts().items() if s.cation in BOTH]
    names = st.lists(st.sampled_from(sorted(listed)), min_size=2, max_size=most, unique=True)
    both = names.filter(lambda chosen: len({salts()[f].anion for f in chosen}) == 2)
    return both.flatmap(_mix)


def melts(most: int = MOST) -> st.SearchStrategy[Composition]:
    """Any of these."""
    return st.one_of(one_anion(most=most), one_anion(most=most), aluminium_baths(most), two_anions())
