"""The trail of undo and redo: what joins it, what a drag counts as, where Back lands."""

from thermo.present.page.history import MERGE_S, MOST, Trail


def walked(*addresses):
    trail = Trail()
    for k, address in enumerate(addresses):
        trail.remember(address, "", 10.0 * k)
    return trail


def test_undo_and_redo_walk_it():
    trail = walked("?a", "?b", "?c")
    assert [trail.step(-1), trail.step(-1), trail.step(-1)] == ["?b", "?a", None]
    assert trail.step(1) == "?b"
    assert (trail.can_undo, trail.can_redo) == (True, True)


def test_a_change_after_undo_drops_what_was_undone():
    trail = walked("?a", "?b", "?c")
    trail.step(-1)
    trail.remember("?d", "", 99.0)
    assert trail.entries == ["?a", "?b", "?d"]
    assert not trail.can_redo


def test_standing_still_adds_nothing():
    assert walked("?a", "?a", "?a").entries == ["?a"]


def test_a_drag_is_one_step_and_two_drags_are_two():
    trail = walked("?a")
    for k in range(40):
        trail.remember(f"?drag{k}", "map shares", 100 + 0.1 * k)
    assert trail.entries == ["?a", "?drag39"]
    trail.remember("?later", "map shares", 104 + MERGE_S + 0.01)
    trail.remember("?axis", "heat_axis t_C", 104 + MERGE_S + 0.02)
    assert trail.entries == ["?a", "?drag39", "?later", "?axis"]


def test_a_drag_after_undo_does_not_overwrite_what_undo_reached():
    trail = walked("?a", "?b")
    trail.step(-1)
    trail.remember("?drag", "map x", 100.0)
    assert trail.entries == ["?a", "?drag"]


def test_back_finds_the_nearest_entry():
    trail = walked("?a", "?b", "?a", "?c")
    assert trail.find("?a")
    assert trail.place == 2
    assert not trail.find("?nowhere")
    assert trail.place == 2


def test_it_keeps_the_newest():
    trail = walked(*(f"?{k}" for k in range(MOST + 50)))
    assert len(trail.entries) == MOST
    assert trail.entries[-1] == f"?{MOST + 49}"
