"""The module of derivatives is what sympy derives from the energies, to the letter and by value."""

import numpy as np
import pytest
import sympy

from thermo.fitting.derivatives import MODULE, module_text
from thermo.laws import mixing_derivatives


def test_the_module_is_what_sympy_derives_today():
    assert MODULE.read_text(encoding="utf-8") == module_text()


@pytest.mark.parametrize("kind", ["group", "muggianu"])
@pytest.mark.parametrize("order", range(6))
def test_a_pair_by_a_derivation_of_its_own(kind, order):
    """g of one order written out and differentiated by its variables, compared at one point in exact fractions."""
    x_i, x_j, s_i, s_j = variables = sympy.symbols("x_i x_j s_i s_j")
    u = s_i - s_j if kind == "muggianu" else (s_i - s_j) / (s_i + s_j)
    g = x_i * x_j * u**order
    slopes = [sympy.diff(g, v) for v in variables]
    rest = g - sum(v * slope for v, slope in zip(variables, slopes, strict=True))
    at = dict(zip(variables, map(sympy.Rational, ("1/7", "2/11", "3/10", "2/5")), strict=True))
    there = u.subs(at)
    slope = order * there ** (order - 1) if order else 0
    ours = getattr(mixing_derivatives, f"{kind}_pair")(*at.values(), there**order, slope)
    assert [sympy.nsimplify(value) for value in ours] == [e.subs(at) for e in (rest, *slopes)]


@pytest.mark.parametrize("kind", ["group", "muggianu"])
@pytest.mark.parametrize("order", range(5))
def test_second_derivatives_of_a_pair_by_a_derivation_of_its_own(kind, order):
    """As above; those that are not listed are zero."""
    x_i, x_j, s_i, s_j = variables = sympy.symbols("x_i x_j s_i s_j")
    u = s_i - s_j if kind == "muggianu" else (s_i - s_j) / (s_i + s_j)
    g = x_i * x_j * u**order
    at = dict(zip(variables, map(sympy.Rational, ("1/7", "2/11", "3/10", "2/5")), strict=True))
    there = u.subs(at)
    dp, ddp = (order * there ** (order - 1) if order else 0), (order * (order - 1) * there ** max(order - 2, 0))
    ours = getattr(mixing_derivatives, f"{kind}_bends")(*at.values(), there**order, dp, ddp)
    listed = [tuple(sympy.Symbol(v) for v in words.split()) for words in mixing_derivatives.BENT_BY]
    assert [sympy.nsimplify(value) for value in ours] == [sympy.diff(g, *by).subs(at) for by in listed]
    rest = [(v, w) for v in variables for w in variables if (v, w) not in listed and (w, v) not in listed]
    assert all(sympy.diff(g, *by) == 0 for by in rest)


@pytest.mark.parametrize(("kind", "factor"), [("plain", lambda x_k, a: 1.0), ("balance", lambda x_k, a: x_k - a / 3)])
def test_three_salts_by_differences(kind, factor):
    def g(v):
        return v[0] * v[1] * v[2] * factor(v[2], v[3])

    at = np.array([0.2, 0.15, 0.35, 0.4])
    steps = 1e-5 * np.eye(4)
    slopes = [(g(at + step) - g(at - step)) / 2e-5 for step in steps]
    ours = getattr(mixing_derivatives, f"{kind}_triple")(*at)
    assert ours == pytest.approx([g(at) - at @ slopes, *slopes], rel=1e-8, abs=1e-12)
