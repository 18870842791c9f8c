"""Meltwright: which molten chloride or fluoride bath, at what temperature, and where the metal goes.

The public names (thermo/api.py) are imported when first used, so that `import thermo` costs nothing.
"""

from typing import Any

__version__ = "0.9.0"
__all__ = [
    "Answer", "Field", "InputError", "Melt", "Pair", "PairCurve", "RangeError", "__version__", "field", "find",
    "lowest", "metals", "read_log", "review", "salts",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"thermo has no {name!r}; it has {', '.join(__all__)}")
    from thermo import api

    globals()[name] = getattr(api, name)
    return globals()[name]


def __dir__() -> list[str]:
    return sorted(__all__)
