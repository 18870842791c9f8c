"""NIST-JANAF tables of package `janaf`, as arrays."""

from functools import cache

import janaf
import numpy as np


@cache
def column(index: str, name: str) -> tuple[np.ndarray, np.ndarray]:
    """Temperatures in K above 298 K and a column there; rows without a value left out."""
    _, header, *lines = janaf.Table(index).raw.splitlines()
    place = header.split("\t").index(name)
    found = [(number(cells[0]), number(cells[place])) for cells in map(_cells, lines) if len(cells) > place]
    known = [(T, value) for T, value in found if T is not None and T > 298 and value is not None]
    T, values = (np.array(part) for part in zip(*known, strict=True))
    return T, values


def _cells(line: str) -> list[str]:
    return line.split("\t")


def number(cell: str) -> float | None:
    """A number of the table; None for a blank, a mark or infinity."""
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if np.isfinite(value) else None


def at(index: str, name: str, T_K: float) -> float:
    """A column interpolated between rows 100 K apart; in 1/T where it is a logarithm."""
    T, values = column(index, name)
    order = np.argsort(T)
    if name == "log Kf":
        return float(np.interp(-1 / T_K, -1 / T[order], values[order]))
    return float(np.interp(T_K, T[order], values[order]))


def marks(index: str) -> list[tuple[float, str]]:
    """(K, words) of the changes of state that a table marks, such as CRYSTAL <--> LIQUID."""
    rows = [line.split("\t") for line in janaf.Table(index).raw.splitlines() if "<-->" in line]
    return [(float(cells[0]), cells[-1].removesuffix(" TRANSITION").strip()) for cells in rows]
