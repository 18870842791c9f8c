"""How far numpy is from a compiled kernel of the same mathematics (kernel.c, compiled here and now by the system's cc).

    python -m tests.benchmarks.kernel          exit code 1 where a demand is missed, 0 with a word without a compiler

Demands: the field of a triangle (5151 melts) at most 3 times the kernel; one liquidus of one melt at most 25 (mean
over 100 random melts of three salts and of six); a triangle's drawing asked for the first time at most 15 times its
field. Kernel and package must agree to 0.2 K: in a field of many melts a nearly critical solid solution is settled to
0.1 K only.
"""

import ctypes
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from tests.benchmarks.clock import best_seconds, use_one_thread, verdict
from thermo.equilibrium.system.build import salt_system
from thermo.equilibrium.system.driving_force import liquidus_field
from thermo.equilibrium.system.one_anion import SaltSystem
from thermo.laws.compound_solution import CompoundSolution
from thermo.laws.solid_solution import SolutionSolid, simplex_grid
from thermo.laws.solids import DoubleSolid
from thermo.present.charts.triangle_data import triangle_diagram, triangle_grid

MOST = 6
TRIANGLES = [
    ("LiF", "NaF", "CaF2"),
    ("LiCl", "KCl", "CaCl2"),
    ("NaCl", "KCl", "MgCl2"),
    ("LiCl", "NaCl", "KCl"),
    ("CaCl2", "SrCl2", "BaCl2"),
]
COLD = [
    *TRIANGLES,
    ("LiCl", "NaCl", "MgCl2"),
    ("CsF", "MgF2", "AlF3"),
    ("NaF", "CaF2", "AlF3"),
    ("LiF", "NaCl", "KCl"),
]
SIX = ("LiCl", "NaCl", "KCl", "MgCl2", "CaCl2", "BaCl2")
ALONE = 100
FIELDS = (
    "i n pairs orders plains corners solids pieces_most; I pair_i pair_j side_i side_j; D a b; I plain; D plain_size; "
    "I corner; D corner_size melting; I pieces; D breaks c; I kind members member; D weight dH dS W E; "
    "I grid_at grid_count; D grid parts"
)
LAYOUT = [(name, part.split()[0]) for part in FIELDS.split(";") for name in part.split()[1:]]


class Compiled(ctypes.Structure):
    """`System` of kernel.c."""

    _fields_ = [(name, ctypes.c_int if kind == "i" else ctypes.c_void_p) for name, kind in LAYOUT]


def padded(values, *shape: int) -> np.ndarray:
    """An array of doubles of this shape with these values in its first corner."""
    array, values = np.zeros(shape), np.asarray(values, dtype=float)
    array[tuple(slice(n) for n in values.shape)] = values
    return array


def tables(system: SaltSystem) -> dict:
    """Everything the kernel needs of one system, by the names of LAYOUT."""
    basis, curves = system.basis, system.fusion(system.own).curves
    most = max(len(curve.coefficients) for curve in curves)
    bits = 2.0 ** np.arange(len(system.salts))
    sides = (basis._sums @ bits).reshape(2, -1)
    corners, solids = system._corners, system.solids
    assert all(kind in system._position for _, kind, value, _ in system.fitted_terms if value), "AlF3 terms"
    assert not any(isinstance(solid, CompoundSolution) for solid in solids), "double salts that mix as solids"
    found: dict = {
        "n": len(system.salts), "pairs": len(basis.pairs), "orders": basis._orders, "plains": len(system.triples),
        "corners": corners._at.shape[1], "solids": len(solids), "pieces_most": most,
        "pair_i": basis._i, "pair_j": basis._j, "side_i": sides[0], "side_j": sides[1],
        "a": system._table[:, 0, :, 0], "b": system._table[:, 1, :, 0],
        "plain": [at for at, _ in system.triples], "plain_size": [size for _, size in system.triples],
        "corner": corners._at.T, "corner_size": corners._c[:, :, 0].T, "melting": system.melting_K,
        "pieces": [len(curve.coefficients) for curve in curves],
        "breaks": [padded(curve.breaks, most) for curve in curves],
        "c": [padded(curve.coefficients, most, 6) for curve in curves],
        "kind": [isinstance(solid, SolutionSolid) for solid in solids],
        "members": [len(solid.indices) for solid in solids],
        "member": [padded(solid.indices, MOST) for solid in solids],
    }  # fmt: skip
    own: dict[str, list] = {name: [] for name in ("weight", "dH", "dS", "W", "E", "grid_at", "grid_count")}
    grids, parts = [np.zeros((0, MOST))], [np.zeros((0, 8))]
    for solid in solids:
        mixed = isinstance(solid, SolutionSolid)
        count = sum(solid.counts) if isinstance(solid, DoubleSolid) else 1
        own["weight"].append(padded([] if mixed else solid.shares(None), MOST))
        own["dH"].append(solid.dH / count if isinstance(solid, DoubleSolid) else 0.0)
        own["dS"].append(solid.dS / count if isinstance(solid, DoubleSolid) else 0.0)
        own["W"].append(padded(solid._matrices if mixed else [[[[]]]], 2, 2, MOST, MOST))
        own["E"].append(padded(solid.lattice_energies if mixed else [], MOST))
        own["grid_at"].append(sum(map(len, grids)))
        y, D = solid.grid if mixed else (np.zeros((0, 1)), np.zeros((3, 0)))
        own["grid_count"].append(len(y))
        grids.append(padded(y, len(y), MOST))
        parts.append(np.hstack([padded(D[:-2].T, len(y), MOST), D[-2:].T]))
    return found | own | {"grid": np.vstack(grids), "parts": np.vstack(parts)}


