"""Plans for wishes of our own: twelve steps, masses that close, hours, heat and gas as the other answers have them."""

import pytest

from thermo.answers.cell import hours_for
from thermo.answers.deposition import deposition_order
from thermo.answers.drying_schedule import dried_g
from thermo.answers.heat import melting_heat
from thermo.answers.materials import judge_materials
from thermo.answers.plan.electrodes import LEAST_DEEP_CM, POOL_CM, THIN_CM
from thermo.answers.plan.make import make_plan
from thermo.answers.plan.picture import pot_drawing
from thermo.answers.plan.pot import pot_for
from thermo.answers.plan.wish import PlanWish
from thermo.answers.weighing import weigh_out
from thermo.laws.faraday import halogen, metal_g
from thermo.laws.oxide_cell import oxide_reaction
from thermo.records.composition import from_amounts
from thermo.records.provenance import InputError, sources
from thermo.records.units import celsius, kelvin

WISHES = {
    "magnesium": PlanWish(
        from_amounts({"MgCl2": 20, "KCl": 20, "NaCl": 50, "CaCl2": 10}), "Mg", 25.0,
        bottles={"MgCl2": "KMgCl3.6H2O"}, assays={"CaCl2": 0.77}, supply_V=12.0, supply_A=40.0, furnace_W=1500.0,
        vessel="mild steel", pot_mL=600.0,
    ),
    "lithium": PlanWish(from_amounts({"LiCl": 58, "KCl": 42}), "Li", 2.0, supply_V=12.0, supply_A=10.0,
                        furnace_W=500.0, vessel="mild steel", pot_mL=150.0),
    "calcium": PlanWish(from_amounts({"CaCl2": 85, "KCl": 15}), "Ca", 20.0, bottles={"CaCl2": "CaCl2.2H2O"},
                        supply_V=30.0, supply_A=60.0, furnace_W=2000.0, vessel="mild steel", pot_mL=400.0),
    "neodymium": PlanWish(from_amounts({"LiF": 52.5, "NdF3": 47.5}), "Nd", 5.0, feed="Nd2O3", supply_V=12.0,
                          supply_A=40.0, furnace_W=2500.0, vessel="graphite", pot_mL=150.0),
    "aluminium": PlanWish(from_amounts({"NaF": 66, "AlF3": 28, "CaF2": 6}), "Al", 50.0, feed="Al2O3", supply_V=12.0,
                          supply_A=60.0, furnace_W=2500.0, vessel="graphite", pot_mL=400.0),
}  # fmt: skip


@pytest.fixture(scope="module", params=list(WISHES))
def plan(request):
    return make_plan(WISHES[request.param])


def test_twelve_steps_in_order_each_whole(plan):
    assert plan.possible, plan.why_not
    assert [step.n for step in plan.steps] == list(range(12))
    for step in plan.steps:
        assert step.do
        assert all(step.do)
        assert step.until
        assert step.if_not
        assert step.rests_on in ("computed", "practice")
        assert step.hours > 0
    assert {step.rests_on for step in plan.steps} == {"computed", "practice"}
    assert plan.hours_total == pytest.approx(sum(step.hours for step in plan.steps))
    assert set(plan.sources) <= set(sources())
    assert "local codes" in plan.steps[-1].cautions[-1]


def test_masses_close(plan):
    """Bottles = dry salts + water + what is driven off + what stays; and as `weigh` has them, to 1e-9."""
    wish, found = plan.wish, plan.setting.weighing
    again = weigh_out(wish.composition, found.total_g, dict(wish.bottles), dict(wish.assays))
    assert dict(found.weigh_g) == pytest.approx(dict(again.weigh_g), rel=1e-9)
    parts = sum(found.anhydrous_g.values()) + found.water_g + sum(found.driven_g.values()) + found.other_g
    assert sum(found.weigh_g.values()) == pytest.approx(parts, rel=1e-9)
    dry = plan.steps[1].figures
    assert sum(v for name, v in dry.items() if name.startswith("dry_")) == pytest.approx(found.total_g, rel=1e-9)
    feed = plan.setting.feed
    fed_water = (feed.bottle_g - feed.g - sum(feed.brings_g.values())) * bool(feed.bottle)
    assert dry["water_g"] == pytest.approx(found.water_g + fed_water, rel=1e-9, abs=1e-9)
    assert dry["feed_bottle_g"] == feed.bottle_g


