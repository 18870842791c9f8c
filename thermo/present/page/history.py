"""Undo and redo of everything that is set or typed: a trail of addresses, and where on it the page stands.

Each entry is the page's own link, so what undo brings back is what a bookmark would. Moves of one knob within MERGE_S
count as one step, or a drag would fill the trail.
Limits: kept for one visit, the newest MOST entries. Worked value: after three changes and one undo, step(+1) is the
third change again.
"""

from dataclasses import dataclass, field

MOST = 200
MERGE_S = 1.5


@dataclass
class Trail:
    """Addresses in order, the place of the page among them, and the gesture that made the newest."""

    entries: list[str] = field(default_factory=list)
    place: int = -1
    gesture: str = ""
    at_s: float = 0.0

    @property
    def can_undo(self) -> bool:
        """Whether something earlier is there."""
        return self.place > 0

    @property
    def can_redo(self) -> bool:
        """Whether something undone is there."""
        return self.place < len(self.entries) - 1

    def remember(self, address: str, gesture: str, now_s: float) -> None:
        """Note where the page stands; a new address drops what was undone. gesture: '' or the knob that moved."""
        if self.entries and self.entries[self.place] == address:
            return
        newest = self.place == len(self.entries) - 1
        same = bool(gesture) and gesture == self.gesture and now_s - self.at_s < MERGE_S and newest
        if same:
            self.entries[self.place] = address
        else:
            self.entries = [*self.entries[: self.place + 1], address][-MOST:]
            self.place = len(self.entries) - 1
        self.gesture, self.at_s = gesture, now_s

    def step(self, by: int) -> str | None:
        """The address `by` entries on, which becomes the place; None beyond either end."""
        if not 0 <= self.place + by < len(self.entries):
            return None
        self.place, self.gesture = self.place + by, ""
        return self.entries[self.place]

    def find(self, address: str) -> bool:
        """Stand at this address, the nearest entry that has it; False where none has."""
        places = [k for k, entry in enumerate(self.entries) if entry == address]
        if places:
            self.place, self.gesture = min(places, key=lambda k: abs(k - self.place)), ""
        return bool(places)
