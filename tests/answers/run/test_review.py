"""The review of a run: each cause where its number is, none where it is not, weights, words, refusals, the command."""

import argparse
import json

import pytest

from thermo.answers.drift import bath_drift
from thermo.answers.run.causes import all_causes, freezing_bath_g
from thermo.answers.run.facts import facts_of, run_of
from thermo.answers.run.review import REST, review
from thermo.answers.weighing import WATER_AH_G
from thermo.laws.faraday import metal_g_per_Ah
from thermo.present.as_json.review import review_json
from thermo.present.command_line.review import add_arguments, review_text, run
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, read_table, sources
from thermo.records.seen_in_a_run import observation_named, observations
from thermo.records.units import kelvin

MAGNESIUM = from_amounts({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "mass")
LITHIUM = from_amounts({"LiCl": 30, "KCl": 30}, "mass")
DOWNS = from_amounts({"NaCl": 48, "CaCl2": 52})


def strengths(melt, symbol, t_C, weighed_g, seen=False, **told):
    facts = facts_of(run_of(melt, symbol, kelvin(t_C), 5, 2, weighed_g, **told), seen)
    return {cause.key: cause for cause in all_causes(facts)}


def first(melt, symbol, t_C, weighed_g, *saw, **told):
    return review(run_of(melt, symbol, kelvin(t_C), 5, 2, weighed_g, **told), saw).causes[0].key


def test_a_run_below_a_published_freezing_point_was_frozen():
    """LiCl-KCl-NdCl3 55.7-33.2-11.1 freezes at 460 deg C (Zhang 1989), computed near 425: run at 440."""
    melt = from_amounts({"LiCl": 55.7, "KCl": 33.2, "NdCl3": 11.1})
    cause = strengths(melt, "Li", 440, 0.1)["bath partly frozen"]
    assert "published, 0.0 mol% away" in cause.evidence
    assert cause.strength > 0.8


def test_efficiency_is_faraday():
    found = review(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, 3.0))
    assert found.current_efficiency == pytest.approx(0.6616, abs=0.001)  # 3.00 g of Mg after 5 A for 2 h: 66.16 %
    assert found.efficiency_sigma > 0


@pytest.mark.parametrize(
    ("melt", "symbol", "t_C", "weighed", "saw", "told", "key"),
    [
        (MAGNESIUM, "Mg", 600, 0.5, ("black sponge",), {}, "solid deposit"),
        (MAGNESIUM, "Mg", 700, 0.5, ("fine grey sludge",), {"bath_g": 200}, "oxide on the metal"),
        (MAGNESIUM, "Mg", 700, 0.5, ("foam",), {"bath_g": 500}, "water took charge"),
        (MAGNESIUM, "Mg", 450, 0.5, ("the melt froze",), {}, "bath partly frozen"),
        (MAGNESIUM, "Mg", 700, 0.5, ("pot-attacked",), {"vessel": "alumina"}, "vessel reduced"),
        (LITHIUM, "Li", 450, 2.2, ("froze",), {"bath_g": 60}, "bath drifted to freezing"),
        (LITHIUM, "Li", 500, 0.4, ("burning",), {"atmosphere": "air"}, "floated and burned"),
        (DOWNS, "Ca", 860, 1.0, (), {}, "another metal"),
        (MAGNESIUM, "Ca", 870, 0.0, ("nothing at the cathode",), {}, "no salt of the metal"),
        (MAGNESIUM, "Mg", 700, 0.0, ("nothing",), {"volts": 2.0}, "voltage too low"),
        (MAGNESIUM, "Mg", 700, 9.0, (), {}, "more than the charge can make"),
        (from_amounts({"KCl": 1}), "K", 850, 1.0, (), {}, "metal boiled off"),
        (from_amounts({"CaCl2": 1}), "Ca", 900, 1.0, ("coloured fog",), {}, "dissolved or burned back"),
        (
            from_amounts({"MgCl2": 20, "LiCl": 70, "KCl": 10}, "mass"),
            "Mg",
            700,
            1.0,
            ("beads at the bottom",),
            {},
            "sank",
        ),
    ],
)
def test_the_cause_with_the_number_ranks_first(melt, symbol, t_C, weighed, saw, told, key):
    assert first(melt, symbol, t_C, weighed, *saw, **told) == key


def test_solid_deposit_follows_the_melting_point():
    below, at, above = (strengths(MAGNESIUM, "Mg", t, 0.5).get("solid deposit") for t in (600, 650, 700))
    assert below.strength == pytest.approx(1, abs=0.01)
    assert at.strength == pytest.approx(0.5, abs=0.01)
    assert above is None or above.strength < 1e-3