class Kernel:
    """The compiled liquidus of one system: field(x) -> temperatures and first solids."""

    def __init__(self, library: ctypes.CDLL, salts: tuple[str, ...]):
        self.library, self.salts, self.system, self.kept = library, salts, Compiled(), []
        for (name, kind), value in zip(LAYOUT, (tables(salt_system(salts))[name] for name, _ in LAYOUT), strict=True):
            if kind == "i":
                setattr(self.system, name, int(value))
                continue
            array = np.ascontiguousarray(value, dtype=np.intc if kind == "I" else float)
            self.kept.append(array)  # or the pointer dangles
            setattr(self.system, name, array.ctypes.data)

    def field(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Liquidus (N,) in K and position of the first solid (N,)."""
        x = np.ascontiguousarray(x)
        T, which = np.empty(len(x)), np.empty(len(x), dtype=np.intc)
        pointers = [ctypes.c_void_p(array.ctypes.data) for array in (x, T, which)]
        self.library.field(ctypes.byref(self.system), len(x), *pointers)
        return T, which


def compiled(folder: str) -> ctypes.CDLL | None:
    """kernel.c as a library; None without a C compiler."""
    cc = shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")
    if cc is None:
        return None
    target = Path(folder) / "kernel.so"
    source = Path(__file__).with_name("kernel.c")
    subprocess.run([cc, "-O3", "-march=native", "-shared", "-fPIC", "-o", target, source, "-lm"], check=True)
    return ctypes.CDLL(str(target))


def field_ratio(library: ctypes.CDLL, triangle: tuple[str, ...]) -> bool:
    """The field of one triangle against the kernel's."""
    x, kernel = simplex_grid(3, 100), Kernel(library, triangle)
    ours, theirs = best_seconds(lambda: liquidus_field(triangle, x), lambda: kernel.field(x), runs=5)
    (T, which), field = kernel.field(x), liquidus_field(triangle, x)
    apart = np.abs(T - field.T_K)
    print(f"{'-'.join(triangle)}: {1e3 * ours:.1f} ms, kernel {1e3 * theirs:.1f} ms; differ by {apart.max():.4f} K at "
          f"most, another solid in {(which != field.solid_index).sum()}")  # fmt: skip
    return verdict("times the kernel, a field", ours / theirs, 3) & verdict("K apart", apart.max(), 0.2)


def alone_ratio(library: ctypes.CDLL, salts: tuple[str, ...]) -> bool:
    """One liquidus of one melt against the kernel's."""
    x = np.random.default_rng(7).dirichlet(np.ones(len(salts)), size=ALONE)
    kernel = Kernel(library, salts)
    ours, theirs = best_seconds(
        lambda: [liquidus_field(salts, x[k : k + 1]) for k in range(ALONE)], lambda: kernel.field(x), runs=5
    )
    print(f"{'-'.join(salts)}: {1e6 * ours / ALONE:.0f} us, kernel {1e6 * theirs / ALONE:.1f} us a melt")
    return verdict("times the kernel, one melt", ours / theirs, 25)


def cold_ratio(triangle: tuple[str, str, str]) -> float:
    """The drawing of a triangle that nobody asked for yet, tables being read, against its field alone."""
    x = triangle_grid()[0]
    salt_system.cache_clear()
    start = time.process_time()
    triangle_diagram(triangle)
    cold = time.process_time() - start
    (field,) = best_seconds(lambda: liquidus_field(triangle, x), runs=3)
    return cold / field


def cold_ratios() -> bool:
    """Every triangle of COLD; the worst against its demand."""
    triangle_diagram(("NaF", "KF", "MgF2"))  # imports, tables
    found = {"-".join(triangle): cold_ratio(triangle) for triangle in COLD}
    print("cold triangles against their fields: " + ", ".join(f"{name} {v:.1f}" for name, v in found.items()))
    return verdict("times its field, the worst cold triangle", max(found.values()), 15)


def measure() -> bool:
    """Prints every ratio against its demand."""
    with tempfile.TemporaryDirectory() as folder:
        library = compiled(folder)
        if library is None:
            print("no C compiler (cc, gcc or clang) on this machine: the kernel's ratios are not measured")
        met = [cold_ratios()]
        if library is not None:
            met += [field_ratio(library, triangle) for triangle in TRIANGLES]
            met += [alone_ratio(library, salts) for salts in (*TRIANGLES, SIX)]
    return all(met)


if __name__ == "__main__":
    use_one_thread()
    sys.exit(0 if measure() else 1)
