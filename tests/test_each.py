"""The loop over cases: it lists what fails, and fails where hardly anything was compared."""

import pytest

from tests.each import NOTHING, each


def test_every_failing_case_is_listed():
    @each([1, 2, 3])
    def even(n):
        assert n % 2 == 0, f"{n} is odd"

    with pytest.raises(AssertionError, match="2 of 3 cases fail\n1: 1 is odd\n3: 3 is odd"):
        even()


def test_cases_without_a_comparison_do_not_count():
    @each([("a", 1), ("b", 2)], compared=2)
    def check(name, n):
        return NOTHING if n == 1 else None

    with pytest.raises(AssertionError, match="only 1 of 2"):
        check()
