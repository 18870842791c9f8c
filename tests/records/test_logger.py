"""Logger's tables: separators, decimals, times, gaps, and errors that name line and column."""

import pytest

from thermo.records.errors import InputError
from thermo.records.logger import parse_columns, read_log, separator_of

POINT = "time,T,I,U\n0,700,5.0,4.1\n60,701.5,5.1,4.2\n120,,5.0,4.2\n180,700,4.9,4.3\n"
COMMA = "Zeit;Temp;Strom;Spannung\ns;C;A;V\n0;700;5,0;4,1\n60;701,5;5,1;4,2\n120;;5,0;4,2\n180;700;4,9;4,3\n"
TAB = POINT.replace(",", "\t")


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        (POINT, {"time": "time", "T": "T", "amps": "I", "volts": "U"}),
        (COMMA, {"time": "Zeit", "T": "Temp", "amps": "Strom", "volts": "Spannung"}),
        (TAB, {"time": "time", "T": "T", "amps": "I", "volts": "U"}),
        (POINT, {"time": "1", "T": "2", "amps": "3", "volts": "4"}),
        ("\ufeff" + POINT.replace("\n", "\r\n"), {"time": "time", "T": "2", "amps": "I", "volts": "U"}),
    ],
    ids=["point", "decimal comma", "tab", "by number", "byte order mark and CR LF"],
)
def test_the_same_readings_however_they_are_written(text, columns):
    log = read_log(text, columns)
    assert log.seconds == (0.0, 60.0, 120.0, 180.0)
    assert log.of("T") == (700.0, 701.5, None, 700.0)
    assert log.of("amps") == (5.0, 5.1, 5.0, 4.9)
    assert log.pairs("T") == [(0.0, 700.0), (60.0, 701.5), (180.0, 700.0)]


@pytest.mark.parametrize(
    ("times", "unit", "last"),
    [
        (("0", "1", "2"), "min", 120.0),
        (("0", "0.5", "1"), "h", 3600.0),
        (("10:00:00", "10:01:00", "10:02:30"), "s", 150.0),
        (("9:58", "9:59", "10:01"), "s", 180.0),
        (("2026-03-01 10:00:00", "2026-03-01 10:01:00", "2026-03-01 10:03:00"), "s", 180.0),
        (("01.03.2026 10:00:00", "01.03.2026 10:01", "1.3.2026 10:03:00"), "s", 180.0),
        (("23:58:00", "23:59:30", "0:01:00"), "s", 180.0),  # past midnight
        (("28.03.2026 23:59:00", "29.03.2026 00:00:00", "29.03.2026 06:00:00"), "s", 21660.0),  # no summer time
    ],
)
def test_times_in_every_form(times, unit, last):
    text = "t,T\n" + "".join(f"{t},{600 - k}\n" for k, t in enumerate(times))
    assert read_log(text, {"time": "t", "T": "T"}, unit).seconds[-1] == pytest.approx(last)


def test_decimal_commas_in_quotes_between_commas():
    text = 'time,T,I\n"0","700,5","5,0"\n"60,5","701","5,1"\n'
    log = read_log(text, {"time": "time", "T": "T", "amps": "I"})
    assert log.seconds == (0.0, 60.5)
    assert log.of("T") == (700.5, 701.0)
    assert log.of("amps") == (5.0, 5.1)


@pytest.mark.parametrize("gap", ["", "-", "NaN", "OL", "--"])
def test_gaps_are_none(gap):
    assert read_log(f"t;T\n0;1\n1;{gap}\n2;3\n", {"time": "t", "T": "T"}).of("T") == (1.0, None, 3.0)


BAD = [
    ("t,T\n0,700\n60,hot\n", {}, "line 3, column 2 (T): 'hot' is not a number"),
    ("t,T\n0,700\nnoon,1\n", {}, "line 3, column 1 (time): 'noon' is no time"),
    ("t,T\n60,700\n0,1\n", {}, "line 3, column 1: time falls"),
    ("t,T\n0,700\n", {}, "1 readings"),
    ("t,Temp\n0,700\n1,2\n", {}, "no column"),
    ("hello\nworld\n", {}, "no comma, semicolon or tab"),
    ("t,T\n0,700\n1,2\n", {"unit": "days"}, "--time-unit 'days'"),
]


@pytest.mark.parametrize(("text", "words", "message"), BAD, ids=lambda value: str(value)[:24])
def test_a_bad_file_is_named_by_line_and_column(text, words, message):
    with pytest.raises(InputError) as refused:
        read_log(text, {"time": "t", "T": "T"}, **words)
    assert message in str(refused.value)
    assert "\n" not in str(refused.value)


def test_columns_chosen_by_the_person():
    assert parse_columns(["time=1", "T=Temp C"]) == {"time": "1", "T": "Temp C"}
    for words in (["T=1"], ["time=1", "ohm=2"], ["time=1", "time=2"], ["time"]):
        with pytest.raises(InputError, match="--column"):
            parse_columns(words)


def test_the_separator_is_the_one_that_parts_all_lines_alike():
    assert separator_of(["a;b", "1,5;2", "1,7;3"]) == ";"
    assert separator_of(["a,b,c", "1,2,3"]) == ","


def test_a_refusal_names_columns_in_one_plain_line():
    """A header with control characters, as a damaged file has it, must not break the line that says so."""
    with pytest.raises(InputError, match="no column") as refused:
        read_log("\x9b,time\x82\x08\n1,2\n", {"time": "time", "amps": "amps"})
    assert str(refused.value).isprintable()
    assert "time" in str(refused.value)
