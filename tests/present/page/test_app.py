"""The page's script without a browser: it opens, answers, and turns mistakes into messages beside the input."""

import pytest

from tests.present.page.page_session import address, box, fill, html, knobs, said, slips, visited


def opened(**fields):
    app = visited("melt", fields)
    app.run()
    assert not app.exception
    return app


def salts_of(app):
    return [entry.key.removeprefix("part_") for entry in app.text_input if entry.key.startswith("part_")]


def test_it_opens_with_answers():
    app = opened()
    assert not said(app, "error")
    for key in ("freezing", "metal", "float", "window"):
        assert html(app).count(f'data-answer="{key}"') == 1
    for words in ("Freezing starts", "Magnesium at 720", "Magnesium in this melt", "Cell runs between"):
        assert words in html(app)
    assert [drawing["figure"]["kind"] for drawing in knobs(app)] == ["triangle", "chart"]
    assert knobs(app)[0]["values"]["shares"] == pytest.approx([60, 18, 22])


def test_typed_amounts_move_the_knob():
    app = opened(v="1", m="NaCl:30,CaCl2:70", metal="Na", T="700")
    fill(app, "part_CaCl2", 30.0)
    assert knobs(app)[0]["values"]["x"] == pytest.approx(50)
    assert "NaCl:30,CaCl2:30" in address(app)


@pytest.mark.parametrize(
    ("recipe", "words"),
    [
        ("NaCl=50 CaCI2=50", "CaCl2"),
        ("NaCl=50 CaCl2=ten", "not a number"),
        ("NaCl", "SALT=AMOUNT"),
        ("NaCl=1 NaCl=2", "twice"),
    ],
)
def test_a_recipe_that_cannot_be_read_keeps_text_and_melt(recipe, words):
    app = opened()
    fill(app, "recipe", recipe)
    assert not app.exception
    assert words in slips(app)[0]
    assert app.text_input(key="recipe").value == recipe
    assert box(app, "part_NaCl") == 60


def test_a_good_recipe_is_taken_in_the_basis_chosen():
    app = opened()
    app.button_group(key="basis").set_value("mass").run()
    fill(app, "recipe", "LiCl=44.5, KCl=55.5")
    assert not said(app, "error")
    assert salts_of(app) == ["LiCl", "KCl"]
    assert knobs(app)[0]["values"]["x"] == pytest.approx(41.5, abs=0.1)  # mass to mole percent


@pytest.mark.parametrize(
    ("amount", "words"), [(-3.0, "amount: -3; allowed is zero or more"), (0.0, "all amounts are zero")]
)
def test_amounts_that_cannot_be_get_a_message_and_stay(amount, words):
    app = opened(v="1", m="NaCl:30,CaCl2:0", metal="Na")
    fill(app, "part_NaCl", amount)
    assert not app.exception
    assert words in (slips(app) or said(app, "error"))[0]
    assert box(app, "part_NaCl") == amount
    assert "not known" in html(app)
    assert f"NaCl:{amount:g}" in address(app)
    fill(app, "part_NaCl", 5.0)
    assert not said(app, "error")
    assert not slips(app)


@pytest.mark.parametrize(("text", "words"), [("", "empty"), ("ten", "not a number"), ("1,000", "thousands")])
def test_an_amount_that_cannot_be_read_is_an_error_beside_its_box_and_never_zero(text, words):
    app = opened()
    fill(app, "part_CaCl2", text)
    assert words in slips(app)[0]
    assert app.text_input(key="part_CaCl2").value == text
    assert html(app).count("not known") >= 3
    assert not knobs(app)
    app.button(key="undo").click().run()
    assert box(app, "part_CaCl2") == 18
    assert not slips(app)


def test_a_decimal_comma_is_a_decimal_point():
    app = opened()
    fill(app, "part_CaCl2", "12,5")
    assert dict(app.session_state.page.amounts)["CaCl2"] == 12.5
    fill(app, "t_C", "715,5")
    assert app.session_state.page.t_C == 715.5


