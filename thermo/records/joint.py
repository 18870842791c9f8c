"""The joint update: what the published melts of three and more salts add to the pairs, rebuilt from its equations.

Generated files under data/fitted: joint_equations.csv (one solid of one published melt, or one published point of a
pair that holds its pair, a row), joint_noise.csv (covariance of their errors) and joint_gradients.csv (dD by every
parameter that moves it). With G the gradients of the melts, H those of the points that hold the pairs (each by its own
error), C the covariance before and y = -D:
    C_h = C - C H' (H C H' + 1)^-1 H C                        pairs may move only as far as their own points let them
    K = C_h G' (G C_h G' + N)^-1,    dtheta = K y             the shifts, in joint_shifts.csv
    C' = C - K G C - C G' K' + K (G C G' + N) K'              of all parameters together; H adds no certainty to it
       = C - K B' - B K',    B = C G' - K (G C G' + N) / 2
H counts what may move (`moves`); a hold in which nothing may is left whole. The rows of K of all that stays are zero.
Limits: linear; parameters that no equation names keep C. Worked value: where y = 0 nothing moves and C' < C.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from thermo.records.data_folder import folder
from thermo.records.fitted import pair_fits
from thermo.records.kept import kept
from thermo.records.parameters import SHARED, Parameter
from thermo.records.remembered import remembered
from thermo.records.tables import read_table
from thermo.records.ternary_terms import ALUMINIUM, FUSION, Key, fusion_key, term_sigma

TABLES = ("joint_equations.csv", "joint_noise.csv", "joint_gradients.csv")
WORDS = "salt1", "salt2", "salt3", "parameter"  # what a gradient is by
MELT, HOLD = "melt", "hold"
ENOUGH = 4  # melts that shape a pair of AlF3, as in fitting/ternary_fit


@dataclass(frozen=True)
class JointUpdate:
    """place: key -> row; gain K (P, m), told B (P, m), shift K y (P,)."""

    place: Mapping[Key, int]
    gain: np.ndarray
    told: np.ndarray
    shift: np.ndarray

    def covariance(self, keys: Sequence[Key], before: np.ndarray) -> np.ndarray:
        """C' of some parameters from their covariance before, both (k, k)."""
        at = [(n, self.place[key]) for n, key in enumerate(keys) if key in self.place]
        if not at:
            return before
        own, rows = np.array(at).T
        cross = np.asarray(self.gain[rows]) @ np.asarray(self.told[rows]).T
        after = before.copy()
        after[np.ix_(own, own)] -= cross + cross.T
        return after


def solve(place: dict[Key, int], before: np.ndarray, melts: np.ndarray, noise: np.ndarray, misfit: np.ndarray,
          holds: np.ndarray) -> JointUpdate:  # fmt: skip
    """The update from gradients of melts (m, P), their noise (m, m) and misfit (m,), and of holds (h, P) in sigmas."""
    still = np.array([not moves(key) for key in place])
    moved = holds[:, ~still].any(axis=1)  # else its terms stand for what the pair leaves open
    holds = np.where(np.outer(moved, still), 0.0, holds)  # what stays cannot make up for what moves
    shared, held = before @ melts.T, before @ holds.T
    inner = np.linalg.solve(holds @ held + np.eye(len(holds)), holds @ shared)
    kept = shared - held @ inner  # C_h G'
    gain = np.linalg.solve(melts @ kept + noise, kept.T).T
    gain[still] = 0.0
    return JointUpdate(place, gain, shared - gain @ (melts @ shared + noise) / 2, gain @ misfit)


def moves(key: Key) -> bool:
    """Whether the melts may move a parameter: terms, and of pairs without AlF3 the melt and the double salts.

    Energies of melting, solid solutions and pairs of AlF3 with points of their own stay as they are; what they leave
    open counts as an error (a gain of zero in the equations above).
    """
    owner, parameter = key
    if not isinstance(parameter, Parameter):
        return parameter != FUSION
    known = ALUMINIUM in owner and pair_fits()[owner].points >= ENOUGH
    return not known and not parameter.phase.startswith(SHARED)