def test_water_carries_what_its_mass_can():
    # 10 A h with 0.5 g weighed lose 8.9 A h; 2 % of a 100 g bath of MgCl2 is 2 g of water, 5.95 A h
    facts = facts_of(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, 0.5, bath_g=100))
    cause = next(c for c in all_causes(facts) if c.key == "water took charge")
    assert cause.strength == pytest.approx(2 * WATER_AH_G / facts.lost_Ah * facts.shortfall)
    dry = next(
        c
        for c in all_causes(facts_of(run_of(LITHIUM, "Li", kelvin(450), 5, 2, 0.5, bath_g=100)))
        if c.key == "water took charge"
    )
    wet = next(
        c
        for c in all_causes(facts_of(run_of(LITHIUM, "Li", kelvin(450), 5, 2, 0.5, bath_g=100, hydrates=("LiCl",))))
        if c.key == "water took charge"
    )
    assert wet.strength == pytest.approx(4 * dry.strength)


def test_drift_threshold_agrees_with_the_drift():
    facts = facts_of(run_of(LITHIUM, "Li", kelvin(450), 5, 2, 2.2))
    grams, sigma_g = freezing_bath_g(facts)
    path = bath_drift(LITHIUM, "Li", kelvin(450), grams, 10.0, facts.efficiency)
    assert path.freezes.charge_Ah == pytest.approx(10.0, rel=1e-3)
    assert sigma_g / grams == pytest.approx(path.freezes.sigma_Ah / 10.0, rel=1e-2)  # both from slopes by differences


def test_bath_mass_decides_the_drift():
    small = strengths(LITHIUM, "Li", 450, 2.2, True, bath_g=50)
    large = strengths(LITHIUM, "Li", 450, 2.2, True, bath_g=600)
    assert small["bath drifted to freezing"].strength > 0.3
    assert large.get("bath drifted to freezing") is None or large["bath drifted to freezing"].strength < 0.01


def test_a_good_yield_asks_for_no_cause():
    found = review(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, 4.1, bath_g=500))
    assert found.causes == ()
    assert any("nothing asks for a cause" in note for note in found.notes)


@pytest.mark.parametrize(("sigmas", "named"), [(1.5, False), (2.5, True)])
def test_more_than_possible_needs_more_than_the_spread(sigmas, named):
    most = 10 * metal_g_per_Ah("Mg")
    # 1 % of the charge and 0.01 g, in quadrature, relative to the most
    weighed = most * (1 + sigmas * ((0.01 / most) ** 2 + 0.01**2) ** 0.5)
    found = review(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, weighed))
    assert ([cause.key for cause in found.causes] == ["more than the charge can make"]) == named
    assert any("nothing asks for a cause" in note for note in found.notes) != named


def test_a_pot_too_hot_in_air_is_not_said_to_be_attacked_by_the_metal():
    cause = strengths(MAGNESIUM, "Mg", 700, 0.5, vessel="graphite", atmosphere="air")["vessel reduced"]
    assert "service limit" in cause.evidence
    assert cause.cause == "the vessel did not stand the metal, the melt or the heat"


def test_every_cause_has_number_and_remedy():
    found = review(
        run_of(MAGNESIUM, "Mg", kelvin(640), 5, 2, 0.5, 100, 5.0, "alumina", "air"), ("foam", "black-sponge")
    )
    assert len(found.causes) >= 4
    for cause in found.causes:
        assert any(character.isdigit() for character in cause.evidence), cause
        assert cause.remedy
        assert 0 <= cause.weight <= 1


@pytest.mark.parametrize("saw", [(), ("foam",), ("black-sponge", "white-crust"), tuple(observations())])
def test_weights_are_ordered_and_leave_room(saw):
    found = review(run_of(MAGNESIUM, "Mg", kelvin(640), 5, 2, 0.5, 100), saw)
    weights = [cause.weight for cause in found.causes]
    assert weights == sorted(weights, reverse=True)
    assert sum(weights) < 1
    assert found.run.weighed_g == 0.5


def test_seeing_something_typical_raises_its_cause():
    def weight(*saw):
        causes = review(run_of(MAGNESIUM, "Mg", kelvin(645), 5, 2, 0.5, 100), saw).causes
        return next(c.weight for c in causes if c.key == "solid deposit")

    plain, seen, against = weight(), weight("black-sponge"), weight("nothing-at-cathode")
    assert against < plain < seen
    assert REST > 0


def test_what_is_seen_never_makes_a_cause_without_a_number():
    # lithium 270 K above its melting point, bath far above its liquidus: sponge and freezing have no number
    found = review(run_of(LITHIUM, "Li", kelvin(600), 5, 2, 2.4, 1000), ("pot-attacked", "voltage-rose"))
    assert {"vessel reduced", "bath drifted to freezing", "salt ran short"}.isdisjoint({c.key for c in found.causes})
    assert any("pot pitted" in line and "nothing computed here explains it" in line for line in found.unexplained)
    assert any("voltage rose" in line for line in found.unexplained)


def test_missing_bath_mass_is_said():
    found = review(run_of(LITHIUM, "Li", kelvin(450), 5, 2, 2.2))
    assert any("mass of the bath was not told" in note and "would have frozen" in note for note in found.notes)