def test_each_dish_weighs_in_the_end_what_is_charged_and_fed(plan):
    """By formula masses alone: dry salts of the charge and of the feed are what stays in the dishes."""
    wish, feed = plan.wish, plan.setting.feed
    last = {step.bottle: step.stays_g for step in plan.setting.drying.steps}
    fed = (feed.g + sum(feed.brings_g.values())) * bool(feed.bottle)
    assert sum(last.values()) == pytest.approx(plan.setting.weighing.total_g + fed, rel=1e-9)
    assert sum(dried_g(plan.setting.weighing, wish.bottles).values()) == pytest.approx(
        plan.setting.weighing.total_g, rel=1e-9
    )


def test_hours_charge_and_metal_are_faradays(plan):
    wish, run = plan.wish, plan.steps[6].figures
    low = run["efficiency_low"]
    assert run["run_hours"] == pytest.approx(hours_for(wish.symbol, wish.want_g, run["amps_A"], low), rel=1e-9)
    assert metal_g(wish.symbol, run["charge_Ah"], low) == pytest.approx(wish.want_g, rel=1e-9)
    assert run["metal_low_g"] == pytest.approx(wish.want_g, rel=1e-9)
    assert run["charge_Ah"] == pytest.approx(run["amps_A"] * run["run_hours"], rel=1e-9)


def test_heat_and_gas_are_those_of_the_cell(plan):
    setting, run = plan.setting, plan.steps[6].figures
    joule = melting_heat(setting.melt, setting.weighing.total_g, setting.T_K).J
    assert plan.steps[2].figures["melting_kJ"] == pytest.approx(joule / 1000, rel=1e-9)
    if plan.wish.feed is None:
        anion = {"Cl2": "Cl", "F2": "F"}[run["gas"]]
        gas = halogen(anion, run["charge_Ah"])
        assert (run["gas_g"], run["gas_L"], run["NaOH_g"]) == pytest.approx((gas.g, gas.L, gas.NaOH_g), rel=1e-9)
    else:
        assert run["gas"] == "CO2"
        assert run["carbon_g"] > 0
        assert plan.steps[0].figures["hold_W"] == pytest.approx(setting.cell.heat.lid_W[1])
        rate = oxide_reaction(plan.wish.feed, "CO2", setting.T_K).feed_g_per_Ah
        assert run["feed_g"] == pytest.approx(rate * run["charge_Ah"] * run["efficiency_low"], rel=1e-9)


def test_the_supply_can_give_what_is_asked(plan):
    setting = plan.setting
    assert setting.electrodes.amps <= 0.9 * plan.wish.supply_A + 1e-9
    assert setting.cell.voltage.supply_V.mid <= plan.wish.supply_V
    own = deposition_order(setting.melt, setting.T_K, plan.wish.symbol).couple(plan.wish.symbol)
    assert plan.steps[4].figures["volts_V"] < own.E_V


def test_temperature_lies_in_the_window_and_the_metal_where_the_densities_say(plan):
    setting = plan.setting
    assert setting.window.low_K <= setting.T_K <= setting.window.high_K
    expected = {"Mg": "top", "Li": "top", "Ca": "top", "Nd": "bottom", "Al": "bottom"}
    assert setting.collects == expected[plan.wish.symbol]
    assert plan.steps[5].figures["collects"] == setting.collects


def test_electrodes_fit_the_pot_and_carry_their_current(plan):
    poles, pot = plan.setting.electrodes, plan.setting.pot
    assert poles.amps / poles.geometry.cathode_cm2 == pytest.approx(poles.cathode_A_cm2)
    assert THIN_CM <= poles.anode_cm < pot.diameter_cm / 2
    assert poles.anode_deep_cm <= pot.immersed_cm + 1e-9
    assert poles.cathode_deep_cm == 0 or poles.cathode_deep_cm > 0.99 * LEAST_DEEP_CM  # no needle
    if plan.setting.cell.kind.cathode == "pool":
        assert poles.anode_deep_cm + poles.geometry.gap_cm + POOL_CM <= pot.depth_cm + 1e-9
    assert poles.geometry.gap_cm < pot.diameter_cm


