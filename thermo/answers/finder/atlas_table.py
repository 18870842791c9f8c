"""The atlas as a table: how its rows are written to data/fitted/atlas.csv, and read again as the answer to a wish.

Columns in data/README.md. Reading answers every bath anew with today's data, so that a row that has grown stale shows
itself. Limits: only what the atlas kept. Worked value: sodium's baths of two salts hold NaCl-CaCl2.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from thermo.answers.finder.atlas import Key, Row, answered_again, key_of, ranked_rows
from thermo.answers.finder.atlas_sets import KINDS, metals_of_the_atlas
from thermo.answers.finder.found import FoundMelt, final_rank, found_melt, width_K
from thermo.answers.finder.search import SHOWN, Search, Tally, pareto
from thermo.answers.finder.sweep import Swept, candidate, judge
from thermo.answers.finder.wish import Wish
from thermo.engine.spread import spread
from thermo.engine.workers import Workers
from thermo.records.composition import Composition, from_amounts, parse_amounts
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.remembered import remembered
from thermo.records.units import celsius, kelvin


@dataclass(frozen=True)
class AtlasRow:
    """One bath: metal, kind, rank among those of as many salts, the melt, the temperature it was judged at (K)."""

    metal: str
    kind: str
    rank: int
    composition: Composition
    T_K: float
    liquidus_K: float
    sigma_K: float
    published: str
    behind: str
    made: str
    commit: str

    @property
    def in_use(self) -> str:
        """Where a published bath stands, and why not first, in one line."""
        mix = ", ".join(f"{formula} {x:.1f}" for formula, x in self.composition.mole_percent.items())
        kind = "baths of chloride with fluoride" if self.kind == "both" else self.kind
        place = f"number {self.rank} among {kind} of {len(self.composition.salts)} salts"
        why = f": the first has {self.behind}" if self.behind else ""
        return f"in use: {mix} mol%, {place}{why} ({sources()[self.published].short})"


def table(rows: Sequence[Row], made: str, commit: str) -> list[dict[str, str]]:
    """The rows as data/fitted/atlas.csv holds them."""
    return [
        {
            "metal": row.metal,
            "kind": row.kind,
            "rank": str(row.rank),
            "bath": " ".join(f"{f}={x:.2f}" for f, x in row.melt.composition.mole_percent.items()),
            "T_C": f"{celsius(row.melt.T_K):.1f}",
            "liquidus_C": f"{celsius(row.melt.liquidus.T_K):.1f}",
            "sigma_K": f"{row.melt.liquidus.sigma_K:.1f}",
            "first_solid": row.melt.liquidus.first_solid,
            "verdict": row.melt.flotation.verdict or "vapour",
            "window_K": f"{width_K(row.melt.window):.0f}",
            "first_metal": row.melt.order.first.metal,
            "status": row.melt.liquidus.status,
            "rests_on": row.melt.liquidus.rests_on,
            "published": row.source,
            "behind": row.behind,
            "made": made,
            "commit": commit,
        }
        for row in rows
    ]


@remembered
def atlas() -> tuple[AtlasRow, ...]:
    """data/fitted/atlas.csv, in file order."""
    return tuple(
        AtlasRow(
            row["metal"],
            row["kind"],
            int(row["rank"]),
            from_amounts(parse_amounts(row["bath"].split())),
            kelvin(float(row["T_C"])),
            kelvin(float(row["liquidus_C"])),
            float(row["sigma_K"]),
            row["published"],
            row["behind"],
            row["made"],
            row["commit"],
        )
        for row in read_table("fitted/atlas.csv")
    )


def kept_on(anew: Sequence[Row], symbols: Sequence[str], kinds: Sequence[str], workers: Workers | None) -> list[Row]:
    """The whole atlas where only these metals and kinds were computed anew: all other stored baths are answered again.

    anew: the rows of that run. Compositions of the rest are those of earlier runs; figures and ranks are today's.
    """
    rest = [
        (row.metal, row.composition)
        for row in atlas()
        if not row.published and not (row.metal in symbols and row.kind in kinds)
    ]
    melts: dict[Key, list[FoundMelt]] = {}
    for (symbol, melt), found in zip(rest, spread(answered_again, rest, workers), strict=True):
        melts.setdefault(key_of(symbol, melt), []).append(found)
    for row in anew:
        if not row.source:
            melts.setdefault(key_of(row.metal, row.melt.composition), []).append(row.melt)
    return ranked_rows(metals_of_the_atlas(), KINDS, melts)


def _bath(row: AtlasRow) -> frozenset[tuple[str, float]]:
    """Salts and fractions in any order: a bath found by the search and one in print may be the same."""
    return frozenset(zip(row.composition.salts, row.composition.fractions, strict=True))


def search_atlas(wish: Wish, shown: int = SHOWN) -> Search:
    """The atlas's melts for the wish's metal that keep the wish, answered anew and ranked by it."""
    wish.check()
    rows = list({_bath(row): row for row in atlas() if row.metal == wish.symbol}.values())
    if not rows:
        raise InputError(
            f"metal {wish.symbol!r}: the atlas has none of its baths; compute it with: python -m thermo atlas"
        )
    total, melts = Tally(), []
    for row in rows:
        names = row.composition.salts
        judged = judge(wish, names, row.composition.array[None, :])
        out = [name for name, broken in judged.broken.items() if broken[0]]
        allowed = len(names) <= wish.most and set(names) <= set(wish.usable)
        alone = {out[0]: 1} if len(out) == 1 else {}
        total.add(Swept(1, {out[0]: 1} if out else {}, alone, 0, ()))
        if allowed and not out:
            melts.append(found_melt(wish, candidate(wish, names, judged, 0)))
    ranked = sorted(total.checked(wish, melts), key=lambda m: final_rank(wish, m))[:shown]
    made = (
        f"from the atlas of {rows[0].made} (commit {rows[0].commit}): --workers 2 searches all salts for this very wish"
    )
    in_use = [row.in_use for row in atlas() if row.metal == wish.symbol and row.published]
    notes = (*total.notes(wish, bool(ranked)), *in_use, made)
    return Search(tuple(ranked), total.searched, notes, pareto(wish, ranked))