def test_a_threshold_less_sure_than_itself_is_said_with_the_mass_that_may_have_frozen():
    (note,) = (n for n in review(run_of(MAGNESIUM, "Mg", kelvin(640), 5, 2, 0.5)).notes if "not told" in n)
    grams, sigma_g = freezing_bath_g(facts_of(run_of(MAGNESIUM, "Mg", kelvin(640), 5, 2, 0.5)))
    assert 2 * sigma_g > grams
    assert note.endswith("g may have)")
    assert "e+" not in note
    (sure,) = (n for n in review(run_of(LITHIUM, "Li", kelvin(450), 5, 2, 2.2)).notes if "not told" in n)
    assert "+-" in sure


def test_weak_chlorine_is_answered_with_a_volume():
    found = review(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, 0.5), ("chlorine smell weak",))
    assert any("4.6 L of Cl2" in note for note in found.notes)  # 10 A h x 456.4 mL


def test_observation_table():
    keys = {
        "solid deposit", "bath partly frozen", "bath drifted to freezing", "salt ran short", "no salt of the metal",
        "another metal", "floated and burned", "sank", "hung in the melt", "metal boiled off", "salt vapour",
        "water took charge", "oxide on the metal", "dissolved or burned back", "voltage too low",
        "more than the charge can make", "vessel reduced", "stopped halfway",
    }  # fmt: skip
    for seen in observations().values():
        assert set(seen.factors) <= keys, seen.word
        assert all(factor > 0 for factor in seen.factors.values())
        assert any(factor > 1 for factor in seen.factors.values())
    assert {row["source"] for row in read_table("observations.csv")} <= set(sources())


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("black sponge", "black-sponge"),
        ("Black-Sponge", "black-sponge"),
        ("sponge", "black-sponge"),
        ("metal burning on top", "burning-on-top"),
        ("chlorine smell weak", "weak-chlorine"),
        ("froze", "melt-froze"),
        ("beads at the bottom", "beads-at-bottom"),
        ("foam", "foam"),
    ],
)
def test_words_people_use(word, found):
    assert observation_named(word).word == found


@pytest.mark.parametrize("word", ["purple rain", "beads", "", "-", "the"])
def test_words_not_in_the_list(word):
    with pytest.raises(InputError, match="saw"):
        observation_named(word)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"weighed_g": -1}, "weighed metal"),
        ({"weighed_g": float("nan")}, "weighed metal"),
        ({"amps": 0}, "current"),
        ({"hours": -2}, "time"),
        ({"bath_g": 0}, "mass of the bath"),
        ({"volts": -1}, "cell voltage"),
        ({"symbol": "Xx"}, "metal"),
        ({"vessel": "paper"}, "vessel"),
        ({"atmosphere": "nitrogen"}, "atmosphere"),
        ({"hydrates": ("LiCl",)}, "LiCl as hydrate"),
    ],
)
def test_refusals(change, message):
    told = {"composition": MAGNESIUM, "symbol": "Mg", "T_K": 973.15, "amps": 5, "hours": 2, "weighed_g": 1} | change
    with pytest.raises(InputError, match=message) as error:
        run_of(**told)
    assert "\n" not in str(error.value)


def test_more_metal_than_the_bath_held():
    with pytest.raises(InputError, match="the bath holds"):
        review(run_of(MAGNESIUM, "Mg", kelvin(700), 5, 2, 4.0, bath_g=20))


def test_dictionary_has_the_agreed_keys():
    found = json.loads(json.dumps(review_json(review(run_of(MAGNESIUM, "Mg", kelvin(600), 5, 2, 0.5), ("sponge",)))))
    assert found["current_efficiency"] == pytest.approx(0.5 / (10 * metal_g_per_Ah("Mg")), abs=1e-4)
    assert all({"cause", "evidence", "weight", "remedy"} <= set(cause) for cause in found["likely_causes"])
    text = review_text(found)
    assert "current efficiency  11.0" in text
    assert "remedy" in text


def test_command(capsys):
    parser = argparse.ArgumentParser()
    parser.add_argument("--json", action="store_true")
    add_arguments(parser)
    words = ["MgCl2=20", "NaCl=40", "KCl=40", "--basis", "mass", "--metal", "Mg", "--at", "600"]
    words += ["--amps", "5", "--hours", "2", "--weighed-g", "0.5"]
    assert run(parser.parse_args([*words, "--saw", "black-sponge", "white-crust", "--json"])) == 0
    assert json.loads(capsys.readouterr().out)["likely_causes"][0]["key"] == "solid deposit"
    with pytest.raises(InputError, match="--basis"):
        run(parser.parse_args([*words[:3], "--basis", "volume", *words[5:]]))
    with pytest.raises(InputError, match="--at"):
        run(parser.parse_args([*words[:8], "-300", *words[9:]]))
