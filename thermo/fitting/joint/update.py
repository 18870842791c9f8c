"""The joint update by the published melts of three and more salts: its equations as generated files, and the shifts.

Every usable row of data/ternary.csv that no other fit has seen gives equations (`equations`), and so do melts of two
anions that rest on pairs nobody measured (`of_two_anions`); the published points of the pairs concerned hold them. A
melt with a misfit beyond AGREES standard deviations of what was expected is left aside (`used` no): a damaged digit
must not bend a system. The rest is one linear step (records/joint).
The sections from a compound of AlF3, to which its terms were fitted, take part as melts: they hold the terms.
Corners of AlF3 with two other salts are free only in sets that have rows or a section of their own. A compound of three
salts that melts congruently is the first solid of its own composition: a solid that would freeze before it gives an
equation more.
Limits: the files are rounded before they are used. Worked value: the eutectics of LiF-NaF-KF, 454 and 462 deg C, are
six equations.
"""

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations

import numpy as np

from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.fitting.joint.equations import Congruence, MeltEquations, congruence, hold_equations, melt_equations, usable
from thermo.fitting.joint.of_two_anions import two_anion_equations
from thermo.fitting.ternary_fit import section_points
from thermo.records.compound_solutions import solution_called
from thermo.records.fitted import pair_fits
from thermo.records.joint import HOLD, MELT, JointUpdate, covariance_before, solve
from thermo.records.parameters import Parameter
from thermo.records.provenance import Origin
from thermo.records.published import MeltPoint, invariants, ternary_points
from thermo.records.reference import Reference
from thermo.records.substances import double_salts, salts
from thermo.records.table_text import table_text
from thermo.records.ternary_terms import FUSION, Key, fitted_terms, term_sigma
from thermo.records.triple_salts import triple_salts
from thermo.records.units import celsius

AGREES = 3.5
ROUNDS = 5  # of looking for solids that would freeze before a congruent compound
DIGITS = 6
NOTHING = 0.1  # J/mol that one sigma of a parameter moves an equation: less is not written
EQUATIONS = "equation,kind,salt1,salt2,salt3,salt4,x1,x2,x3,x4,T_C,solid,misfit_J_mol,used,source,origin"


def melts() -> list[MeltPoint]:
    """The rows that the update takes: no other fit has seen them."""
    return [point for point in ternary_points() if usable(point) and point.use == "no"]


def section_melts() -> list[MeltPoint]:
    """What the terms of AlF3 were fitted to, as melts: or the other melts would bend the terms away from it."""
    found = []
    for point in section_points():
        names = tuple(f for f in salts() if f in point.moles)
        total = sum(point.moles.values())
        row = Reference(point.source, "", Origin.MEASURED, "", "fit", "")
        place = tuple(point.moles[f] / total for f in names)
        known = (f for f in point.solids if f in salts() or f in double_salts() or solution_called(f))
        solids = tuple(known)  # others are not in the model
        found += [MeltPoint(row, names, place, "liquidus", point.T_K, point.T_sigma_K, solids)] if solids else []
    return [point for point in found if usable(point)]


def base_terms(points: Iterable[MeltPoint]) -> dict[tuple[frozenset, str], tuple[float, float]]:
    """Ternary terms before the update: those fitted, and corners in every set with rows of its own."""
    found = dict(fitted_terms())
    for point in points:
        for names in map(frozenset, combinations(point.salts, 3)):
            found |= {(names, f): (0.0, term_sigma(names, f)) for f in sorted(names)}
    return found


def equations(points: Sequence[MeltPoint], preference: float | None = None) -> list[MeltEquations]:
    """Equations of these melts from the pairs and terms as they are before the update."""
    terms, systems = base_terms(points), {}
    found = []
    for point in points:
        names = tuple(f for f in salts() if f in point.salts)
        if names not in systems:
            systems[names] = SaltSystem(names, pair_fits(), preference=preference, terms=terms)
        own = melt_equations(systems[names], point)
        found += [] if own is None else [own]
    for compound in triple_salts().values():
        names = tuple(f for f in salts() if f in compound.stoichiometry)
        found += congruence(SaltSystem(names, pair_fits(), preference=preference, terms=terms), compound)
    return found


def holds(pairs: Iterable[frozenset]) -> list[tuple]:
    """(point, solid, keys, row in sigmas) of every published point that holds one of these pairs."""
    found = []
    for pair in pairs:
        model = pair_fits()[pair]
        if model.status != Origin.FITTED:
            continue
        system = SaltSystem(model.salts, {pair: model})
        for point in invariants(*model.salts):
            names, rows = hold_equations(system, point)
            found += [(point, name, system.keys, row) for name, row in zip(names, rows, strict=True)]
    return found


