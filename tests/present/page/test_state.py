"""The page's record and its share link."""

import math
from dataclasses import replace
from urllib.parse import parse_qsl

import pytest

from thermo.equilibrium.system.build import MOST_SALTS
from thermo.present.page.state import OPENING, PageState, moved, read_link, write_link
from thermo.records.provenance import InputError


def fields(link):
    return dict(parse_qsl(link.removeprefix("?"), keep_blank_values=True))


@pytest.mark.parametrize(
    "state",
    [
        OPENING,
        PageState((("LiCl", 58.5), ("KCl", 41.5)), "mass", "Li", 412.5, "either", 0.0, "", "air"),
        PageState((("NaF", 1 / 3),), "mol", "", 1100.0, "solid", 55.0, "", "inert"),
    ],
)
def test_a_link_brings_back_the_state(state):
    read, messages, recipe = read_link(fields(write_link(state)))
    assert messages == ()
    assert recipe == ""
    assert dict(read.amounts) == pytest.approx(dict(state.amounts), rel=1e-9)
    assert replace(read, amounts=()) == replace(state, amounts=())


def test_a_link_names_every_setting_so_that_it_keeps_its_meaning():
    assert set(fields(write_link(OPENING))) == {
        "v", "m", "basis", "metal", "T", "deposit", "superheat", "vessel", "atmosphere",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("field", "text", "named"),
    [
        ("m", "NaCl:60,MgCI2:40", "MgCl2"),
        ("m", "NaCl:-60", "zero or more"),
        ("m", "NaCl:nan", "not a number"),
        ("m", "NaCl:1e999", "too large"),
        ("m", "CaCl2.9H2O:50", "CaCl2"),
        ("m", "ZnCl2:50,LiF:50", "no data for the fluoride of Zn"),
        ("m", "", "empty"),
        ("m", "NaCl:1," * 200, "characters"),
        ("basis", "percent", "mol, mass"),
        ("metal", "Xx", "Xx"),
        ("T", "abc", "100 to 1500"),
        ("T", "inf", "100 to 1500"),
        ("T", "-400", "100 to 1500"),
        ("superheat", "1e9", "0 to 200"),
        ("deposit", "gas", "gas"),
        ("vessel", "wood", "wood"),
        ("atmosphere", "vacuum", "inert"),
        ("v", "99", "version"),
    ],
)
def test_a_bad_field_is_named_and_the_rest_is_kept(field, text, named):
    link = fields(write_link(replace(OPENING, superheat_K=41.0, t_C=700.0))) | {field: text}
    state, messages, _ = read_link(link)
    assert len(messages) == 1
    assert named in messages[0]
    assert "\n" not in messages[0]
    if field != "v":
        assert state.superheat_K == (OPENING.superheat_K if field == "superheat" else 41.0)
        assert state.t_C == (OPENING.t_C if field == "T" else 700.0)


def test_a_bad_melt_is_handed_back_as_a_recipe_to_put_right():
    _, _, recipe = read_link({"v": "1", "m": "NaCl:60,MgCI2:40"})
    assert recipe == "NaCl=60 MgCI2=40"


def test_fields_of_others_open_the_page_as_always():
    assert read_link({}) == (OPENING, (), "")
    assert read_link({"utm_source": "x"}) == (OPENING, (), "")


def test_more_salts_than_the_page_takes_are_refused():
    many = ["LiCl", "NaCl", "KCl", "RbCl", "CsCl", "MgCl2", "CaCl2"]
    assert len(many) == MOST_SALTS + 1
    state, messages, recipe = read_link({"v": "1", "m": ",".join(f"{name}:1" for name in many)})
    assert state.amounts == OPENING.amounts
    assert "up to 6" in messages[0]
    assert "CaCl2=1" in recipe


def test_a_hydrate_in_a_link_counts_by_its_dry_salt_and_says_so():
    state, messages, _ = read_link({"v": "1", "m": "CaCl2.2H2O:50,NaCl:50", "basis": "mass"})
    # 50 g of the dihydrate hold 37.7 g CaCl2: 110.98 / 147.01 g/mol (IUPAC atomic masses).
    assert dict(state.amounts)["CaCl2"] == pytest.approx(37.74, abs=0.01)
    assert "counted as" in messages[0]


def test_a_move_keeps_the_basis_in_use():
    by_mole = moved(OPENING, (50.0, 30.0, 20.0))
    assert [amount for _, amount in by_mole.amounts] == [50.0, 30.0, 20.0]
    by_mass = moved(replace(OPENING, basis="mass"), (50.0, 30.0, 20.0))
    assert by_mass.basis == "mass"
    assert sum(amount for _, amount in by_mass.amounts) == pytest.approx(100, abs=0.02)  # three roundings to 0.01
    assert by_mass.composition().fractions == pytest.approx((0.5, 0.3, 0.2), abs=2e-4)


def test_not_a_number_is_refused_by_the_composition():
    with pytest.raises(InputError, match="amount of NaCl nan"):
        replace(OPENING, amounts=(("NaCl", math.nan),)).composition()
