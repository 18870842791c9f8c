"""What was planned beside what was read: temperature, current, time, charge, volts, metal, and what a gap points to.

Read and planned are set against each other with a spread: 10 K for a thermocouple, 2 % for charge, the printed range
for volts and metal. A gap names the cause of the review that it speaks for.
Limits: means over the whole run. Worked value: 61 A h planned, 40 read: the run ended early, a third of the metal
with it.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from thermo.records.errors import InputError

T_SIGMA_K, CHARGE_SHARE = 10.0, 0.05


@dataclass(frozen=True)
class Planned:
    """Figures of a plan: deg C, A, h, A h, V, g; None where the plan has none."""

    metal: str
    T_C: float
    amps: float
    hours: float
    charge_Ah: float
    metal_low_g: float
    metal_high_g: float
    terminal_V: float | None


@dataclass(frozen=True)
class Beside:
    """One thing planned and read, with what its gap means ('' where there is none)."""

    name: str
    planned: float | None
    read: float | None
    says: str


def planned_of(found: Mapping, name: str = "plan") -> Planned:
    """The figures of a plan given as `plan --json` writes it. InputError where it is none or has no steps."""
    try:
        run = next(step for step in found["steps"] if step["title"] == "Run")
        figures = run["figures"]
        return Planned(
            metal=str(found["metal"]),
            T_C=float(run["T_C"]),
            amps=float(figures["amps_A"]),
            hours=float(figures["run_hours"]),
            charge_Ah=float(figures["charge_Ah"]),
            metal_low_g=float(figures["metal_low_g"]),
            metal_high_g=float(figures["metal_high_g"]),
            terminal_V=None if figures.get("terminal_V") is None else float(figures["terminal_V"]),
        )
    except (KeyError, TypeError, ValueError, StopIteration):
        raise InputError(f"{name}: not a plan with a run; allowed is what `plan --json` writes") from None


def beside(
    plan: Planned, T_C: float, amps: float, hours: float, weighed_g: float, volts: float | None = None
) -> tuple[Beside, ...]:
    """Planned beside read, line by line."""
    charge = amps * hours
    return (
        Beside("temperature, deg C", plan.T_C, T_C, _hot(T_C - plan.T_C)),
        Beside("current, A", plan.amps, amps, _current(amps / plan.amps)),
        Beside("time, h", plan.hours, hours, ""),
        Beside("charge, A h", plan.charge_Ah, charge, _charge(charge / plan.charge_Ah)),
        Beside("volts at the terminals", plan.terminal_V, volts, _volts(plan.terminal_V, volts)),
        Beside("metal, g", plan.metal_low_g, weighed_g, _metal(plan, weighed_g, charge)),
    )


def _hot(difference_K: float) -> str:
    if difference_K < -2 * T_SIGMA_K:
        return f"{-difference_K:.0f} K colder than planned: frozen bath, solid deposit"
    if difference_K > 2 * T_SIGMA_K:
        return f"{difference_K:.0f} K hotter than planned: dissolved metal, vapour, fog"
    return ""


def _current(ratio: float) -> str:
    if ratio > 1.25:
        return "more current than the electrodes were laid out for: another metal joins, needles, anode effect"
    return "less current than planned: more of it burns back" if ratio < 0.75 else ""


def _charge(ratio: float) -> str:
    if ratio < 1 - CHARGE_SHARE:
        return f"the run ended early: {100 * (1 - ratio):.0f} % of charge and metal is missing for that alone"
    return "more charge than the bath was fed for: salt ran short, drift" if ratio > 1 + 2 * CHARGE_SHARE else ""


def _volts(planned: float | None, read: float | None) -> str:
    if planned is None or read is None:
        return ""
    if read > 1.3 * planned:
        return "more volts than planned: salt ran short, freezing, a film or a long way for the current"
    return "less volts than planned: a short, or metal bridging the gap" if read < 0.8 * planned else ""


def _metal(plan: Planned, weighed_g: float, charge: float) -> str:
    share = charge / plan.charge_Ah
    low, high = plan.metal_low_g * share, plan.metal_high_g * share
    if weighed_g < low:
        return f"for the charge that passed {low:.3g} to {high:.3g} g were planned: {low - weighed_g:.3g} g are missing"
    return f"for the charge that passed {low:.3g} to {high:.3g} g were planned" if abs(share - 1) > CHARGE_SHARE else ""
