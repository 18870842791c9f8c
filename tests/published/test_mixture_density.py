"""Densities against published values: pure salts, mixtures that were fitted, mixtures that were not, pairs left out.

Run with -s to see every system: rows, mean and largest error, and the difference in standard deviations.
"""

import chemicals
import numpy as np
import pytest

from thermo.fitting.volume_fit import family_errors, fit
from thermo.fitting.volume_points import points
from thermo.laws.density import melt_density_field, salt_density, salt_line
from thermo.laws.density_line import density_line
from thermo.laws.excess_volume import family
from thermo.records.composition import formula_mass
from thermo.records.provenance import read_table

CAS = {
    "LiCl": "7447-41-8",
    "NaCl": "7647-14-5",
    "KCl": "7447-40-7",
    "RbCl": "7791-11-9",
    "CsCl": "7647-17-8",
    "MgCl2": "7786-30-3",
    "CaCl2": "10043-52-4",
    "SrCl2": "10476-85-4",
    "BaCl2": "10361-37-2",
    "ZnCl2": "7646-85-7",
    "LaCl3": "10099-58-8",
    "CeCl3": "7790-86-5",
    "LiF": "7789-24-4",
    "NaF": "7681-49-4",
    "KF": "7789-23-3",
    "RbF": "13446-74-7",
    "CsF": "13400-13-0",
    "CaF2": "7789-75-5",
    "SrF2": "7783-48-4",
    "BaF2": "7787-32-8",
    "LaF3": "13709-38-1",
    "CeF3": "7758-88-5",
}
ALL = points()
SYSTEMS = sorted({("-".join(p.salts), p.dataset) for p in ALL if p.use == "fit" and p.scale > 0})
# sets whose own pure ends lie 2-6 % below the accepted lines (named in the rows): their level cannot be met, only shape
LIGHT_SETS = {"nbs61_77": "off by 3.6 % (mean)", "nbs61_79": "off by 3.2 % (mean)"}


def melt(p):
    rho, sigma = melt_density_field(p.salts, p.fractions[None, :], p.T_K)
    mass = sum(x * formula_mass(name) for name, x in zip(p.salts, p.fractions, strict=True))
    return float(rho[0]), float(sigma[0]), mass / (p.additive + p.excess)


@pytest.mark.parametrize("formula", CAS)
def test_pure_salts_against_the_handbook_table(formula):
    """CRC, density of molten elements and representative salts, read through the package chemicals (offline)."""
    table = chemicals.volume.rho_data_CRC_inorg_l
    row = table.loc[CAS[formula]]
    # the table prints 1 kg/m3; so half of that
    for T_K in (row["Tm"], row["Tmax"]):
        published = (row["rho"] - row["k"] * (T_K - row["Tm"])) / 1000
        assert salt_density(formula, T_K).value_g_cm3 == pytest.approx(published, abs=6e-4)


@pytest.mark.parametrize(
    ("formula", "t_C", "published", "spread"),
    [
        ("KCl", 800, 1.513, 0.007),  # ORNL-2061 Table 4.19, maximum bubble pressure
        ("KCl", 800, 1.5102, 0.003),  # Van Artsdalen & Yaffe, quoted there; spread assigned
        ("BaCl2", 1000, 4.0152 - 0.0006813 * 1273.15, 0.016),  # NSRDS-NBS 61 IV system 54, 0.5 %
        ("MgCl2", 750, 1.9497 - 0.0002705 * 1023.15, 0.017),  # NSRDS-NBS 61 IV system 97, 1 %
        ("CaCl2", 830, 2.4986 - 0.0003976 * 1103.15, 0.021),  # NSRDS-NBS 61 IV system 97, 1 %
    ],
)
def test_pure_salts_against_other_laboratories(formula, t_C, published, spread):
    found = salt_density(formula, t_C + 273.15)
    assert abs(found.value_g_cm3 - published) < 2 * np.hypot(found.sigma_g_cm3, spread)


SECOND = [
    row for row in read_table("density/salts.csv") if row["chosen"] == "no" and "scale of th" not in row["caveat"]
]


@pytest.mark.parametrize("row", SECOND, ids=lambda row: f"{row['salt']}-{row['source']}-{row['a_g_cm3']}")
def test_second_lines_agree_within_their_spreads(row):
    """Every second line on file that is not said to be off, at the middle of the chosen span."""
    chosen, other = salt_line(row["salt"]), density_line(row, row["salt"])
    T_K = (chosen.T_lo_K + chosen.T_hi_K) / 2
    gap = other.density(T_K) / chosen.density(T_K) - 1
    assert abs(gap) < 2 * np.hypot(chosen.relative_sigma(T_K), other.relative_sigma(T_K))