def test_the_picture_shows_every_part_inside_the_pot(plan):
    drawing = pot_drawing(plan.setting)
    kinds = [shape.kind for shape in drawing.shapes]
    assert {"melt", "anode", "metal"} <= set(kinds)
    assert ("cathode" in kinds) == (plan.setting.cell.kind.cathode != "pool")
    for shape in drawing.shapes:
        assert 0 <= shape.left <= shape.left + shape.width <= drawing.width_cm + 1e-9
        assert shape.bottom > -1e-9
    metal = next(shape for shape in drawing.shapes if shape.kind == "metal")
    assert (metal.bottom > 0) == (plan.setting.collects in ("top", "rod", "either"))


def test_magnesium_from_carnallite_is_what_a_careful_person_would_do():
    found = make_plan(WISHES["magnesium"])
    words = " ".join(line for step in found.steps for line in (*step.do, step.if_not, *step.cautions))
    for wanted in (
        "KMgCl3.6H2O",
        "NH4Cl",
        "the metal rises",
        "mild steel",
        "NaOH",
        "cold water",
        "never water",
        "argon",
    ):
        assert wanted in words
    assert "NaF" not in words  # what strips the film must not bring another cation
    assert found.setting.feed.bottle_g == pytest.approx(97.9 / 95.21 * 277.85, rel=2e-3)  # 97.9 printed to 0.1 g
    assert "e+0" not in words  # no figure with an exponent
    for step in found.steps:
        assert "NaF, CaF2" not in " ".join(step.do)
    assert found.steps[3].hours + found.steps[4].hours > 1
    assert 690 <= celsius(found.setting.T_K) <= 750
    assert found.steps[1].figures["nh4cl_g"] > 0


def test_pre_electrolysis_takes_the_charge_it_says_and_not_longer_than_a_working_day():
    for name in ("magnesium", "lithium", "calcium"):
        step = make_plan(WISHES[name]).steps[4]
        assert step.hours <= 6
        assert f"{step.hours * step.figures['amps_A']:.2g} A h" in step.do[1]
    for name in ("neodymium", "aluminium"):
        step = make_plan(WISHES[name]).steps[4]
        assert "no water left to take out" in step.do[0]
        assert step.figures["water_g"] == 0


def test_a_pool_has_its_first_metal_and_an_oxide_its_first_portion():
    aluminium, neodymium = make_plan(WISHES["aluminium"]), make_plan(WISHES["neodymium"])
    pool = aluminium.steps[5].figures["pool_g"]
    area = aluminium.setting.electrodes.geometry.cathode_cm2
    assert pool == pytest.approx(area * 0.5 * 2.28, rel=0.01)  # liquid aluminium 2.28 g/cm3 at 970 deg C
    assert f"take off the {pool:.0f} g" in aluminium.steps[10].do[0]
    held = aluminium.setting.freezing.dissolved.mass_percent / 100
    start = aluminium.setting.feed.start_g
    assert start / (start + aluminium.setting.weighing.total_g) == pytest.approx(held, rel=1e-9)
    assert "the first portion before the current goes on" in " ".join(neodymium.steps[6].do)


def test_no_material_of_the_electrodes_is_one_that_melt_or_metal_eats(plan):
    """What step 5 names is judged as the sheet's materials are."""
    setting = plan.setting
    judged = judge_materials(setting.melt, setting.wish.symbol, setting.T_K, setting.wish.atmosphere)
    words = " ".join(plan.steps[5].do).replace("oxide sleeves dissolve in fluorides", "")
    assert [v.name for v in judged if v.verdict == "unfit" and v.name in words] == []
    assert any(v.name in words for v in judged if v.verdict != "unfit")


def test_a_feed_that_would_flood_the_pot_is_refused():
    wish = PlanWish(from_amounts({"MgCl2": 20, "KCl": 20, "NaCl": 50, "CaCl2": 10}), "Mg", 120.0,
                    bottles={"MgCl2": "KMgCl3.6H2O"}, pot_mL=600.0)  # fmt: skip
    found = make_plan(wish)
    assert not found.possible
    assert "take a larger pot, wish for less, or feed dry MgCl2" in found.why_not