class Assembly:
    """Melts and holds as matrices over one list of keys, to be solved with any of the melts left out."""

    def __init__(self, melt_rows: Sequence[MeltEquations]):
        self.melts = list(melt_rows)
        pairs = dict.fromkeys(owner for own in self.melts for owner, term in own.keys if isinstance(term, Parameter))
        self.holds = holds(pairs)
        keys = dict.fromkeys(key for own in self.melts for key in own.keys)
        keys |= dict.fromkeys(key for *_, own, _ in self.holds for key in own)
        self.place = {key: n for n, key in enumerate(keys)}
        self.before = covariance_before(list(self.place))
        self.rows = [self._spread(own.keys, own.gradients) for own in self.melts]
        held = [self._spread(keys, row[None, :]) for *_, keys, row in self.holds]
        self.held = np.vstack(held) if held else np.zeros((0, len(self.place)))

    def _spread(self, keys: Sequence[Key], rows: np.ndarray) -> np.ndarray:
        found = np.zeros((len(rows), len(self.place)))
        found[:, [self.place[key] for key in keys]] = rows
        return found

    def agrees(self, n: int) -> bool:
        """Whether the misfit of melt n is what pairs, priors and errors lead to expect."""
        own, G = self.melts[n], self.rows[n]
        by = np.flatnonzero(G.any(axis=0))  # few of all keys
        expected = np.sqrt(np.diag(G[:, by] @ self.before[np.ix_(by, by)] @ G[:, by].T + own.noise))
        return bool((np.abs(own.misfit) < AGREES * expected).all())

    def sound(self, keep: Callable[[MeltPoint], bool] = lambda point: True) -> list[int]:
        """The melts that agree, of those to `keep`, and what congruent compounds ask for where the step breaks it."""
        asked = {n: own for n, own in enumerate(self.melts) if isinstance(own, Congruence)}
        used = [n for n in range(len(self.melts)) if n not in asked and keep(self.melts[n].point) and self.agrees(n)]
        for _ in range(ROUNDS):
            shift = self.update(used).shift
            left = {n: own for n, own in asked.items() if n not in used}
            broken = [n for n, own in left.items() if own.broken(float(self.rows[n][0] @ shift))]
            if not broken:
                break
            used += broken
        return used

    def update(self, used: Sequence[int]) -> JointUpdate:
        """The step by these melts."""
        sizes = [len(self.melts[n].misfit) for n in used]
        noise, at = np.zeros((sum(sizes), sum(sizes))), 0
        for n, size in zip(used, sizes, strict=True):
            noise[at : at + size, at : at + size] = self.melts[n].noise
            at += size
        G = np.vstack([np.zeros((0, len(self.place))), *[self.rows[n] for n in used]])
        misfit = np.concatenate([np.zeros(0), *[self.melts[n].misfit for n in used]])
        return solve(self.place, self.before, G, noise, misfit, self.held)


def _named(key: Key) -> list:
    """Salts in three columns and the parameter."""
    owner, parameter = key
    names = sorted(owner, key=list(salts()).index)
    return [*names, *[""] * (3 - len(names)), "melting" if parameter == FUSION else str(parameter)]


def regenerate() -> dict[str, str]:
    """Texts of the generated files of the update."""
    whole = Assembly([*equations([*melts(), *section_melts()]), *two_anion_equations()])
    sound = set(whole.sound())
    sigma = np.sqrt(np.diag(whole.before))
    tables: dict[str, list] = {"equations": [], "noise": [], "gradients": []}
    for n, own in enumerate(whole.melts):
        fractions = dict(zip(own.point.salts, own.point.fractions, strict=True))
        blank = [""] * (4 - len(own.salts))
        place = [*own.salts, *blank, *[fractions[f] for f in own.salts], *blank]
        used = "yes" if n in sound else "no"
        for k, solid in enumerate(own.solids):
            name = f"m{n + 1}.{k + 1}"
            misfit = f"{own.misfit[k]:.{DIGITS}g}"
            row = [name, MELT, *place, f"{celsius(own.point.T_K):.1f}", solid, misfit, used]
            tables["equations"].append([*row, own.point.source, Origin.FITTED])
            tables["noise"] += [[name, f"m{n + 1}.{j + 1}", f"{own.noise[k, j]:.{DIGITS}g}"] for j in range(k + 1)]
            tables["gradients"] += _gradient_rows(name, whole, whole.rows[n][k], NOTHING / sigma)
    for n, (point, solid, _, _) in enumerate(whole.holds):
        name, x = f"h{n + 1}", point.x_b
        place = [*point.pair, "", "", f"{1 - x:.6g}", f"{x:.6g}", "", ""]
        row = [name, HOLD, *place, f"{celsius(point.T_K):.1f}", solid, 0, "yes", point.source, Origin.FITTED]
        tables["equations"].append(row)
        tables["gradients"] += _gradient_rows(name, whole, whole.held[n], 1e-4 / sigma)
    shift = whole.update(sorted(sound)).shift
    shifts = [[*_named(key), f"{shift[n]:.{DIGITS}g}", f"{sigma[n]:.3g}", Origin.FITTED]
              for key, n in whole.place.items() if key[1] != FUSION and _moved(key, shift[n], sigma[n])]  # fmt: skip
    return {
        "fitted/joint_equations.csv": table_text(EQUATIONS, tables["equations"]),
        "fitted/joint_noise.csv": table_text("equation,other,covariance_J2_mol2", tables["noise"]),
        "fitted/joint_gradients.csv": table_text("equation,salt1,salt2,salt3,parameter,value", tables["gradients"]),
        "fitted/joint_shifts.csv": table_text("salt1,salt2,salt3,parameter,value,sigma,origin", shifts),
    }


def _gradient_rows(name: str, whole: Assembly, row: np.ndarray, least: np.ndarray) -> list[list]:
    told, keys = np.flatnonzero(np.abs(row) > least), list(whole.place)
    return [[name, *_named(keys[n]), f"{row[n]:.{DIGITS}g}"] for n in told]


def _moved(key: Key, shift: float, sigma: float) -> bool:
    """Whether a shift is written: all of ternary terms, of pairs what is more than rounding."""
    return len(key[0]) == 3 or abs(shift) > 1e-4 * sigma
