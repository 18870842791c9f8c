"""The public names: everything the command line answers, for a notebook or a script.

    import thermo
    melt = thermo.Melt("NaCl=48 CaCl2=52")
    melt.liquidus.T_C, melt.at(600, metal="Na").verdict

Temperatures in degrees Celsius, as the names say (`t_C`, `T_C`); densities g/cm3, masses g, charge A h. What a name
gives is an `Answer`: read it by attribute, `.as_dict()` is the JSON of the command of the same name, `.to_frame()` a
pandas frame; only `Pair.curve` and `field` give arrays. Wrong input raises InputError, a question beyond the data
RangeError, each with one line that says what is allowed.
Limits: those of the answers. Worked value: Pair("LiF", "NaF") has one eutectic near 650 deg C.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from types import MappingProxyType
from typing import Any

from thermo.answers.cell import describe_cell
from thermo.answers.cooling.curve import check_cooling
from thermo.answers.drying_schedule import drying_schedule
from thermo.answers.evidence.melts import coldest
from thermo.answers.finder import Wish, find_melts
from thermo.answers.many_melts import Field, PairCurve, curve_of, field
from thermo.answers.melt import describe_melt
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.wish import PlanWish
from thermo.answers.run.facts import run_of
from thermo.answers.run.planned import beside, planned_of
from thermo.answers.run.review import review as review_of
from thermo.answers.weighing import weigh_out, weighed_as_dry
from thermo.api_words import cell_run, run_words
from thermo.equilibrium.invariants.lowest import lowest as lowest_of
from thermo.equilibrium.invariants.pair import pair_invariants
from thermo.present.as_json.answer import Answer, Answers, MeltAt
from thermo.present.as_json.cell import cell_json
from thermo.present.as_json.cooling import cooling_json
from thermo.present.as_json.find import find_json
from thermo.present.as_json.melt import melt_json, salts_json
from thermo.present.as_json.pair import lowest_json, pair_json
from thermo.present.as_json.plan import plan_json
from thermo.present.as_json.review import beside_json, review_json
from thermo.present.as_json.weigh import weigh_json
from thermo.records.composition import Composition, from_amounts
from thermo.records.fitted import pair_models
from thermo.records.logger import Log, parse_columns
from thermo.records.logger import read_log as read_text
from thermo.records.provenance import InputError, RangeError
from thermo.records.published import ternary_points
from thermo.records.recipe import read_recipe
from thermo.records.substances import salt
from thermo.records.units import temperature_K

# fmt: off
__all__ = ["Answer", "Field", "InputError", "Melt", "Pair", "PairCurve", "RangeError", "field", "find", "lowest",
           "metals", "read_log", "review", "salts"]
# fmt: on
Amounts = Mapping[str, float] | str
NOTHING: Mapping[str, Any] = MappingProxyType({})


class Melt:
    """A melt by its amounts: a mapping of salt to amount, or a recipe as people write it; basis "mol" or "mass".

    >>> melt = Melt({"NaCl": 48, "CaCl2": 52})
    >>> melt
    <Melt NaCl=48 CaCl2=52 mol%>
    >>> 480 < melt.liquidus.T_C < 520
    True
    >>> melt.at(600, metal="Na").verdict
    'floats'
    >>> Melt("NaCl=32.71 CaCl2=67.29", basis="mass")
    <Melt NaCl=48 CaCl2=52 mol%>
    """

    def __init__(self, amounts: Amounts, basis: str = "mol"):
        self.read_as: tuple[str, ...] = ()  # what a recipe's words were counted as
        if isinstance(amounts, str):
            recipe = read_recipe(amounts, basis)
            amounts, basis, self.read_as = dict(recipe.amounts), recipe.basis, recipe.notes
        self.composition: Composition = from_amounts(amounts, basis).present

    @property
    def mole_percent(self) -> dict[str, float]:
        """mol% by salt."""
        return self.composition.mole_percent

    @property
    def mass_percent(self) -> dict[str, float]:
        """mass% by salt."""
        return self.composition.mass_percent

    @cached_property
    def _plain(self) -> MeltAt:
        return self._described()

    def _described(self, metal: str | None = None, t_C: float | None = None, **wishes: Any) -> MeltAt:
        T_K = None if t_C is None else temperature_K(t_C, "t_C")
        return MeltAt(melt_json(describe_melt(self.composition, metal, T_K, **wishes)), repr(self)[1:-1])

    @property
    def liquidus(self) -> Answer:
        """Where freezing starts: T_C, sigma_K, first_solid, status and what it rests on."""
        return self._plain.liquidus

    @property
    def solidus(self) -> Answer:
        """Where the last of it freezes: T_C, sigma_K, solids."""
        return self._plain.solidus

    @property
    def published(self) -> Sequence[Answer]:
        """Published melts like this one, the nearest first."""
        return self._plain.published

    @property
    def sources(self) -> Sequence[str]:
        """Full citations behind the figures."""
        return self._plain.sources

    @property
    def notes(self) -> Sequence[str]:
        """What must be said about the figures."""
        return self._plain.notes

    @property
    def cautions(self) -> Sequence[str]:
        """The dangers that go with the salts."""
        return self._plain.cautions

    def at(self, t_C: float, metal: str | None = None, **wishes: Any) -> MeltAt:
        """All answers at t_C; wishes: deposit, superheat_K, vessel, atmosphere."""
        return self._described(metal, t_C, **wishes)

    def window(self, metal: str | None = None, **wishes: Any) -> Answer:
        """Between which temperatures a cell with it can run; wishes as in `at`."""
        return self._described(metal, **wishes).window

    def cell(self, metal: str, t_C: float, amps: float, hours: float, **typed: Any) -> Answer:
        """One run of a cell; typed: fields of CellRun, and cathode_cm2, anode_cm2, gap_cm, gas_C, gas_kPa."""
        run = cell_run(amps, hours, typed)
        found = cell_json(describe_cell(self.composition, metal, temperature_K(t_C, "t_C"), run))
        return Answer(found, f"{metal} from {repr(self)[6:-1]}", "drift" if found["drift"] else "")

    def weigh(
        self, total_g: float, bottles: Mapping[str, str] | None = None, assays: Mapping[str, float] | None = None
    ):
        """What to weigh out; bottles {"CaCl2": "CaCl2.2H2O"}, assays {"CaCl2": 0.77}."""
        weighing = weigh_out(self.composition, total_g, bottles or {}, assays or {})
        taken = bottles or {}
        found = weigh_json(weighing, weighed_as_dry(weighing, taken), drying_schedule(weighing, taken))
        return Answer(found, f"weigh-out of {repr(self)[6:-1]}")

    def cooling(self, arrests_C: Iterable[float], reading_sigma_K: float = 3.0, spread_percent: float = 10.0) -> Answer:
        """Arrests read while it cools, held against it."""
        arrests = tuple(temperature_K(t_C, "arrest") for t_C in arrests_C)
        check = check_cooling(self.composition, arrests, reading_sigma_K, spread_percent / 100)
        return Answer(cooling_json(check), "cooling", "arrests")

    def plan(self, metal: str, want_g: float, t_C: float | None = None, **typed: Any) -> Answer:
        """A run as steps; typed: total_g, bottles, assays, supply_V, pot_mL and the other fields of PlanWish."""
        T_K = None if t_C is None else temperature_K(t_C, "t_C")
        found = plan_json(make_plan(PlanWish(self.composition, metal, want_g, T_K=T_K, **typed)))
        return Answer(found, f"plan for {want_g:g} g {metal}", "steps")

    def as_dict(self) -> dict[str, Any]:
        """The JSON of the command `melt`."""
        return self._plain.as_dict()

    def to_frame(self):
        """One line with every figure."""
        return self._plain.to_frame()

    def __repr__(self) -> str:
        return f"<Melt {' '.join(f'{f}={share:.4g}' for f, share in self.mole_percent.items())} mol%>"

    def _repr_html_(self) -> str:
        return self._plain._repr_html_()


class Pair:
    """Two salts of one anion or of one cation.

    >>> pair = Pair("LiF", "NaF")
    >>> pair
    <Pair LiF-NaF, fitted>
    >>> [(point.kind, round(point.T_C, -1)) for point in pair.invariants]
    [('eutectic', 650.0)]
    """

    def __init__(self, first: str, second: str):
        points = pair_invariants(salt(first).formula, salt(second).formula)
        self._answer = Answer(
            pair_json(first, second, points, pair_models()[frozenset((first, second))]), "", "invariants"
        )
        self.salts = (first, second)

    @property
    def status(self) -> str:
        """fitted or estimated."""
        return self._answer.status

    @property
    def invariants(self) -> Sequence[Answer]:
        """Eutectics, peritectics, minima and melting compounds, by the second salt's share."""
        return self._answer.invariants

    def curve(self, points: int = 401) -> PairCurve:
        """The liquidus on an even grid of the second salt's share."""
        return curve_of(*self.salts, points)

    def as_dict(self) -> dict[str, Any]:
        """The JSON of the command `pair`."""
        return self._answer.as_dict()

    def to_frame(self):
        """The invariants, one a line."""
        return self._answer.to_frame()

    def __repr__(self) -> str:
        return f"<Pair {'-'.join(self.salts)}, {self.status}>"

    def _repr_html_(self) -> str:
        return self._answer._repr_html_()