@pytest.mark.parametrize(("system", "dataset"), SYSTEMS, ids=lambda v: str(v))
def test_measured_mixtures(system, dataset, request):
    """Mean absolute error of at most 1.0 % wherever the pair was measured; NSRDS-NBS 61 IV states 1-2 %."""
    if dataset in LIGHT_SETS:
        reason = f"{LIGHT_SETS[dataset]} because its own pure ends are 2-6 % lighter than every other measurement"
        request.applymarker(pytest.mark.xfail(reason=reason, strict=True))
    errors, sigmas = [], []
    for p in ALL:
        if p.use == "fit" and p.dataset == dataset and "-".join(p.salts) == system:
            found, sigma, published = melt(p)
            errors.append(100 * (found / published - 1))
            sigmas.append((found - published) / np.hypot(sigma, published * p.sigma / (p.additive + p.excess)))
    print(
        f"{system:14s} {dataset:18s} {len(errors):3d} values  mean |error| {np.mean(np.abs(errors)):.2f} %  "
        f"largest {max(errors, key=abs):+.2f} %  in sigmas: rms {np.sqrt(np.mean(np.square(sigmas))):.2f}, "
        f"largest {max(sigmas, key=abs):+.2f}"
    )
    assert np.mean(np.abs(errors)) <= 1.0
    assert np.max(np.abs(sigmas)) < 3


CHECKS = [p for p in ALL if p.use == "check" and p.scale > 0]


@pytest.mark.parametrize("p", CHECKS, ids=lambda p: f"{'-'.join(p.salts)}-{p.dataset}-{p.T_K:.0f}")
def test_mixtures_that_were_not_fitted(p):
    """Rows kept out of the fit, at two standard deviations of both sides together."""
    found, sigma, published = melt(p)
    own = published * np.hypot(p.sigma / 2**0.5, p.scale) / (p.additive + p.excess)
    print(f"{'-'.join(p.salts):14s} {p.T_K:.0f} K found {found:.4f} published {published:.4f}", end=" ")
    print(f"{100 * (found / published - 1):+.2f} % = {(found - published) / np.hypot(sigma, own):+.1f} sigma")
    assert abs(found - published) < 2 * np.hypot(sigma, own)


def test_flinak_from_its_pairs_alone():
    """LiF-NaF-KF 46.5/11.5/42 (NSRDS-NBS 61 IV system 78, stated 2 %) from measured pairs only: within 1 %."""
    own = [p for p in CHECKS if p.dataset == "nbs61_78"]
    assert len(own) == 2
    for p in own:
        found, _, published = melt(p)
        assert found == pytest.approx(published, rel=0.01)


FITTED = fit(ALL)
MEASURED = [f.salts for f in FITTED.pairs if f.rows >= 3]


def _left_out(pair):
    """Rms error (per cent at equimolar) of a pair predicted without its rows, and the spread given to it then."""
    rest = [p for p in ALL if set(p.salts) != set(pair)]
    own = [p for p in ALL if p.use == "fit" and set(p.salts) == set(pair)]
    weights = np.array([4 * np.prod(p.fractions) for p in own])
    percents = np.array([100 * FITTED.without_scale(p) / p.additive for p in own])
    keep = weights >= 0.3
    error = float(np.sqrt(np.mean((percents[keep] / weights[keep]) ** 2)))
    return error, family_errors(rest)[family(*pair)][0]


def test_leave_one_system_out():
    """Each measured pair predicted from the others: additive volumes, spread of its family.

    If the spreads are honest about 95 % lie within two; one miss more than that is allowed for so few pairs.
    """
    ratios = {}
    for pair in MEASURED:
        error, spread = _left_out(pair)
        ratios[pair] = error / spread
        print(f"{'-'.join(pair):14s} left out: rms {error:.2f} % at equimolar, spread given {spread:.2f} %")
    outside = [pair for pair, ratio in ratios.items() if ratio > 2]
    one, two = (np.mean([r <= k for r in ratios.values()]) for k in (1, 2))
    print(f"within one spread: {one:.0%}, within two: {two:.0%}")
    assert len(outside) <= 0.05 * len(ratios) + 1


@pytest.mark.parametrize(
    ("mix_wt", "t_C", "published", "spread"),
    [
        # 25/15/60 wt% MgCl2/CaCl2/NaCl at 720 deg C: 1.68 from handbook lines, additive; 0.03 is the rule's own spread
        ({"MgCl2": 25, "CaCl2": 15, "NaCl": 60}, 720, 1.68, 0.03),
        # 20/40/40 wt% MgCl2/NaCl/KCl at 690 deg C: 1.612, additive
        ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, 690, 1.612, 0.03),
    ],
)
def test_baths_against_the_additive_rule(mix_wt, t_C, published, spread):
    total = sum(w / formula_mass(f) for f, w in mix_wt.items())
    fractions = np.array([[w / formula_mass(f) / total for f, w in mix_wt.items()]])
    rho, _ = melt_density_field(tuple(mix_wt), fractions, t_C + 273.15)
    assert rho[0] == pytest.approx(published, abs=spread)
