"""The command line as other programs see it: keys and units of the JSON, what the answers hold, exit codes."""

import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from thermo.present.command_line.main import COMMANDS, main
from thermo.records.substances import metals, salts

ROOT = Path(__file__).resolve().parents[3]
MELT = ["melt", "NaCl=48", "CaCl2=52", "--metal", "Na", "--at", "600"]
BATH = [
    "MgCl2=20",
    "NaCl=40",
    "KCl=40",
    "--basis",
    "mass",
    "--metal",
    "Mg",
    "--at",
    "700",
    "--amps",
    "5",
    "--hours",
    "2",
]


@pytest.fixture(autouse=True)
def _own_notebook(monkeypatch, tmp_path):
    """A notebook of the test's own: nobody's melts are touched."""
    monkeypatch.setenv("MELTWRIGHT_NOTEBOOK", str(tmp_path / "notebook.sqlite3"))


WORKING = {
    "salts": ["salts"],
    "melt": MELT,
    "pair": ["pair", "KCl", "MgCl2"],
    "lowest": ["lowest", "NaCl", "KCl", "MgCl2"],
    "cell": ["cell", *BATH, "--bath-g", "500", "--efficiency", "0.8", "--weighed-g", "3.1", "--volts", "5"],
    "weigh": ["weigh", "MgCl2=20", "NaCl=80", "--total-g", "500", "--from", "MgCl2=MgCl2.6H2O"],
    "find": ["find", "--metal", "Na", "--salts", "NaCl,CaCl2", "--max-salts", "2"],
    "atlas": ["atlas", "--cost", "--metal", "Zn"],
    "plan": ["plan", "MgCl2=20", "NaCl=80", "--metal", "Mg", "--want-g", "10", "--from", "MgCl2=MgCl2.6H2O"],
    "review": ["review", *BATH, "--weighed-g", "0.5", "--saw", "black-sponge"],
    "cooling": ["cooling", "NaCl=40", "CaCl2=60", "--arrest", "545", "--arrest", "498"],
    "notebook": ["notebook", "add", "bath 4", "NaCl=48", "CaCl2=52", "--metal", "Na", "--at", "600"],
    "evidence": ["evidence", "NaF", "KF", "RbF", "AlF3", "LaF3"],
    "cryolite": ["cryolite", "--excess-alf3", "8", "--caf2", "5", "--al2o3", "3"],
}
KEYS = {
    "notebook": "schema entries",
    "salts": "salts metals pairs",
    "melt": "composition liquidus solidus density metal float_or_sink window sources cautions notes",
    "pair": "pair status invariants interactions fit sources",
    "lowest": "mole_percent mass_percent T_C sigma_K solids status sources",
    "cell": "charge_Ah metal_g_max metal_g_expected current_efficiency halogen decomposition_V order "
    "energy_kWh_per_kg drift freezes_at_Ah",
    "weigh": "weigh_g anhydrous_g water_g cautions",
    "find": "melts searched",
    "atlas": "sets melts core_hours",
    "plan": "steps hours_total possible why_not",
    "review": "current_efficiency likely_causes",
    "cooling": "composition liquidus solidus events verdict arrests compositions other_explanations notes sources",
    "evidence": "salts pairs_by_size_alone compounds_without_energy melts_taken_up sources",
    "cryolite": "bath composition liquidus working alumina_saturation density aluminium notes cautions sources",
}
PARTS = {  # (command, path to an entry): keys of that entry; a number steps into a list
    ("salts", "salts", 0): "formula melting_point_C boiling_point_C density_span_C origin",
    ("salts", "metals", 0): "symbol melting_point_C boiling_point_C",
    ("salts", "pairs", 0): "salts status",
    ("melt", "composition"): "mole_percent mass_percent",
    ("melt", "liquidus"): "T_C sigma_K first_solid status",
    ("melt", "solidus"): "T_C",
    ("melt", "density"): "T_C melt_g_cm3 sigma_g_cm3",
    ("melt", "metal"): "symbol state density_g_cm3 sigma_g_cm3",
    ("melt", "float_or_sink"): "difference_g_cm3 sigma_g_cm3 p_float verdict crossings_C",
    ("melt", "window"): "exists low_C high_C limits",
    ("melt", "window", "limits", 0): "side T_C reason",
    ("pair", "invariants", 0): "kind mole_percent T_C sigma_K solids",
    ("pair", "interactions", 0): "k a_J_mol b_J_mol_K",
    ("pair", "fit"): "points rms_K",
    ("cell", "halogen"): "formula g L_25C_1atm NaOH_g",
    ("cell", "order", 0): "metal E_V gap_V activity",
    ("cell", "drift", 0): "Ah mole_percent liquidus_C melt_g_cm3 verdict",
    ("find", "melts", 0): "mole_percent mass_percent liquidus_C sigma_K difference_g_cm3 p_float verdict window "
    "first_metal margin_V",
    ("review", "likely_causes", 0): "cause evidence weight remedy",
    ("cooling", "arrests", 0): "T_C verdict stage difference_K sigma_K evidence",
    ("cooling", "compositions", 0): "words range_percent best liquidus_C off_per_100_g includes_intended explains_C",
    ("cooling", "other_explanations", 0): "key verdict evidence check",
    ("evidence", "pairs_by_size_alone", 0): "salts measure_start_of_freezing_at_mole_percent computed_C sigma_K "
    "first_solid mean_sigma_K mean_sigma_after_K",
    ("evidence", "compounds_without_energy", 0): "formula counts suspected melting T_C source note",
    ("evidence", "melts_taken_up", 0): "mole_percent T_C solids used source",
    ("cryolite", "bath"): "cryolite_ratio bath_ratio excess_AlF3_mass_percent Al2O3_mass_percent",
    ("cryolite", "liquidus"): "T_C sigma_K first_solid status",
    ("cryolite", "alumina_saturation"): "at_liquidus_mass_percent at_working_mass_percent",
    ("cryolite", "aluminium"): "density_g_cm3 difference_g_cm3 sigma_g_cm3 p_float verdict",
}
# The key of a number, or of the table it stands in, ends in a unit, or it is one of the pure numbers and plain units.
UNITS = re.compile(
    r"(_C|_K|_g|_g_cm3|_g_max|_g_expected|_J_mol|_J_mol_K|_V|_A|_Ah|_W|_L|_kPa|_cm|_cm2|_A_cm2|_S_cm|_mPa_s|_mm|_minutes"
    r"|_g_per_Ah|_Ah_per_g|_kWh_per_kg|_percent|_m3_min|_kJ|_mL|_MB|_hours)$"
)
PURE_NUMBERS = (
    "schema id amounts counts sets melts core_hours sets_of_four melts_of_four core_hours_of_four "
    "g Ah minutes ppm m3_min L_25C_1atm L_chosen k points searched pareto p_float p_first activity sigma_activity "
    "activity_in_deposit current_efficiency sigma_current_efficiency weight sigma_ln best_efficiency cryolite_ratio "
    "bath_ratio hours low high n step hours_total efficiency_low efficiency_high"
)
PURE = set(PURE_NUMBERS.split())


