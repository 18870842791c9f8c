"""Cooling curves: own arrests recognised, wrong weighing found again, thermometer, hydroxide, refusals, the command."""

import json
import math

import pytest

from thermo.answers.cooling.curve import CLOSE, FITS, LAST, LATER, OFF, SEGREGATED, START, check_cooling
from thermo.answers.cooling.explanations import NO, OPEN, POSSIBLE, SILENT, constant_offset
from thermo.answers.cooling.neighbour_melts import near_melts
from thermo.equilibrium.freezing.liquidus import liquidus
from thermo.equilibrium.freezing.solidus import solidus
from thermo.equilibrium.invariants.lowest import lowest
from thermo.present.command_line.main import main
from thermo.records.composition import formula_mass, from_amounts
from thermo.records.contaminants import contaminated
from thermo.records.provenance import InputError, RangeError, sources
from thermo.records.substances import salts
from thermo.records.units import kelvin

DOWNS = from_amounts({"NaCl": 30, "CaCl2": 70})
EUTECTIC = from_amounts({"LiCl": 58.5, "KCl": 41.5})
TERNARY = from_amounts({"NaCl": 20, "KCl": 30, "LiCl": 50})


def explained(check, key):
    return next(e for e in check.explanations if e.key == key)


def test_own_arrests_are_recognised():
    start, end = liquidus(DOWNS), solidus(DOWNS)
    check = check_cooling(DOWNS, (end.T_K, start.T_K))
    assert [a.verdict for a in check.arrests] == [FITS, FITS]
    assert [a.stage for a in check.arrests] == [START, LAST]  # hot to cold whatever the order typed
    assert check.verdict == "the arrests fit the intended melt"
    assert explained(check, "thermometer").verdict == OPEN


def test_eutectic_melt_is_recognised_by_its_published_temperature():
    # LiCl-KCl eutectic 352-355 deg C, data/invariants.csv
    check = check_cooling(EUTECTIC, (kelvin(353.5),))
    assert check.arrests[0].verdict == FITS
    assert any(c.melt.includes_intended for c in check.candidates) or LAST in check.arrests[0].stage


def test_start_and_last_freezing_close_together_stay_open():
    """At 48 mol% NaCl the two lie some 6 K apart: an arrest between them, read to 5 K, may be either."""
    melt = from_amounts({"NaCl": 48, "CaCl2": 52})
    middle = (liquidus(melt).T_K + solidus(melt).T_K) / 2
    arrest = check_cooling(melt, (middle,), reading_sigma_K=5).arrests[0]
    assert arrest.stage == f"{START} or {LAST}"
    assert "too close to call" in arrest.words


def test_verdicts_follow_the_combined_band():
    start = liquidus(DOWNS)
    band = math.hypot(start.sigma_K, 3)
    for sigmas, verdict in ((0.9, FITS), (1.5, CLOSE), (2.5, OFF)):
        assert check_cooling(DOWNS, (start.T_K + sigmas * band,)).arrests[0].verdict == verdict


@pytest.mark.parametrize("name", ["NaCl", "KCl", "LiCl"])
def test_salt_short_by_five_mole_percent_is_found_again(name):
    amounts = dict(zip(TERNARY.salts, TERNARY.fractions, strict=True))
    true = from_amounts(amounts | {name: amounts[name] * 0.75})
    T_K = liquidus(true).T_K
    meant = dict(zip(true.salts, true.fractions, strict=True))[name]
    found = [m for m in near_melts(TERNARY, T_K, 2.0) if m.moved == (name,)]
    assert any(m.ranges[name][0] <= meant <= m.ranges[name][1] for m in found)


def test_two_salts_and_grams():
    true = from_amounts({"NaCl": 35, "CaCl2": 65})
    check = check_cooling(DOWNS, (liquidus(true).T_K,), reading_sigma_K=1)
    (found,) = check.candidates
    assert found.melt.ranges["NaCl"][0] < 0.35 < found.melt.ranges["NaCl"][1]
    # the calcium chloride kept: 30 mol become 70 x 35/65 = 37.7 mol in (30 x 58.443 + 70 x 110.98) g
    grams = 100 * (70 * 35 / 65 - 30) * formula_mass("NaCl") / (30 * formula_mass("NaCl") + 70 * formula_mass("CaCl2"))
    assert found.melt.grams["NaCl"] == pytest.approx(grams, abs=0.1)  # steps of 0.05 mol% are 0.04 g
    assert found.explains_K == (check.arrests[0].T_K,)


