"""The 25 published accounts of runs and of practice that the program was tried on, each with its test.

What is printed (abstracts, patents, reports) stands beside the test that holds it, or beside the reason why the program
cannot answer it and the test of that refusal. This file holds that no account is lost: every test that is named exists.
"""

import importlib

import pytest

CHARGE, VOLTS = "tests.published.test_charge_and_mass", "tests.published.test_voltages"
CELLS, TRADE = "tests.published.test_cells_that_ran", "tests.published.test_runs_of_the_trade"
DRYING, WEIGHED = "tests.answers.test_drying_schedule", "tests.published.test_weigh_outs"
REFUSED = f"{CELLS}:test_an_alloy_whose_numbers_were_not_read_is_refused_and_its_source_named"
EFFICIENCY = f"{CELLS}:test_efficiency_of_such_a_cell_is_the_printed_one"

ACCOUNTS = [  # what, as printed; tests; '' or what is not answered and why
    ("grams of metal an ampere hour, efficiency of a weighing", [f"{CHARGE}:test_mass_from_charge"], ""),
    ("magnesium takes 6.2 kWh/kg at the least", [f"{TRADE}:test_least_energy_of_magnesium"], ""),
    ("start of freezing of melts of one anion",
     ["tests.published.test_published_invariants:test_every_published_invariant"], ""),
    ("densities of melts", ["tests.published.test_mixture_density:test_measured_mixtures"], ""),
    ("a hydrate weighed as though dry", [f"{WEIGHED}:test_dihydrate_weighed_as_dry"], ""),
    ("LiCl-KCl drifts while its lithium goes", ["tests.published.test_cell_cases:test_lithium_bath_drifts"], ""),
    ("Mg over lead: 690 deg C, 1 % NaF, 0.48 A/cm2, 3 cm: 3.72 V (Guden & Karakaya 1994)",
     [f"{CELLS}:test_terminal_volts_of_flat_plate_cells", f"{TRADE}:test_what_was_run_lies_in_the_window",
      f"{TRADE}:test_the_remedy_of_a_little_fluoride_does_not_ask_for_a_hotter_bath"], ""),
    ("Mg, 0.68 A/cm2: 7.0 kWh/kg (METU 2012)", [f"{CELLS}:test_terminal_volts_of_a_cell_from_the_other_three"], ""),
    ("Mg, coaxial electrodes: about 8 kWh/kg, over 90 % (METU 2012)",
     [f"{CELLS}:test_terminal_volts_of_a_cell_from_the_other_three", EFFICIENCY], ""),
    ("Mg cells run between 700 and 740 deg C (US 5853560)",
     [f"{TRADE}:test_what_was_run_lies_in_the_window",
      "tests.answers.test_preferred:test_liquid_magnesium_says_what_the_trade_says"], ""),
    ("Ca, contact cathode: 30 to 60 A/cm2, 25 to 30 V, 40 to 50 % (Zaikov 2014)",
     [f"{CELLS}:test_contact_cathode_of_calcium", EFFICIENCY], ""),
    ("Ca, carrot of the old process: 60 % (RI 9315)", [EFFICIENCY], ""),
    ("Ca into tin, 650 deg C: over 90 % (RI 9315)",
     [f"{CELLS}:test_calcium_on_tin_is_over_ninety_percent_and_its_volts_are_not_guessed", REFUSED],
     "volts: activities of Ca-Sn are published at 800 deg C, their numbers were not at hand"),
    ("Zn from KCl-LiCl-ZnCl2, 500 deg C: 94.3 %, 2.94 V (RI 8133)",
     [f"{CELLS}:test_zinc_in_potassium_lithium_chloride_has_its_window_at_500", f"{TRADE}:test_energy_of_zinc",
      f"{CELLS}:test_terminal_volts_of_a_cell_from_the_other_three", EFFICIENCY], ""),
    ("Nd from Nd2O3 in LiF-NdF3-BaF2, 1045 deg C, 3.6 A/cm2: 73.6 %",
     [f"{CELLS}:test_neodymium_from_oxide_gives_carbon_oxides_and_not_fluorine"], ""),
    ("Al from alumina: 1.19 V to CO2, CO2 at the anode", [f"{CELLS}:test_alumina_cell_gives_carbon_dioxide",
     "tests.laws.test_oxide_cell:test_alumina_takes_the_published_volts",
     "tests.answers.test_fed_bath:test_aluminium_is_planned_where_the_trade_makes_it"], ""),
    ("Mg from MgO in MgF2-LiF-KCl on copper, 770 deg C: 90 to 92 % (Kang 2023)", [EFFICIENCY],
     "volts: no activity of Mg-Cu was found"),
    ("Mg from MgO into tin, 1053 K: 2.5 V applied, 86.6 % (Lee 2021)",
     [f"{CELLS}:test_magnesium_oxide_into_tin_runs_below_the_volts_applied", EFFICIENCY], ""),
    ("Mg taken up by lead", [REFUSED], "shifted volts: Mg-Pb measured from 745 to 868 K, its numbers were not at hand"),
    ("Nd on iron, 750 deg C: drips as alloy, eutectic 640 deg C; 0.13 V less",
     [f"{TRADE}:test_neodymium_on_iron_is_liquid_far_below_its_melting_point",
      f"{CELLS}:test_neodymium_into_iron_takes_the_printed_volts_less"], ""),
    ("Mg-Li from LiCl-KCl on magnesium", [REFUSED], "shifted volts: Li-Mg measured, its numbers were not at hand"),
    ("Nd into zinc", [REFUSED], "shifted volts: potentials on liquid zinc measured, their numbers were not at hand"),
    ("Sr joins Mg above 0.71, 1.57, 2.83 A/cm2 at 2, 5, 10 mass% MgCl2 (Sun 2014)",
     [f"{CELLS}:test_strontium_joins_magnesium_within_a_factor_of_two_of_its_neighbours",
      f"{CELLS}:test_what_was_met_lies_between_a_still_pool_and_a_stirred_one",
      f"{TRADE}:test_strontium_is_named_as_what_joins_magnesium"],
     "the rate of one laboratory misses those of two others 2.6 and 4 times (strict xfail)"),
    ("MgCl2.6H2O with NH4Cl, 160 and 410 deg C: below 0.1 % MgO (2006)",
     [f"{DRYING}:test_magnesium_chloride_gets_both_doses_of_ammonium_chloride"],
     "the MgO that is left: no rate of hydrolysis was published for it"),
    ("Li beside a diaphragm: 84 to 86 %; Na in Downs practice at 590 deg C",
     [EFFICIENCY, f"{TRADE}:test_what_was_run_lies_in_the_window"], ""),
]  # fmt: skip


def test_there_are_25_and_each_has_a_test():
    assert len(ACCOUNTS) == 25
    assert all(tests for _, tests, _ in ACCOUNTS)


@pytest.mark.parametrize(("what", "tests", "missing"), ACCOUNTS, ids=[row[0][:40] for row in ACCOUNTS])
def test_the_tests_that_hold_an_account_exist(what, tests, missing):
    for name in tests:
        module, function = name.split(":")
        assert callable(getattr(importlib.import_module(module), function)), name
    assert what
    assert missing == "" or ":" in missing or "xfail" in missing