def lowest(*formulas: str) -> Answer:
    """The lowest-melting mix of two to six salts.

    >>> found = lowest("LiF", "NaF", "KF")
    >>> 440 < found.T_C < 470, sorted(found.solids)
    (True, ['KF', 'LiF', 'NaF'])
    """
    point = lowest_of(formulas)
    published = coldest(ternary_points(*point.salts))
    return Answer(lowest_json(point, Composition(point.salts, point.fractions), published), "lowest melt")


def find(metal: str, among: Iterable[str], max_salts: int = 3, t_C: float | None = None, want: str | None = None,
         below_C: float | None = None, **wishes: Any) -> Answer:  # fmt: skip
    """Melts of the salts at hand that suit a metal, best first; wishes: superheat_K, deposit, vessel, atmosphere.

    >>> find("Na", ["NaCl", "CaCl2"], max_salts=2).melts[0].verdict
    'floats'
    """
    T_K, below_K = (None if t is None else temperature_K(t, name) for t, name in ((t_C, "t_C"), (below_C, "below_C")))
    wish = Wish(metal, tuple(among), max_salts, T_K, want, below_K, **wishes)
    return Answer(find_json(wish, find_melts(wish)), f"melts for {metal}", "melts")


def read_log(text: str, columns: Mapping[str, Any], time_unit: str = "s", name: str = "log") -> Log:
    """A logger's table from its text, for `review`; columns: time, T (deg C), amps, volts by name or number from 1.

    >>> log = read_log("min;A\\n0;5,0\\n60;5,0\\n120;5,0", {"time": "min", "amps": "A"}, "min")
    >>> log.seconds[-1], log.of("amps")[0]
    (7200.0, 5.0)
    """
    return read_text(
        text, parse_columns([f"{quantity}={column}" for quantity, column in columns.items()]), time_unit, name
    )


