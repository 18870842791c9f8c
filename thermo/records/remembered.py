"""One registry of everything that is remembered of data/, so that all of it can be forgotten at once.

`@remembered` stands where functools.cache or lru_cache would: on every function whose answer follows from the tables.
After `forget()` each is computed anew: `refit` calls it when it has rewritten a file, tests when they read another
folder.
"""

from collections.abc import Callable
from functools import _lru_cache_wrapper, lru_cache
from typing import TypeVar

Answer = TypeVar("Answer")
_known: "list[_lru_cache_wrapper]" = []


def remembered(function: Callable[..., Answer]) -> "_lru_cache_wrapper[Answer]":
    """The function with every answer kept until `forget`."""
    return remembered_last(None)(function)


def remembered_last(count: int | None) -> "Callable[[Callable[..., Answer]], _lru_cache_wrapper[Answer]]":
    """As `remembered`, but only the last `count` answers are kept."""

    def kept(function: Callable[..., Answer]) -> "_lru_cache_wrapper[Answer]":
        wrapped = lru_cache(maxsize=count)(function)
        _known.append(wrapped)
        return wrapped

    return kept


def forget() -> None:
    """Drop everything remembered."""
    for wrapped in _known:
        wrapped.cache_clear()
