"""What may the pot, the electrodes and the lining be made of, at this temperature, with this melt and this metal?

Three questions per material, each with its reason: is T below its service limit in the atmosphere (data/vessels.csv,
data/materials.csv); does the melt leave it alone (the same tables); does the metal leave it alone. The last is computed
for oxides from Gibbs energies (thermo.laws.oxide_stability); what a metal dissolves or eats is data/metal_attack.csv.
Verdicts: `fits` (no reason against), `with care` (a reason that limits), `unfit` (hot, dissolved or reduced).
Limits: nothing on thermal shock, creep, price or how long; sodium and potassium also eat silica by forming silicates.
Worked value: magnesium at 700 deg C: alumina is unfit (reduced, 39 kJ per mole of O), magnesia fits.
"""

from dataclasses import dataclass
from types import MappingProxyType

from thermo.answers.window import check_atmosphere
from thermo.laws.oxide_stability import Exchange, exchange
from thermo.records.attack import attack_by
from thermo.records.composition import Composition, anions
from thermo.records.provenance import number, read_table
from thermo.records.remembered import remembered
from thermo.records.substances import metal
from thermo.records.units import ZERO_C, celsius
from thermo.records.vessels import vessels

VERDICTS = ("fits", "with care", "unfit")
SILICATE_FORMERS = ("Li", "Na", "K", "Rb", "Cs")


@dataclass(frozen=True)
class Material:
    """One material; limits in K, what the tables say of melts, the oxides it is made of, its sources."""

    name: str
    roles: tuple[str, ...]
    oxides: tuple[str, ...]
    chlorine_limit_K: float | None
    air_limit_K: float
    inert_limit_K: float
    chlorides: str
    fluorides: str
    attack: str
    note: str
    source: str


@dataclass(frozen=True)
class MaterialVerdict:
    """A material judged for one melt, metal, temperature and atmosphere; exchanges hold the computed numbers."""

    name: str
    roles: tuple[str, ...]
    verdict: str
    limit_K: float
    reasons: tuple[str, ...]
    exchanges: tuple[Exchange, ...]


@remembered
def materials() -> MappingProxyType:
    """Every material by name; limits and words of a vessel come from data/vessels.csv."""
    return MappingProxyType({row["material"]: _material(row) for row in read_table("materials.csv")})


def _material(row: dict[str, str]) -> Material:
    name = row["material"]
    chlorine = number(row["chlorine_limit_C"])
    pot = vessels().get(name)
    return Material(
        name=name,
        roles=_list(row["roles"]),
        oxides=_list(row["oxides"]),
        chlorine_limit_K=None if chlorine is None else chlorine + ZERO_C,
        air_limit_K=float(row["air_limit_C"]) + ZERO_C if pot is None else pot.air_limit_K,
        inert_limit_K=float(row["inert_limit_C"]) + ZERO_C if pot is None else pot.inert_limit_K,
        chlorides=row["chlorides"] if pot is None else pot.chlorides,
        fluorides=row["fluorides"] if pot is None else pot.fluorides,
        attack=row["attack"] if pot is None else pot.attack,
        note=row["note"],
        source=row["source"],
    )


def _list(text: str) -> tuple[str, ...]:
    return tuple(word for word in text.split("; ") if word)


def judge_materials(
    composition: Composition, symbol: str | None, T_K: float, atmosphere: str = "inert"
) -> tuple[MaterialVerdict, ...]:
    """Every material judged, those that fit first; InputError for an unknown metal or atmosphere."""
    if symbol is not None:
        metal(symbol)
    check_atmosphere(atmosphere)
    judged = [_judge(material, composition, symbol, T_K, atmosphere) for material in materials().values()]
    return tuple(sorted(judged, key=lambda verdict: VERDICTS.index(verdict.verdict)))


def _judge(material: Material, melt: Composition, symbol: str | None, T_K: float, atmosphere: str) -> MaterialVerdict:
    limit = material.air_limit_K if atmosphere == "air" else material.inert_limit_K
    against: list[tuple[str, str]] = []
    if limit < T_K:
        where = "in air" if atmosphere == "air" else "under inert gas"
        against.append(("unfit", f"service limit {celsius(limit):.0f} deg C {where}"))
    against += _melt_reasons(material, melt, T_K)
    exchanges: tuple[Exchange, ...] = ()
    if symbol is not None:
        exchanges = tuple(e for oxide in material.oxides if (e := exchange(symbol, oxide, T_K)) is not None)
        against += [_oxide_reason(e) for e in exchanges if e.verdict not in ("stands", "likely stands")]
        against += _metal_reasons(material, symbol, T_K)
    worst = max((VERDICTS.index(severity) for severity, _ in against), default=0)
    reasons = tuple(reason for _, reason in against)
    if material.note:
        reasons += (material.note,)
    return MaterialVerdict(material.name, material.roles, VERDICTS[worst], limit, reasons, exchanges)


def _melt_reasons(material: Material, melt: Composition, T_K: float) -> list[tuple[str, str]]:
    reasons, found = [], anions(melt.present.salts)
    for anion in found:
        word, family = {"F": (material.fluorides, "fluorides"), "Cl": (material.chlorides, "chlorides")}[anion]
        if word == "no":
            reasons.append(("unfit", f"molten {family} dissolve it"))
        elif word not in ("yes", "best metal"):
            reasons.append(("with care", f"in molten {family}: {word}"))
    chlorine = material.chlorine_limit_K
    if "Cl" in found and chlorine is not None and chlorine < T_K and "chlorine" not in material.chlorides:
        limit = f"{celsius(chlorine):.0f} deg C"
        reasons.append(("with care", f"keep free chlorine off it: it stands chlorine only below {limit}"))
    return reasons


def _oxide_reason(found: Exchange) -> tuple[str, str]:
    gain = f"{found.difference_J_mol / 1000:+.0f} +- {found.sigma_J_mol / 1000:.0f} kJ per mole of O"
    if found.verdict in ("reduces", "likely reduces"):
        return "unfit", f"{found.metal} {found.verdict} {found.oxide} ({gain})"
    return "with care", f"{found.metal} against {found.oxide}: {found.verdict} ({gain})"


def _metal_reasons(material: Material, symbol: str, T_K: float) -> list[tuple[str, str]]:
    reasons = []
    found = attack_by(symbol, material.name)
    if found is not None:
        above = "" if found.from_K is None else f" (from {celsius(found.from_K):.0f} deg C)"
        severity = "unfit" if found.unfit(T_K) else "fits" if found.kind == "wets" else "with care"
        reasons.append((severity, f"{found.words}{above}"))
    if symbol in SILICATE_FORMERS and "SiO2" in material.oxides:
        reasons.append(("unfit", f"{symbol} eats silica by forming silicates (common practice, not computed)"))
    return reasons