def no_constant(word: str):
    raise AssertionError(f"{word} is not JSON: unknown is null")


def answer(words: list[str], capsys) -> dict:
    """The one JSON object a command prints."""
    assert main([*words, "--json"]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    found = json.loads(printed.out, parse_constant=no_constant)
    assert isinstance(found, dict)
    return found


def entry(found: dict, path: tuple):
    for step in path:
        found = found[step]
    return found


def numbers(found, path=()):
    """(path of keys, value) of every number in an answer."""
    if isinstance(found, dict):
        for key, value in found.items():
            yield from numbers(value, (*path, key))
    elif isinstance(found, list):
        for value in found:
            yield from numbers(value, path)
    elif isinstance(found, (int, float)) and not isinstance(found, bool):
        yield path, found


def test_every_command_is_tried_here():
    assert set(WORKING) | {"refit"} == set(COMMANDS)


@pytest.mark.parametrize("name", WORKING)
def test_agreed_keys(name, capsys):
    found = answer(WORKING[name], capsys)
    assert set(KEYS[name].split()) <= set(found)
    for (command, *path), keys in PARTS.items():
        if command == name:
            assert set(keys.split()) <= set(entry(found, tuple(path))), path


@pytest.mark.parametrize("name", WORKING)
def test_units_stand_in_the_keys(name, capsys):
    nameless = {
        ".".join(path)
        for path, _ in numbers(answer(WORKING[name], capsys))
        if not any(UNITS.search(key) or key in PURE for key in path[-2:])
    }
    assert nameless == set()


@pytest.mark.parametrize("name", WORKING)
def test_text_for_people(name, capsys):
    """The same command without --json: text, not JSON, and nothing on standard error."""
    assert main(WORKING[name]) == 0
    printed = capsys.readouterr()
    assert printed.err == ""
    assert not printed.out.startswith("{")
    assert "None" not in printed.out
    assert not re.search(r"\bnan\b", printed.out)


def test_json_may_stand_first(capsys):
    assert main(["--json", *WORKING["pair"]]) == 0
    first = json.loads(capsys.readouterr().out)
    assert first == answer(WORKING["pair"], capsys)


# ---- what the answers must hold together -----------------------------------------------------------------------------


def test_salts_lists_everything(capsys):
    found = answer(["salts"], capsys)
    assert [s["formula"] for s in found["salts"]] == list(salts())
    assert [m["symbol"] for m in found["metals"]] == list(metals())
    assert {s["origin"] for s in found["salts"]} <= {"measured", "fitted", "estimated"}
    assert all(low < high for low, high in (s["density_span_C"] for s in found["salts"]))
    assert all(s["boiling_point_C"] is None or s["boiling_point_C"] > s["melting_point_C"] for s in found["salts"])
    by_anion = [[f for f, s in salts().items() if s.anion == anion] for anion in ("Cl", "F")]
    both = {s.cation for s in salts().values() if s.anion == "F"} & {
        s.cation for s in salts().values() if s.anion == "Cl"
    }
    assert len(found["pairs"]) == sum(len(group) * (len(group) - 1) // 2 for group in by_anion) + len(both)
    assert {p["status"] for p in found["pairs"]} == {"fitted", "estimated"}


def test_unknown_is_null(capsys):
    """No boiling point of LaCl3 is on file: null, not zero and not missing; a vapour has no density and no verdict."""
    (row,) = (s for s in answer(["salts"], capsys)["salts"] if s["formula"] == "LaCl3")
    assert row["boiling_point_C"] is None
    gone = answer(["melt", "NaCl=1", "--metal", "Na", "--at", "900"], capsys)
    assert gone["metal"]["state"] == "vapour"
    assert gone["metal"]["density_g_cm3"] is None
    assert gone["float_or_sink"]["verdict"] is None
    assert gone["float_or_sink"]["p_float"] is None


def test_melt_without_a_metal_says_nothing_of_one(capsys):
    found = answer(["melt", "NaCl=48", "CaCl2=52"], capsys)
    assert "metal" not in found
    assert "float_or_sink" not in found
    assert found["density"]["T_C"] == pytest.approx(found["liquidus"]["T_C"] + 30, abs=0.02)  # two roundings


def test_basis_mass_and_mole_name_the_same_melt(capsys):
    moles = answer(["melt", "NaCl=48", "CaCl2=52"], capsys)
    grams = [f"{f}={percent}" for f, percent in moles["composition"]["mass_percent"].items()]
    again = answer(["melt", *grams, "--basis", "mass"], capsys)
    assert again["composition"]["mole_percent"]["NaCl"] == pytest.approx(48, abs=1e-3)  # four decimals were printed
    assert again["liquidus"]["T_C"] == pytest.approx(moles["liquidus"]["T_C"], abs=0.02)


def test_amounts_count_in_any_total_and_order(capsys):
    one = answer(["melt", "NaCl=48", "CaCl2=52"], capsys)
    two = answer(["melt", "CaCl2=0.52", "NaCl=0.48"], capsys)
    assert two["liquidus"] == one["liquidus"]
    assert two["composition"]["mole_percent"] == one["composition"]["mole_percent"]


def test_pair_turned_round(capsys):
    """Swapped salts: the same points, odd interaction terms with the other sign."""
    one, two = answer(["pair", "KCl", "MgCl2"], capsys), answer(["pair", "MgCl2", "KCl"], capsys)
    assert [p["T_C"] for p in two["invariants"]] == pytest.approx(
        [p["T_C"] for p in reversed(one["invariants"])], abs=0.02
    )
    for first, second in zip(one["interactions"], two["interactions"], strict=True):
        assert second["a_J_mol"] == pytest.approx((-1) ** first["k"] * first["a_J_mol"])
    assert {p["kind"] for p in one["invariants"]} <= {"eutectic", "peritectic", "congruent", "minimum"}


def test_estimated_pair_says_so(capsys):
    found = answer(["salts"], capsys)
    a, b = next(p["salts"] for p in found["pairs"] if p["status"] == "estimated")
    pair = answer(["pair", a, b], capsys)
    assert pair["status"] == "estimated"
    assert answer(["melt", f"{a}=1", f"{b}=1"], capsys)["liquidus"]["status"] == "estimated"


def test_lowest_lies_below_its_pairs(capsys):
    three = answer(["lowest", "NaCl", "KCl", "MgCl2"], capsys)
    pairs = [
        answer(["lowest", *pair], capsys)["T_C"] for pair in (("NaCl", "KCl"), ("NaCl", "MgCl2"), ("KCl", "MgCl2"))
    ]
    assert three["T_C"] < min(pairs)
    assert sum(three["mole_percent"].values()) == pytest.approx(100, abs=0.01)


def test_melt_and_lowest_say_what_was_published(capsys):
    # 385 +- 2 deg C, lowest of nine mixtures: AIP Conf. Proc. 2126 (2019) 080006; 672 deg C: ORNL-2012 Table 4.3
    published = answer(["melt", "NaCl=29.4", "KCl=25.8", "MgCl2=44.7"], capsys)["published"]
    assert (published[0]["T_C"], published[0]["kind"], published[0]["fitted"]) == (385.0, "lowest found", False)
    assert published[0]["away_mole_percent"] < 0.1
    assert answer(["melt", "NaCl=80", "KCl=10", "MgCl2=10"], capsys)["published"] == []
    found = answer(["lowest", "LiF", "MgF2", "CaF2"], capsys)["published_lowest"]
    assert (found["T_C"], found["mole_percent"]) == (672.0, None)
    assert answer(["lowest", "LiCl", "KCl"], capsys)["published_lowest"] is None


def test_vessel_and_atmosphere_move_the_window(capsys):
    """Mild steel stands less in air than under inert gas: data/vessels.csv."""
    words = ["melt", "NaCl=48", "CaCl2=52", "--vessel", "mild steel"]
    inert, air = answer(words, capsys), answer([*words, "--atmosphere", "air"], capsys)
    assert air["window"]["high_C"] < inert["window"]["high_C"]
    assert any("air" in caution for caution in air["window"]["cautions"])


# ---- the README ------------------------------------------------------------------------------------------------------


def readme_commands() -> list[list[str]]:
    """The words after `-m thermo` of every command line in README.md."""
    text = (ROOT / "README.md").read_text(encoding="utf-8").replace("\\\n", " ")
    return [
        shlex.split(line.split("-m thermo ")[1]) for line in text.splitlines() if re.match(r" {4}\S+ -m thermo ", line)
    ]


def test_readme_shows_every_command():
    assert {words[0] for words in readme_commands()} == set(COMMANDS)


@pytest.mark.parametrize("words", [w for w in readme_commands() if w[0] != "refit"], ids=lambda words: words[0])
def test_readme_commands_run(words, capsys):
    assert main(words) == 0
    assert capsys.readouterr().out


# ---- as a process ----------------------------------------------------------------------------------------------------


def process(*words: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-m", "thermo", *words], cwd=ROOT, capture_output=True, text=True, timeout=120
    )


def test_process_prints_one_object():
    done = process(*MELT, "--json")
    assert done.returncode == 0
    assert done.stderr == ""
    assert json.loads(done.stdout)["float_or_sink"]["verdict"] == "floats"


def test_process_refuses_in_one_line():
    done = process("melt", "NaC=1", "--json")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr == "salt 'NaC' is not in the list (did you mean NaCl or NaF?)\n"


def test_a_reader_that_leaves_early_is_no_error():
    """As in `... | head`: no traceback."""
    done = subprocess.Popen(
        [sys.executable, "-m", "thermo", "salts"], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    done.stdout.close()
    with done.stderr as errors:
        assert errors.read() == ""
    assert done.wait(timeout=120) == 1


def test_process_helps():
    done = process("--help")
    assert done.returncode == 0
    assert all(name in done.stdout for name in COMMANDS)


@pytest.mark.slow
def test_generated_files_are_those_a_fresh_fit_writes(capsys):
    """`refit --check` refits everything (some seconds) and finds nothing to change; it writes nothing."""
    before = {path: path.stat().st_mtime_ns for path in sorted((ROOT / "data").rglob("*.csv"))}
    assert main(["refit", "--check", "--json"]) == 0, capsys.readouterr().out
    assert json.loads(capsys.readouterr().out) == {"changed": [], "moved": []}
    assert {path: path.stat().st_mtime_ns for path in sorted((ROOT / "data").rglob("*.csv"))} == before
