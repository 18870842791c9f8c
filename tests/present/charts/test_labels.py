"""Words find free places or are left out."""

from matplotlib.figure import Figure

from thermo.equilibrium.invariants.pair import pair_curve
from thermo.present.charts.inks import Look
from thermo.present.charts.labels import Room, draw_fields, draw_marks

LOOK = Look(True, False)
SPAN = (200.0, 900.0)


def field(label: str, x: float, width: float, low: float = 300.0, high: float = 500.0) -> dict:
    return {"label": label, "x": x, "t": 400.0, "width": width, "low": low, "high": high}


def drawn(fields: list[dict], marks: list[dict] = ()) -> dict[str, float]:
    """Words in the plot and their turn, degrees."""
    axes, room = Figure().subplots(), Room(SPAN)
    lines = {"fields": fields, "marks": list(marks)}
    draw_marks(axes, lines, LOOK, room)
    draw_fields(axes, lines, pair_curve("NaCl", "KCl"), LOOK, SPAN, room)
    return {text.get_text(): text.get_rotation() for text in axes.texts}


def test_a_place_is_given_once():
    room = Room(SPAN)
    assert room.take(50, 400, 20, 7)
    assert not room.take(51, 400, 20, 7)
    assert room.take(51, 400, 20, 7, up=30)
    assert room.take(70, 400, 20, 7)


def test_a_wide_area_has_its_name_lying_and_a_narrow_one_upright():
    words = drawn([field("NaCl + KCl", 30, 40), field("KCl + K2MgCl4", 80, 6)])
    assert words["NaCl + KCl"] == 0
    assert words["KCl + K2MgCl4"] == 90
    assert "melt" in words


def test_an_area_without_room_stays_unnamed():
    assert "NaCl + KCl" not in drawn([field("NaCl + KCl", 30, 2)])
    assert "NaCl + KCl" not in drawn([field("NaCl + KCl", 30, 40, 400, 405)])


def test_two_names_never_share_a_place():
    words = drawn([field("first", 30, 40, 395, 430), field("second", 30, 40, 395, 430)])
    assert "first" in words
    assert "second" not in words


def test_close_invariants_share_one_number():
    marks = [
        {"label": str(n), "x": x, "t": 400.0, "sigma": 1.0, "kind": "eutectic"} for n, x in ((1, 30), (2, 31), (3, 60))
    ]
    words = drawn([], marks)
    assert {"1,2", "3"} <= set(words)
