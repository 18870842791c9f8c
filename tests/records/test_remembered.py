"""One registry of caches: nothing is remembered beside it, and all of it is forgotten at once."""

import re
from pathlib import Path

from thermo.records.remembered import forget, remembered, remembered_last

ROOT = Path(__file__).resolve().parents[2]


def test_no_cache_beside_the_registry():
    modules = [path for path in (ROOT / "thermo").rglob("*.py") if path.name != "remembered.py"]
    beside = [
        path.name for path in modules if re.search(r"\blru_cache\b|functools import.*\bcache\b", path.read_text())
    ]
    assert beside == []


def test_answers_are_kept_until_they_are_forgotten():
    calls = []

    @remembered
    def once(x):
        calls.append(x)
        return 2 * x

    @remembered_last(1)
    def last(x):
        calls.append(x)
        return x

    assert (once(3), once(3), last(5), last(5)) == (6, 6, 5, 5)
    assert calls == [3, 5]
    last(7), last(5)
    assert calls == [3, 5, 7, 5]
    forget()
    assert (once(3), last(5)) == (6, 5)
    assert calls == [3, 5, 7, 5, 3, 5]
