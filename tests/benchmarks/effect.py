"""Does a changed constant of a law change any answer? Tells steps, caps, guards and switches apart from physics.

A constant has no effect where the answers with it 5 % larger are the same to WITHIN although it is in use: with a
Tripwire in its place the answers fail, or with nothing, 1 or a thousand times as much they are others. Answers:
liquidus, its sigma, solidus, density and transport of MELTS random melts of one anion, with aluminium fluoride and of
two anions, balances of ions in the cold, and the gaps of three solutions.
Limits: a constant of a part that none of these answers asks is never said to have no effect; a cap that no melt comes
near is.
"""

import ast
import importlib
import json
import math
import os
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO

import numpy as np

from tests.benchmarks.asking import with_source
from tests.benchmarks.nudges import Change, replaced

TRIPWIRE = ast.parse("__import__('tests.benchmarks.effect', fromlist=['Tripwire']).Tripwire()", mode="eval").body

WITHIN = 1e-7  # relative: 1e-4 K of 1000, to which a liquidus is solved
MELTS = 2  # of each kind
GAPS = (  # coefficients of two salts that separate, J/mol and J/(mol K), and a temperature
    ((20000.0,), (0.0,), 1000.0),
    ((21000.0, 3000.0), (-3.0, 0.5), 600.0),
    ((-20000.0, 0.0, 90000.0), (0.0, 0.0, 0.0), 700.0),
)


class Tripwire:
    """Stands for a number and fails where it is compared, counted or made a number; sums with it are one again."""

    def _again(self, *others) -> "Tripwire":
        return self

    def _fail(self, *others):
        raise ArithmeticError("a constant is in use")

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __truediv__ = __rtruediv__ = _again
    __pow__ = __rpow__ = __neg__ = __pos__ = _again
    __lt__ = __le__ = __gt__ = __ge__ = __eq__ = __float__ = __int__ = __index__ = __bool__ = __hash__ = _fail


def numbers() -> Iterator[float]:
    """Unrounded answers; nan where a question is refused."""
    from tests.random_mixes import aluminium_baths, random_mixes, reciprocal_mixes
    from thermo.equilibrium.freezing.liquidus import liquidus
    from thermo.equilibrium.freezing.solidus import solidus
    from thermo.laws.conductance import conductance
    from thermo.laws.density import melt_density
    from thermo.laws.viscosity import viscosity
    from thermo.records.provenance import InputError, RangeError

    def asked(question: Callable, *given) -> list[float]:
        try:
            found = question(*given)
        except (InputError, RangeError):
            return [math.nan]
        names = ("T_K", "sigma_K", "value", "sigma_rel", "value_g_cm3", "sigma_g_cm3")
        return [float(getattr(found, name)) for name in names if getattr(found, name, None) is not None]

    mixes = random_mixes(MELTS, 5, 4) + aluminium_baths(MELTS, 6, 3) + reciprocal_mixes(MELTS, 7, 4)
    for mix in mixes:
        yield from asked(liquidus, mix)
        yield from asked(solidus, mix)
        for question in (melt_density, conductance, viscosity):
            yield from asked(question, mix, 1100.0)
    yield from _balances()
    yield from _gaps()


def _balances() -> Iterator[float]:
    """Of ions in the cold with as much fluoride as the cation that loves it can hold, by the slower way."""
    from thermo.laws.ion_pairs import Ions, _in_turn, neighbours_at

    z, X = np.array([2.0, 1.0, 1.0]), np.array([[0.2, 0.5, 0.3], [0.5, 0.1, 0.4], [0.3, 0.3, 0.4]])
    share = z[0] * X[:, 0] / (X @ z)
    for size in (20.0, 57.0):
        e = np.tile([-size, -size / 12, 0.0], (len(X), 1))
        ions, t = Ions(X, share, 1 - share, z), np.log(share / (1 - share))
        yield from map(float, neighbours_at(ions, e, 3.5, *_in_turn(ions, e, 3.5, t, t, alike=False)).q.ravel())


def _gaps() -> Iterator[float]:
    from thermo.laws.unmixing import PairSolution, ties

    for a, b, T_K in GAPS:
        solution = PairSolution(a, b)
        yield from (float(end) for gap in solution.gaps(T_K) for end in gap)
        yield from (float(point.T_K) for point in solution.critical_points)
        for tie in ties([solution, (0.5, -3000.0)], T_K):
            yield from (float(tie.left), float(tie.right))


def in_child(change: Callable[[], None]) -> list[float] | None:
    """The answers of a changed child; None where it fails."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        found: list[float] | None = None
        try:
            with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
                change()
                found = list(numbers())
        except SystemExit:
            found = []
        finally:
            with os.fdopen(write_end, "w") as pipe:
                pipe.write(json.dumps(found))
            os._exit(0)
    os.close(write_end)
    with os.fdopen(read_end) as pipe:
        found = json.loads(pipe.read())
    os.waitpid(child, 0)
    return found


def same(one: list[float] | None, other: list[float] | None) -> bool:
    """Whether two lists of answers are the same to WITHIN."""
    if one is None or other is None or len(one) != len(other):
        return False
    pairs = zip(one, other, strict=True)
    return all(math.isclose(a, b, rel_tol=WITHIN) or (math.isnan(a) and math.isnan(b)) for a, b in pairs)


class Effect:
    """The answers as they are, and whether a change of a constant changes them."""

    def __init__(self) -> None:
        self.usual = in_child(lambda: None)

    def none(self, change: Change) -> bool:
        """Whether the constant is in use and 5 % of it changes nothing."""
        if change.constant is None or not same(self.usual, in_child(_with(change, change.tree))):
            return False
        if _imports(change) and in_child(_with(change, replaced(change, TRIPWIRE))) is None:
            return True
        others = (ast.Constant(value) for value in (0 * change.constant, 1, 1000 * change.constant))
        return any(not same(self.usual, in_child(_with(change, replaced(change, value)))) for value in others)


def _with(change: Change, tree: ast.Module) -> Callable[[], None]:
    return with_source(change.module, change.path, tree)


def _imports(change: Change) -> bool:
    """Whether the law can be read with a Tripwire, so that a failure comes from its use."""

    def once() -> None:
        _with(change, replaced(change, TRIPWIRE))()
        importlib.import_module(change.module)
        raise SystemExit

    return in_child(once) == []
