"""One test over many cases that lists every case that fails, and fails too where hardly any case compared anything.

    @each(PAIRS)
    def test_a_eutectic_lies_below_both_salts(a, b): ...

A case that has nothing to compare returns NOTHING; the test then counts it out, and wants at least `compared` others.
"""

import inspect
from collections.abc import Callable, Iterable

NOTHING = "nothing to compare"


def each(cases: Iterable, compared: int = 1) -> Callable:
    """Decorator: the check is called for every case (a tuple fills several arguments); fixtures follow after them."""
    listed = list(cases)

    def decorate(check: Callable) -> Callable:
        first = listed[0]
        spread = len(first) if isinstance(first, tuple) and _positional(check) >= len(first) > 1 else 1
        fixtures = list(inspect.signature(check).parameters.values())[spread:]

        def test(**given):
            failed, done = [], 0
            for case in listed:
                try:
                    done += check(*(case if spread > 1 else (case,)), **given) != NOTHING
                except AssertionError as error:
                    failed.append(f"{case}: {str(error).splitlines()[0] if str(error) else 'assertion'}")
            assert failed == [], "\n".join([f"{len(failed)} of {len(listed)} cases fail", *failed])
            assert done >= compared, f"only {done} of {len(listed)} cases had anything to compare"

        test.__signature__ = inspect.Signature([f.replace(kind=f.KEYWORD_ONLY) for f in fixtures])
        test.__name__, test.__doc__, test.__module__ = check.__name__, check.__doc__, check.__module__
        return test

    return decorate


def _positional(check: Callable) -> int:
    return len(inspect.signature(check).parameters)
