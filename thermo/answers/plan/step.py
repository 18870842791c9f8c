"""One step of a plan, and the plan: ordered steps with their figures, or why there is none.

Figures carry their unit in their name. rests_on: `computed` where the figures come from the program's own answers,
`practice` where the step is common practice of the trade.
Worked value: the plan for an impossible wish has no steps and says what would open one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from thermo.answers.plan.setting import Setting
from thermo.answers.plan.wish import PlanWish

COMPUTED, PRACTICE = "computed", "practice"


@dataclass(frozen=True)
class PlanStep:
    """What to do, how hot (K, None: cold), how long (h), with which figures, until what, and what if not."""

    n: int
    title: str
    do: tuple[str, ...]
    T_K: float | None
    hours: float
    figures: Mapping[str, float | str | None]
    until: str
    if_not: str
    rests_on: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Plan:
    """A plan for a wish: steps in order, or why_not (with what would open one). sources: keys, each once."""

    wish: PlanWish
    possible: bool
    why_not: str
    steps: tuple[PlanStep, ...] = ()
    setting: Setting | None = None
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = field(default=())

    @property
    def hours_total(self) -> float:
        """Hours of all steps one after the other."""
        return sum(step.hours for step in self.steps)
