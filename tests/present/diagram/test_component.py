"""The component's message check, and the assembled browser module."""

import math

import pytest

from thermo.present.diagram import component as handle
from thermo.present.diagram.component import Move, read_move


@pytest.mark.parametrize(
    ("changes", "read"),
    [
        ({"x": 52}, {"x": 52.0}),
        ({"x": 0.0}, {"x": 0.0}),
        ({"t_C": 715}, {"t_C": 715.0}),
        ({"shares": [60, 18.5, 21.5]}, {"shares": (60.0, 18.5, 21.5)}),
        ({"x": 40, "t_C": 700}, {"x": 40.0, "t_C": 700.0}),
        ({"mix": [40, 30, 20, 10]}, {"mix": (40.0, 30.0, 20.0, 10.0)}),
    ],
)
def test_good_moves_are_read(changes, read):
    assert read_move({"seq": 3, "changes": changes}) == Move(3, read)


@pytest.mark.parametrize(
    "raw",
    [
        None,
        "text",
        [],
        {},
        {"seq": 1},
        {"seq": -1, "changes": {"x": 50}},
        {"seq": True, "changes": {"x": 50}},
        {"seq": "1", "changes": {"x": 50}},
        {"seq": 1, "changes": [50]},
        {"seq": 1, "changes": {"x": 101}},
        {"seq": 1, "changes": {"x": -0.5}},
        {"seq": 1, "changes": {"x": "50"}},
        {"seq": 1, "changes": {"x": True}},
        {"seq": 1, "changes": {"x": math.nan}},
        {"seq": 1, "changes": {"x": 10**400}},
        {"seq": 10**400, "changes": {"t_C": -(10**400)}},
        {"seq": 1, "changes": {"t_C": math.inf}},
        {"seq": 1, "changes": {"shares": [50, 50]}},
        {"seq": 1, "changes": {"shares": [50, 30, 30]}},
        {"seq": 1, "changes": {"shares": [120, -10, -10]}},
        {"seq": 1, "changes": {"shares": [50, None, 50]}},
        {"seq": 1, "changes": {"mix": [100]}},
        {"seq": 1, "changes": {"mix": [10] * 10}},
        {"seq": 1, "changes": {"mix": [40, 30, 20, 20]}},
        {"seq": 1, "changes": {"mix": "1111"}},
        {"seq": 1, "changes": {"metal": "Mg"}},
        {"seq": 1, "changes": {"x": 50, "unknown": 1}},
    ],
)
def test_malformed_moves_are_dropped(raw):
    assert read_move(raw) is None


def test_the_three_scripts_make_one_module():
    assert handle._SCRIPT.count("export default") == 1
    for name in ("function drawChart(", "function drawTriangle(", "class View"):
        assert handle._SCRIPT.count(name) == 1
    assert "http://" not in handle._SCRIPT.replace("http://www.w3.org/2000/svg", "")
    assert "https://" not in handle._SCRIPT