def test_nearest_first_and_within_the_spread():
    found = near_melts(TERNARY, liquidus(TERNARY).T_K + 20, 3.0, spread=0.08)
    assert found
    assert [m.distance for m in found] == sorted(m.distance for m in found)
    for m in found:
        assert sum(m.composition.fractions) == pytest.approx(1)
        for f, x in zip(TERNARY.salts, TERNARY.fractions, strict=True):
            assert all(abs(end - x) <= 0.08 + 1e-9 for end in m.ranges.get(f, (x, x)))


def test_absent_amount_and_nothing_near():
    check = check_cooling(DOWNS, (kelvin(1200),))
    assert check.candidates == ()
    assert any("no composition" in note for note in check.notes)
    assert explained(check, "supercooling").verdict == NO
    assert explained(check, "dissolved impurity").verdict == NO


def test_thermometer_offset_is_found():
    start, end = liquidus(DOWNS), solidus(DOWNS)
    check = check_cooling(DOWNS, (start.T_K - 25, end.T_K - 25))
    cause = explained(check, "thermometer")
    assert cause.verdict == POSSIBLE
    assert cause.value == pytest.approx(25, abs=1e-6)
    assert "NaCl" in cause.check or "KCl" in cause.check


def test_offset_needs_equal_gaps_and_prefers_the_smallest():
    events = [(900.0, 1.0), (700.0, 1.0)]
    assert constant_offset([880.0, 740.0], events, 1.0) is None
    assert constant_offset([1.0, 2.0, 3.0], events, 1.0) is None
    assert constant_offset([710.0], events, 1.0)[0] == pytest.approx(-10)
    offset, sigma = constant_offset([890.0, 690.0], events, 1.0)
    assert offset == pytest.approx(10)
    assert sigma == pytest.approx(1.0)  # two arrests, each known within sqrt(2)


def test_one_arrest_does_not_convict_the_thermometer():
    cause = explained(check_cooling(DOWNS, (liquidus(DOWNS).T_K - 60,)), "thermometer")
    assert cause.verdict == OPEN
    assert "cannot tell" in cause.evidence


def test_hydroxide_arrest_is_recognised():
    """LiCl-LiOH melts from 268 deg C (System 110): 80 K below anything LiCl-KCl can show."""
    check = check_cooling(EUTECTIC, (kelvin(355), kelvin(270)))
    cause = explained(check, "moisture or hydroxide")
    assert check.arrests[1].verdict == OFF
    assert cause.verdict == POSSIBLE
    assert "janz_tomkins1981" in cause.sources
    assert "janz_tomkins1981" in check.sources
    assert check.explanations[0] is cause


def test_an_impurity_raises_nothing():
    """An arrest above the start of freezing is not carbonate, though NaCl-Na2CO3 melts near there."""
    assert explained(check_cooling(from_amounts({"NaCl": 48, "CaCl2": 52}), (kelvin(625),)), "carbonate").verdict == NO


def test_below_everything_is_said_without_data_too():
    check = check_cooling(from_amounts({"LiF": 50, "KF": 50}), (kelvin(300),))
    assert "something else" in explained(check, "moisture or hydroxide").evidence
    assert explained(check, "oxide or sludge").verdict == SILENT


def test_supercooling_only_where_it_can_be():
    top = liquidus(DOWNS).T_K
    assert explained(check_cooling(DOWNS, (top - 20,)), "supercooling").verdict in (OPEN, POSSIBLE)
    assert explained(check_cooling(DOWNS, (top - 60,)), "supercooling").verdict == NO


def test_foreign_matter_follows_the_heat_of_fusion():
    """R T^2/dH = 8.314 x 1073.8^2/28158 = 340 K a mole fraction for pure NaCl: 3.4 K a mol%."""
    cause = explained(check_cooling(from_amounts({"NaCl": 1}), (kelvin(790),)), "dissolved impurity")
    drop = liquidus(from_amounts({"NaCl": 1})).T_K - kelvin(790)
    assert drop / cause.value == pytest.approx(3.40, rel=0.01)


def test_segregation_keeps_liquid_below_the_solidus():
    """A sodium-rich (Na,K)Cl crystal freezes wholly far above the minimum, which a melt left by coring can reach."""
    cored = from_amounts({"NaCl": 90, "KCl": 10})
    found = check_cooling(cored, (solidus(cored).T_K - 30,), reading_sigma_K=1)
    assert found.solidus_K - 40 > lowest(cored.salts).T_K
    assert found.arrests[0].stage == SEGREGATED
    assert found.arrests[0].verdict == CLOSE


