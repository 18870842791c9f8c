"""The slim temperature axis: bands end where the answers say, and nothing far away shrinks the rest."""

import pytest

from thermo.present.charts.temperature_axis import BEYOND_C, temperature_axis

SODIUM = ("Sodium", 97.8, 882.9)


def test_bands_end_at_freezing_and_at_the_window():
    found = temperature_axis(600.0, 505.0, (535.0, 883.0), SODIUM, (580.0, 650.0))
    by_look = {band["look"]: band for band in found["bands"]}
    assert by_look["frozen"]["to"] == 505
    assert (by_look["window"]["from"], by_look["window"]["to"]) == (535, 883)
    assert by_look["best"]["label"] == "best 580 to 650"
    assert found["x"]["low"] < 97.8 < 882.9 < found["x"]["high"]


def test_a_distant_boiling_point_is_an_arrow_at_the_end():
    # neodymium boils at 3074 deg C (CRC): drawn to scale, the window would be a sliver
    found = temperature_axis(1060.0, 730.0, (1036.0, 1212.0), ("Neodymium", 1016.0, 3074.0))
    boils = next(mark for mark in found["marks"] if "boils" in mark["label"])
    assert boils["beyond"]
    assert boils["label"].endswith("3074")
    assert found["x"]["high"] <= 1060 + BEYOND_C + 110


@pytest.mark.parametrize("start", [None, 483.0])
def test_what_is_unknown_is_left_out(start):
    found = temperature_axis(720.0, start, None, None)
    assert [band["look"] for band in found["bands"]] == ["frozen"] * (start is not None)
    assert found["marks"] == []


def test_the_working_temperature_is_always_on_it():
    for t_C in (100.0, 1500.0):
        found = temperature_axis(t_C, 483.0, (670.0, 983.0), ("Magnesium", 650.0, 1090.0))
        assert found["x"]["low"] <= t_C <= found["x"]["high"]
