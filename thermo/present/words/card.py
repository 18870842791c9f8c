"""A card: a title, one large figure and the lines under it, shared by page, paper and command line."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Card:
    """One read-out: title, answer in large type, lines of detail, and how it is known (fitted, estimated or '')."""

    title: str
    answer: str
    details: tuple[str, ...] = ()
    status: str = ""
    alarm: bool = False
