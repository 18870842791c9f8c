"""The parameters of a pair's model: which phase each belongs to, which term it is, and how it enters a Gibbs energy.

Phases: `liquid`; `solid solution`, one kind of crystal for both salts; `solid solution in` with the host's formula,
that salt's kind of crystal with the other salt in it; or the formula of a double salt. Terms:
    a0, b0, a1 ...   of a solution, L_k = a_k + b_k T; J/mol and J/(mol K)
    slope            of a hosted solution: how its L_0 changes with T, from its a0 at 900 K; J/(mol K)
    lattice          of a hosted solution: the salt in the host's kind of crystal above its own crystal; J/mol
    dH, dS           of a double salt from the two salts; J/mol and J/(mol K)
Worked value: Parameter("liquid", "b1") has order 1 and enters with T; as text it is liquid:b1.
"""

from typing import NamedTuple

from thermo.records.provenance import InputError
from thermo.records.remembered import remembered

LIQUID = "liquid"
SHARED = "solid solution"
HOSTED = "solid solution in "  # and the formula of the host
LATTICE, SLOPE, ENTHALPY, ENTROPY = "lattice", "slope", "dH", "dS"
SLOPE_K = 900.0  # where `slope` says nothing


class Parameter(NamedTuple):
    """One parameter by phase and term; hashable, ordered, written phase:term in the generated files."""

    phase: str
    term: str

    @classmethod
    def parse(cls, text: str) -> "Parameter":
        """The parameter a generated file calls by this text; InputError where it names no term."""
        parameter = cls(*text.rpartition(":")[::2])
        solution = parameter.term[:1] in ("a", "b") and parameter.term[1:].isdigit()
        if not parameter.phase or not (solution or parameter.term in (LATTICE, SLOPE, ENTHALPY, ENTROPY)):
            raise InputError(f"parameter {text!r}: allowed is PHASE:TERM with a term such as a0, b1, dH or dS")
        return parameter

    def __str__(self) -> str:
        return f"{self.phase}:{self.term}"

    @property
    def order(self) -> int:
        """k of L_k; 0 for what is no term of a polynomial."""
        return _order(self.term)

    @property
    def host(self) -> str | None:
        """The salt whose kind of crystal takes up the other; None for other phases."""
        return self.phase.removeprefix(HOSTED) if self.phase.startswith(HOSTED) else None

    @property
    def per_kelvin(self) -> bool:
        """Whether it counts in J/(mol K), not J/mol."""
        return self.term[0] == "b" or self.term in (SLOPE, ENTROPY)

    @property
    def unit(self) -> str:
        """As the generated files print it."""
        return "J/(mol K)" if self.per_kelvin else "J/mol"

    def factor(self, T_K):
        """What it is multiplied by in a Gibbs energy at T, composition apart: 1, T, T - 900 K (slope) or -T (dS)."""
        if self.term == SLOPE:
            return T_K - SLOPE_K
        if self.term == ENTROPY:
            return -T_K
        return T_K if self.per_kelvin else 1.0


@remembered
def _order(term: str) -> int:
    return int(term[1:]) if term[1:].isdigit() else 0


REGULAR = (Parameter(LIQUID, "a0"), Parameter(LIQUID, "b0"))  # the interaction of a melt without bends