def test_feed_may_bring_more_than_the_bath_held():
    melt = from_amounts({"MgCl2": 20, "KCl": 20, "NaCl": 50, "CaCl2": 10})
    found = make_plan(PlanWish(melt, "Mg", 120.0, pot_mL=600.0, furnace_W=1500.0))
    assert found.possible, found.why_not
    held = found.setting.weighing.anhydrous_g["MgCl2"]
    assert found.setting.feed.g > 2 * held
    assert found.steps[2].figures["melting_kJ"] > 0


IMPOSSIBLE = [
    ({"KCl": 1}, "K", {"vessel": "mild steel"}, "lower-melting mix"),
    ({"NaCl": 50, "KCl": 50}, "Mg", {}, "add a salt of Mg"),
    ({"BaCl2": 50, "CaCl2": 50}, "Ba", {"deposit": "liquid"}, "leave CaCl2 out"),
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "Mg", {"vessel": "nickel"}, "a vessel that the metal leaves alone"),
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "Mg", {"total_g": 500, "pot_mL": 300}, "take a pot of"),
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "Mg", {"supply_V": 2.0}, "allowed is above"),
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "Mg", {"supply_A": 0.1}, "held down by the supply's amps"),
    ({"MgCl2": 20, "NaCl": 40, "KCl": 40}, "Mg", {"T_K": 700.0}, "outside the window"),
    ({"LiF": 60, "NdF3": 40}, "Nd", {"vessel": "alumina"}, "What would open"),
]


@pytest.mark.parametrize(("amounts", "symbol", "words", "opens"), IMPOSSIBLE, ids=lambda value: str(value)[:30])
def test_an_impossible_wish_is_explained_and_says_what_would_open_it(amounts, symbol, words, opens):
    found = make_plan(PlanWish(from_amounts(amounts), symbol, 10.0, **words))
    assert not found.possible
    assert found.steps == ()
    assert opens in found.why_not
    assert found.hours_total == 0


@pytest.mark.parametrize(
    "words", [{"want_g": 0.0}, {"pot_mL": -1.0}, {"vessel": "cheese"}, {"cathode": "mesh"}, {"deposit": "foam"}]
)
def test_words_that_are_not_allowed_are_refused(words):
    asked = {"composition": from_amounts({"MgCl2": 40, "NaCl": 60}), "symbol": "Mg", "want_g": 5.0} | words
    with pytest.raises(InputError, match=r"allowed|did you mean"):
        make_plan(PlanWish(**asked))


def test_without_a_pot_one_is_asked_for():
    found = make_plan(PlanWish(from_amounts({"MgCl2": 40, "NaCl": 60}), "Mg", 5.0))
    assert found.possible
    assert not found.setting.pot.named
    assert "no pot was named" in found.steps[0].do[0]


def test_a_cylinder_of_the_worked_size():
    pot = pot_for(370.0, 600.0)
    assert (pot.diameter_cm, pot.depth_cm, pot.fill) == pytest.approx((8.6, 6.4, 0.617), abs=0.05)
    assert not pot.too_full
    assert pot_for(500.0, 600.0).too_full


def test_a_host_is_run_where_it_is_liquid_and_not_where_the_metal_melts():
    """Bureau of Mines RI 9315 won calcium into tin at 650 deg C; calcium alone melts at 842."""
    found = make_plan(PlanWish(from_amounts({"CaCl2": 70, "KCl": 30}), "Ca", 5.0, cathode="pool", cathode_metal="Sn"))
    assert found.possible
    assert kelvin(842) > found.setting.T_K
    assert found.setting.collects == "bottom"
    assert found.setting.efficiency == pytest.approx((0.9, 1.0))
    assert any("distil it off" in line for line in found.steps[9].do)
    assert "drop" not in " ".join(found.steps[7].do)  # it mixes in, it does not join
    assert not any(note.startswith("Best") for note in found.notes)  # where calcium alone is run is no guide


def test_a_wide_window_is_run_near_its_cold_end():
    """Neodymium from LiCl-KCl is taken solid at 450 to 500 deg C (common practice); the window goes to 940."""
    found = make_plan(PlanWish(from_amounts({"LiCl": 57, "KCl": 41, "NdCl3": 2}), "Nd", 2.0, deposit="solid"))
    assert 420 < celsius(found.setting.T_K) < 500
    water = found.steps[4]
    assert water.figures["amps_A"] == pytest.approx(1e-3 * found.setting.weighing.total_g, rel=1e-9)