@pytest.mark.parametrize(
    ("text", "words"), [("7o0", "not a number"), ("", "empty"), ("20000", "allowed is 100 to 1500")]
)
def test_a_temperature_that_cannot_be_is_said_and_the_old_one_holds(text, words):
    app = opened()
    fill(app, "t_C", text)
    assert words in slips(app)[0]
    assert "still 720" in slips(app)[0]
    assert app.session_state.page.t_C == 720


def test_no_salt_gets_a_message():
    app = opened()
    for name in ("NaCl", "CaCl2", "MgCl2"):
        app.button(key=f"drop_{name}").click().run()
    assert "at least one salt" in said(app, "error")[0]
    assert not app.exception


@pytest.mark.parametrize("amount", [0.0, 10.0])
def test_a_section_of_two_anions_has_its_diagram(amount):
    """Also with none of one salt; its line says which pair of the four salts is stable."""
    app = opened()
    fill(app, "recipe", "NaCl 60 LiF 10")
    fill(app, "part_LiF", amount)
    assert not app.exception
    assert not said(app, "error")
    assert knobs(app)[0]["figure"]["kind"] == "chart"
    assert knobs(app)[0]["values"]["x"] == pytest.approx(100 * amount / (60 + amount))
    assert "stable pair" in html(app)


def test_a_chloride_and_the_fluoride_of_one_cation_have_their_diagram():
    app = opened(v="1", m="LiF:30,LiCl:70", metal="Li", T="650")
    assert knobs(app)[0]["values"]["x"] == pytest.approx(70)
    assert not said(app, "error")


def test_a_salt_put_back_has_its_amount_again():
    app = opened()
    fill(app, "part_CaCl2", 33.0)
    app.button(key="drop_CaCl2").click().run()
    assert salts_of(app) == ["NaCl", "MgCl2"]
    app.selectbox(key="add_salt").set_value("CaCl2").run()
    assert box(app, "part_CaCl2") == 33


@pytest.mark.parametrize("count", [1, 4, 6])
def test_one_salt_has_no_map_and_many_have_three_of_theirs(count):
    names = ["NaCl", "KCl", "CaCl2", "MgCl2", "LiCl", "SrCl2"][:count]
    app = opened(v="1", m=",".join(f"{name}:1" for name in names), T="820")
    assert not said(app, "error")
    drawn = [drawing["figure"]["kind"] for drawing in knobs(app)]
    assert drawn == (["chart"] if count == 1 else ["triangle", "chart"])  # the chart is that of the densities
    if count > 3:
        assert knobs(app)[0]["figure"]["held"].startswith("% of these three; held: ")
        app.selectbox(key="corners").set_value(("MgCl2", "CaCl2", "NaCl")[::-1]).run()
        assert knobs(app)[0]["figure"]["names"] == ["NaCl", "CaCl₂", "MgCl₂"]
    assert "not known" not in html(app)


def test_the_lowest_mix_is_set_and_named():
    app = opened(v="1", m="NaCl:90,CaCl2:10", metal="Na", T="700")
    before = knobs(app)[0]["values"]["x"]
    app.button(key="lowest").click().run()
    assert not app.exception
    after = knobs(app)[0]
    # The eutectic lies at 48 to 53 mol% CaCl2 (published 47 to 52, Seltveit & Flood 1958 and others; 0.5 % knob step).
    assert before == pytest.approx(10)
    assert 45 < after["values"]["x"] < 55
    assert any(text.startswith("Lowest:") for text in said(app, "info"))


def test_a_broken_link_gives_messages():
    app = opened(v="1", m="NaCl:60,CaCI2:40", metal="Zz", T="hot")
    (warning,) = said(app, "warning")  # one box: the answers stay near the top
    assert len(warning.splitlines()) == 3
    assert app.text_input(key="recipe").value == "NaCl=60 CaCI2=40"


def test_a_metal_can_be_left_out():
    app = opened()
    app.selectbox(key="metal").set_value("").run()
    assert not app.exception
    assert "float?" not in html(app)


def test_every_metal_at_every_corner_of_the_settings_has_no_traceback():
    from thermo.records.substances import metals

    app = opened(v="1", m="LiCl:58,KCl:42")
    for symbol in metals():
        for t_C in (100, 1500):
            app.selectbox(key="metal").set_value(symbol)
            fill(app, "t_C", t_C)
            assert not app.exception, (symbol, t_C)