def covariance_before(keys: Sequence[Key]) -> np.ndarray:
    """C of these parameters before the update: each pair's own, one for fusion energies, each term's prior."""
    total = np.zeros((len(keys), len(keys)))
    by_pair: dict[frozenset, list[int]] = {}
    for n, (owner, parameter) in enumerate(keys):
        if isinstance(parameter, Parameter):
            by_pair.setdefault(owner, []).append(n)
        else:
            total[n, n] = 1.0 if parameter == FUSION else term_sigma(owner, parameter) ** 2
    fits = pair_fits()
    for pair, at in by_pair.items():
        own = [fits[pair].parameters.index(keys[n][1]) for n in at]
        total[np.ix_(at, at)] = fits[pair].covariance[np.ix_(own, own)]
    return total


@remembered
def joint_update() -> JointUpdate | None:
    """The update from the generated files; None before they were first written."""
    if not all((folder() / "fitted" / name).exists() for name in TABLES):
        return None
    found = kept("joint_update", [f"fitted/{name}" for name in TABLES], _solved)
    place = {_key(*words): n for n, words in enumerate(_places(found))}
    return JointUpdate(place, found["gain"], found["told"], found["shift"])


def shifts_of(keep: Callable[[Mapping[str, str]], bool]) -> Mapping[tuple[frozenset, str], float]:
    """What the update would add by the equations (rows of joint_equations.csv) to `keep` alone: as joint_shifts."""
    found = _solved(keep)
    places = zip(_places(found), found["shift"], strict=True)
    return {(frozenset(filter(None, words[:3])), words[3]): float(shift) for words, shift in places}


def _places(found: Mapping[str, np.ndarray]) -> list[list[str]]:
    """WORDS of each row of the arrays."""
    return [line.split(",") for line in found["place"].tobytes().decode().splitlines()]


def _solved(keep: Callable[[Mapping[str, str]], bool] = lambda row: True) -> dict[str, np.ndarray]:
    """The update as arrays; `place`: WORDS of each key with commas between, a line each, as bytes."""
    equations, errors, gradients = (read_table(f"fitted/{name}") for name in TABLES)
    rows = [row for row in equations if row["used"] == "yes" and keep(row)]
    melts, holds = ([row["equation"] for row in rows if row["kind"] == kind] for kind in (MELT, HOLD))
    at = {name: n for n, name in enumerate((*melts, *holds))}
    words: dict[tuple[str, ...], int] = {}
    columns = [words.setdefault(tuple(row[word] for word in WORDS), len(words)) for row in gradients]
    G = np.zeros((len(at), len(words)))
    for row, column in zip(gradients, columns, strict=True):
        if row["equation"] in at:
            G[at[row["equation"]], column] = float(row["value"])
    N = np.zeros((len(melts), len(melts)))
    for row in errors:
        if row["equation"] in at and row["other"] in at:
            r, c = at[row["equation"]], at[row["other"]]
            N[r, c] = N[c, r] = float(row["covariance_J2_mol2"])
    misfit = np.array([float(row["misfit_J_mol"]) for row in rows if row["kind"] == MELT])
    place = {_key(*key): n for key, n in words.items()}
    update = solve(place, covariance_before(list(place)), G[: len(melts)], N, misfit, G[len(melts) :])
    lines = "\n".join(map(",".join, words)).encode()
    return {
        "place": np.frombuffer(lines, np.uint8), "gain": update.gain, "told": update.told, "shift": update.shift
    }  # fmt: skip


def _key(a: str, b: str, c: str, parameter: str) -> Key:
    names = frozenset(filter(None, (a, b, c)))
    if len(names) == 1:
        return fusion_key(a)
    return names, Parameter.parse(parameter) if len(names) == 2 else parameter
