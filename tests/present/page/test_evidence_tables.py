"""Published points beside computed ones as tables: columns, sources, rounding, Markdown and CSV."""

import csv
import io

import pytest

from thermo.answers.evidence.totals import section
from thermo.present.page.evidence_tables import csv_text, disagreements, markdown, near_melt, summary
from thermo.records.provenance import sources


def test_a_table_has_one_set_of_columns_and_cites_its_sources():
    table = near_melt(("NaCl", "KCl", "MgCl2"))
    assert len({tuple(row) for row in table}) == 1
    cited = [source.cite() for source in sources().values()]
    assert all(any(row["source"].startswith(text) for text in cited) for row in table)
    assert all(row["difference"] or row["compared by"].startswith("not compared: ") for row in table)


def test_found_published_and_difference_agree_in_a_row():
    row = next(r for r in near_melt(("NaCl", "CaCl2")) if r["what"].startswith("eutectic"))

    def number(text):
        return float(text.replace("\u00a0", " ").replace("−", "-").split()[0])

    # each figure is rounded to 0.1, so the difference of two rounded ones is good to 0.1
    assert number(row["difference"]) == pytest.approx(number(row["found"]) - number(row["published"]), abs=0.11)


def test_disagreements_are_numbered_point_by_point():
    table = disagreements(("LiCl", "BaCl2"))
    assert [row["point"] for row in table] == sorted(row["point"] for row in table)
    assert len(table) >= 2


def test_markdown_and_csv_hold_every_row():
    table = [{"a": "1 | 2", "b": "x,y"}, {"a": "3", "b": "\u00a0z"}]
    lines = markdown(table).splitlines()
    assert lines == ["| a | b |", "| --- | --- |", "| 1 / 2 | x,y |", "| 3 | \u00a0z |"]
    assert markdown(table, ["b"]).splitlines()[0] == "| b |"
    assert list(csv.DictReader(io.StringIO(csv_text(table)))) == [{"a": "1 | 2", "b": "x,y"}, {"a": "3", "b": " z"}]
    assert (markdown([]), csv_text([])) == ("", "")


def test_the_summary_has_a_row_for_every_tally():
    table = summary(["densities", "densities_left_out"])
    assert len(table) == len(section("densities").tallies) + len(section("densities_left_out").tallies)
    assert {row["how"] for row in table} == {"fitted", "left out"}