@pytest.mark.slow
def test_two_anions_have_all_their_events():
    """LiF in NaCl-KCl: LiF, then (Na,K)Cl; below the last freezing a segregated liquid may last, not to 150 deg C."""
    mixed = from_amounts({"LiF": 16, "NaCl": 45, "KCl": 39})  # 5 mol% beside the published eutectic
    start, end = liquidus(mixed), solidus(mixed)
    check = check_cooling(mixed, (start.T_K, end.T_K, end.T_K - 100), reading_sigma_K=1)
    assert [(event.stage, event.solids[0]) for event in check.events[:2]] == [(START, "LiF"), (LATER, "(Na,K)Cl")]
    assert [event.stage for event in check.events] == [START, LATER, LAST]
    assert START in check.arrests[0].stage
    assert LAST in check.arrests[1].stage
    assert check.arrests[2].stage == SEGREGATED
    assert [a.verdict for a in check.arrests] == [FITS, FITS, CLOSE]
    assert check.solidus_K == end.T_K
    assert check_cooling(mixed, (kelvin(150),)).arrests[0].verdict == OFF


def test_a_single_salt_has_one_event():
    assert check_cooling(from_amounts({"NaCl": 1}), (kelvin(800.7),)).arrests[0].verdict == FITS


def test_against_a_melt_that_nobody_can_say_freezes_nothing_fits():
    """CsCl-ZnCl2: no double salt on file, the liquidus is open by 500 K, and every arrest would lie inside that."""
    with pytest.raises(RangeError, match="unknown"):
        check_cooling(from_amounts({"CsCl": 50, "ZnCl2": 50}), (kelvin(250),))


@pytest.mark.parametrize("arrests", [(), (math.nan,), (math.inf,), (-5.0,), (0.0,), (2300.0,), (700.0,) * 9])
def test_bad_readings_are_one_line(arrests):
    with pytest.raises(InputError) as caught:
        check_cooling(DOWNS, arrests)
    assert "\n" not in str(caught.value)
    assert "allowed" in str(caught.value)


@pytest.mark.parametrize(
    "told", [{"reading_sigma_K": 0}, {"reading_sigma_K": math.nan}, {"spread": 0}, {"spread": 0.7}]
)
def test_bad_bands_are_refused(told):
    with pytest.raises(InputError, match="allowed"):
        check_cooling(DOWNS, (800.0,), **told)


def test_contaminants_file():
    for row in contaminated():
        assert row.salt in salts()
        assert row.source in sources()
        assert salts()[row.salt].melting_point_K > row.T_K  # an impurity lowers
        assert row.provenance == "memory" or not row.unsure
        assert row.x_contaminant is None or 0 < row.x_contaminant < 1


# ---- the command -----------------------------------------------------------------------------------------------------

WORDS = ["cooling", "NaCl=30", "CaCl2=70", "--arrest", "600", "--arrest", "499"]


def test_command_json_and_text(capsys):
    assert main([*WORDS, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [a["T_C"] for a in found["arrests"]] == [600, 499]
    assert found["compositions"][0]["off_per_100_g"]["NaCl"] > 0
    assert main(WORDS) == 0
    text = capsys.readouterr().out
    assert found["verdict"] in text
    assert "g NaCl too much per 100 g" in text


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["cooling", "NaCl=1"], "no arrest"),
        (["cooling", "NaCl=1", "--arrest", "2500"], "2500"),
        (["cooling", "NaCl=1", "--arrest", "-300"], "-300"),
        (["cooling", "NaCl=1", "--arrest", "warm"], "'warm'"),
        (["cooling", "NaCl=1", "--arrest", "800", "--reading-sigma", "0"], "0 K"),
        (["cooling", "NaCl=1", "--arrest", "800", "--spread", "80"], "80 mol%"),
        (["cooling", "NaCl=1", *(["--arrest", "800"] * 9)], "9 given"),
    ],
)
def test_command_refuses_in_one_line(words, named, capsys):
    assert main(words) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.count("\n") == 1
    assert named in printed.err


def test_stages_are_told_in_order_and_may_be_left():
    told = []
    check_cooling(TERNARY, (liquidus(TERNARY).T_K,), progress=lambda done, of: told.append((done, of)))
    assert [done for done, _ in told] == list(range(len(told)))
    assert {of for _, of in told} == {6}
    assert len(told) >= 4

    def leave(done, _of):
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        check_cooling(TERNARY, (600.0,), progress=leave)
