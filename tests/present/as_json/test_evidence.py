"""The lists of the evidence: command and page show one record."""

from thermo.answers.evidence.wanted import evidence_lists
from thermo.present.as_json.evidence import evidence_json
from thermo.present.command_line.evidence import evidence_text
from thermo.present.page.evidence_tables import compounds_table, taken_up_table, wanted_table
from thermo.present.words.written import pretty


def test_page_and_command_list_the_same():
    found = evidence_json(evidence_lists())
    pairs, compounds, melts = (found[k] for k in ("pairs_by_size_alone", "compounds_without_energy", "melts_taken_up"))
    assert [row["pair"] for row in wanted_table()] == ["–".join(map(pretty, row["salts"])) for row in pairs]
    assert [row["compound"] for row in compounds_table()] == [pretty(row["formula"]) for row in compounds]
    assert [row["used"] == "yes" for row in taken_up_table()] == [row["used"] for row in melts]
    assert [row["source"] for row in taken_up_table()] == [row["source"] for row in melts]


def test_amounts_add_up():
    found = evidence_json(evidence_lists())
    mixes = [row["mole_percent"] for row in found["melts_taken_up"]]
    mixes += [row["measure_start_of_freezing_at_mole_percent"] for row in found["pairs_by_size_alone"]]
    assert all(abs(sum(mix.values()) - 100) < 0.01 for mix in mixes)


def test_an_empty_list_says_so():
    text = evidence_text(evidence_json(evidence_lists(["LiCl", "KCl"])))
    assert text.count(": none") == 3