def review(melt: Melt | Amounts, metal: str, t_C: float | None = None, amps: float | None = None,
           hours: float | None = None, weighed_g: float = 0.0, saw: Iterable[str] = (), log: Log | None = None,
           plan: Mapping[str, Any] | None = None, **typed: Any) -> Answer:  # fmt: skip
    """What the weighed metal says of a run, and what most likely went wrong; typed: bath_g, volts, vessel, atmosphere,
    hydrates. log: a logger's table, from which t_C, amps, hours and volts are taken where they are None; plan: what
    `Melt.plan` gave, set beside what was read.

    >>> found = review("MgCl2=20 NaCl=40 KCl=40", "Mg", t_C=640, amps=5, hours=2, weighed_g=0.5, saw=["black-sponge"])
    >>> 0.10 < found.current_efficiency < 0.12  # 0.5 g of 4.534 g (Faraday)
    True
    """
    mix = melt if isinstance(melt, Melt) else Melt(melt)
    at_C, current, time_h, read = run_words(log, t_C, amps, hours, typed)
    done = run_of(mix.composition, metal, temperature_K(at_C, "t_C"), current, time_h, weighed_g, **typed)
    found = review_json(review_of(done, tuple(saw))) | {"log": read}
    if plan is not None:
        rows = beside(planned_of(plan), at_C, current, time_h, weighed_g, typed.get("volts"))
        found |= {"planned": beside_json(rows)}
    return Answer(found, f"review of {metal}", "likely_causes")


def salts() -> Answers:
    """The salts of the data.

    >>> [entry.formula for entry in salts()][:2]
    ['LiCl', 'NaCl']
    """
    return Answers(Answer(row, row["formula"]) for row in salts_json()["salts"])


def metals() -> Answers:
    """The metals of the data.

    >>> {entry.symbol: round(entry.melting_point_C) for entry in metals()}["Mg"]
    650
    """
    return Answers(Answer(row, row["symbol"]) for row in salts_json()["metals"])
