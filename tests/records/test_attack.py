"""Metals against what holds them: the tables name what the rest of the data knows."""

from thermo.answers.materials import materials
from thermo.records.attack import attacks, fires
from thermo.records.provenance import read_table, sources
from thermo.records.substances import metals

KINDS = {"dissolves", "leaches", "enters", "carbide", "nitride", "alloys", "wets"}


def test_every_row_names_a_known_material_metal_kind_and_source():
    for (material, symbol), found in attacks().items():
        assert material in materials(), material
        assert symbol in metals(), symbol
        assert found.kind in KINDS, found
        assert found.source in sources(), found
    assert len(attacks()) == len(read_table("metal_attack.csv"))


def test_a_row_without_a_source_says_that_it_is_common_practice():
    for name in ("metal_attack.csv", "fires.csv", "vessels.csv", "materials.csv"):
        for row in read_table(name):
            assert (row["source"] == "practice") == ("common practice; no source" in row["caveat"]), (name, row)


def test_what_dissolves_has_its_temperature():
    assert [found for found in attacks().values() if found.kind == "dissolves" and found.from_K is None] == []
    assert attacks()["nickel 200", "Mg"].unfit(973.15)
    assert not attacks()["mild steel", "Nd"].unfit(800.0)
    assert not attacks()["graphite", "Al"].unfit(1300.0)


def test_a_fire_is_never_put_out_with_what_must_not_touch_it():
    for fire in fires().values():
        forbidden = fire.never.replace(" or ", ", ").split(", ")
        assert [word for word in forbidden if word in fire.put_out_with] == []
