"""From what a person has and wants to one ordered plan, or to the reason why there is none.

Twelve steps: look over, dry, melt, check the freezing start, take the last water out, electrodes, run, hold, take out,
harvest, review, store. Every figure is one of the program's other answers. Where there is no window, no first metal, no
pot or no supply that fits, the plan is refused and says what would open one.
Worked value: 25 g of magnesium from carnallite in a 600 mL steel pot with 12 V and 40 A: 12 steps.
"""

from thermo.answers.fed_bath import fed_start
from thermo.answers.plan.after import steps_after
from thermo.answers.plan.before import steps_before
from thermo.answers.plan.dry import dry
from thermo.answers.plan.during import run_step
from thermo.answers.plan.feasible import first_obstacle, run_temperature_K, second_obstacle, windows_of
from thermo.answers.plan.look_over import look_over
from thermo.answers.plan.poles_step import set_electrodes
from thermo.answers.plan.setting import Setting, settle, third_obstacles
from thermo.answers.plan.step import Plan, PlanStep
from thermo.answers.plan.take_out import steps_out
from thermo.answers.plan.wish import PlanWish
from thermo.records.practice_steps import harvest_of
from thermo.records.provenance import InputError


def make_plan(wish: PlanWish) -> Plan:
    """The plan of a wish. InputError for words that are not allowed; a wish that cannot be is a plan with why_not."""
    wish.check()
    melt = wish.composition.present
    freezing = fed_start(melt, wish.feed)
    windows = windows_of(wish, melt, freezing)
    why_not = first_obstacle(wish, melt, windows)
    if why_not:
        return Plan(wish, False, why_not)
    state, window = next((state, window) for state, window in windows if window.exists)
    why_not = second_obstacle(wish, melt, run_temperature_K(wish, window), window)
    if why_not:
        return Plan(wish, False, why_not)
    try:
        setting = settle(wish, melt, state, window, freezing)
    except InputError as error:
        return Plan(wish, False, str(error))
    against = third_obstacles(setting)
    if against:
        return Plan(wish, False, "; ".join(against), setting=setting)
    return Plan(
        wish, True, "", _steps(setting), setting, _notes(setting, windows), setting.cell.cautions, _sources(setting)
    )


def _steps(setting: Setting) -> tuple[PlanStep, ...]:
    """The twelve steps in order; the first says how long those without a break take."""
    through = (*steps_before(setting), set_electrodes(setting), run_step(setting), *steps_out(setting))
    hours = sum(step.hours for step in through)
    return (look_over(setting, hours), dry(setting), *through, *steps_after(setting))


def _notes(setting: Setting, windows: list) -> tuple[str, ...]:
    """What must be said of the whole plan, each once."""
    found = [setting.window.explanation, *setting.cell.notes, *setting.weighing.notes, *setting.window.cautions]
    before = [window for state, window in windows if state != setting.deposit and not window.exists]
    if setting.deposit == "solid":
        found += [f"a liquid deposit was tried first: {window.explanation}" for window in before]
    if setting.cell.kind.printed is None:
        low, high = setting.efficiency
        found.append(f"current efficiency {100 * low:.0f} to {100 * high:.0f} %: common practice, no source")
    return tuple(dict.fromkeys(found))


def _sources(setting: Setting) -> tuple[str, ...]:
    keys = [*setting.cell.sources, *setting.weighing.sources, setting.efficiency_source]
    keys += [step.source for step in setting.drying.steps]
    keys += [limit.source for limit in setting.window.limits]
    keys.append(harvest_of(setting.wish.symbol).source)
    return tuple(dict.fromkeys(keys))
