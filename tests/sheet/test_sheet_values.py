"""What stands on the sheet, against numbers worked out by hand beside each check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest
from benches import CUP, INCH, INCH_RECIPE, INCREMENTAL, Page, drill_pack, flute_rough, plain, program, variants

import gen
from gen.control.options import Options
from gen.paper.sheet import sheet


@pytest.fixture(scope="module")
def demo() -> Page:
    return Page(sheet(flute_rough()).html)


def test_identity(demo: Page) -> None:
    text = plain(demo.text)
    for words in (
        "Flute roughing wheel, opening",
        "North bench tool grinder",
        "Machine north-bench",
        "recipe flute-rough",
        "7101",
    ):
        assert words in text
    assert f"dressblock {gen.__version__}" in text


def test_speed_feed_and_time_of_the_example(demo: Page) -> None:
    # n = 60000 · 20/(π · 125) = 3055.8; F = 0.06 · 250 · 20 = 300 mm/min = 5 mm/s; 8 mm / 5 mm/s = 1.6 s
    assert demo.row("new")[1] == "3056 rpm"
    assert demo.figure("Plunge feed") == "300 mm/min"
    assert demo.figure("Plunges × depth") == "1 × 8 mm"
    assert demo.row("One plunge") == ["8 mm deep, 1.6 s, removal rate 75 cm³/min"]
    # the target is what the recipe asks for
    assert demo.row("Target") == ["250, band 200 – 300"]


def test_wear_table(demo: Page) -> None:
    # 60000 · 20/(π D): 3055.8 at 125, 3395.3 at 112.5, 3819.7 at 100 mm; the feed depends on wheel speed alone
    assert demo.row("new") == ["125 mm", "3056 rpm", "20 m/s", "300 mm/min", "250"]
    assert demo.row("half worn") == ["112.5 mm", "3395 rpm", "20 m/s", "300 mm/min", "250"]
    assert demo.row("worn") == ["100 mm", "3820 rpm", "20 m/s", "300 mm/min", "250"]


def test_what_errors_at_the_machine_make_of_it(demo: Page) -> None:
    # 3056 rpm, rounded, make 20.002 m/s of 20: 249.98 at 300 mm/min. 249.98 · 125/124 = 252.0, · 125/126 = 248.0;
    # the band 200 to 300 is left at 125 (249.98/200 − 1) = +31.2 mm and 125 (249.98/300 − 1) = −20.8 mm
    assert demo.row("Wheel diameter −1 mm / +1 mm") == ["252 / 248", "+31.2 mm", "−20.8 mm"]
    assert demo.row("Feed override 90 % / 110 %") == ["225 / 275", "80 %", "120 %"]
    # 249.98/0.95 = 263.1; 249.98/200 − 1 = 25.0 %, 249.98/300 − 1 = −16.7 %
    assert demo.row("Spindle speed −5 %") == ["263", "+25 %", "−16.7 %"]
    # common practice, no source: at 5 mm/s 25 mm of stick take 5 s
    assert "By a watch: 25 mm takes 5.0 s." in plain(demo.text)
    assert not any(row[0].startswith("Plunge angle") for row in demo.rows)


def test_of_a_pack_it_says_which_wheel_leaves_the_band_first() -> None:
    # wheels of 150, 125 and 100 mm, targets 250, 220, 250, band 200 to 300: 125 (220/200 − 1) = +12.5 mm is nearer
    # than 25 % of 150 or of 100 mm, and 100 (250/300 − 1) = −16.7 mm nearer than −25 or 125 (220/300 − 1) = −33.3 mm
    page = Page(sheet(drill_pack()).html)
    assert page.row("Wheel diameter") == ["+12.5 mm (wheel 2)", "−16.7 mm (wheel 3)"]
    # an override is the same for all of them: 200/220 = 90.9 %, 300/250 = 120 %
    assert page.row("Feed override") == ["91 % (wheel 2)", "120 % (wheel 1, 3)"]


def test_an_inclined_plunge_also_depends_on_its_angle() -> None:
    page = Page(sheet(variants()["inclined"]).html)
    (row,) = [row for row in page.rows if row[0].startswith("Plunge angle")]
    assert row[0] == "Plunge angle −1° / +1°"
    text = sheet(variants()["inclined"]).text
    assert "Plunge angle −1° / +1°" in text


def test_the_inside_edge_of_a_cup_leaves_the_band_first() -> None:
    page = Page(sheet(program(CUP, {"dresser.datum": "210 mm"})).html)
    (edge,) = [row[1] for row in page.rows if row[0] == "Rim's inside edge"]
    number = float(edge.partition(" ")[0])
    (row,) = [row for row in page.rows if row[0].startswith("Spindle speed")]
    # the edge reaches 300 when the spindle is slower by its number over 300
    assert float(row[3].replace("−", "-").removesuffix(" %")) == pytest.approx(100 * (number / 300 - 1), abs=0.3)


def test_stick(demo: Page) -> None:
    # (150 − 30)/8 = 15 dresses; groove 50 − √(50² − 12.5²) = 1.588; edge √(1 − 0.25²) = 0.9682
    assert demo.row("Groove") == [
        "1.588 mm deep; a worn wheel meets the stick's upper and lower edges at 96.8 % of the feed"
    ]
    assert demo.rows[[row[0] for row in demo.rows].index("Creeps up") + 1] == [
        "Stick",
        "a dress takes 8 mm; a stick lasts 15 dresses",
    ]
    assert demo.row("Stick left, last dress") == ["30 mm", "30 mm", "0 mm"]  # 150 − 15 · 8


def test_time_in_total(demo: Page) -> None:
    # New: waits 3 + 2; U 43.5 mm at 83.33 mm/s and 400 mm/s² 0.522 + 0.208; 12 mm at 5 mm/s 2.4 + 0.0125;
    # back 55.5 mm 0.666 + 0.208; together 9.02 s. Last: 124.5 mm of approach at 6 mm/s, the top of the band,
    # 20.75 + 0.015 on top, and 180 mm back 2.16 + 0.208: 31.27 s.
    assert demo.row("One dress")[0].startswith("1 plunge, 9.0 – 31.3 s from new to last stick")
    assert "not known" not in demo.row("One dress")[0]
    assert "acceleration not known" in Page(sheet(program()).html).row("One dress")[0]


def test_values_against_limits(demo: Page) -> None:
    limits = demo.rows[demo.rows.index(["What", "Value", "Limit", "Margin"]) :]
    table = {head: cells for head, *cells in limits}
    assert table["Plunge feed"] == ["300 mm/min", "10 – 400 mm/min", "100 mm/min"]
    assert table["Spindle, machine"] == ["3056 – 3820 rpm", "500 – 6000 rpm", "2180 rpm"]
    # 60000 · 63/(π · 125) = 9625.7, rounded down
    assert table["Spindle, wheel's marking"] == ["3820 rpm", "9625 rpm", "5805 rpm"]
    assert table["Aggressiveness"] == ["250", "200 – 300", "50"]
    # worn wheel and last stick: contact 260 − (38 + 50) = 172, 8 mm further 180
    assert table["U toward the wheel"] == ["180 mm", "190 mm", "10 mm"]
    assert table["U parked"] == ["0 mm", "0 mm", "0 mm"]
    assert table["X position"] == ["180 mm", "−150 – 250 mm", "70 mm"]
    assert table["Z position"] == ["42.5 mm", "−20 – 220 mm", "62.5 mm"]
    assert table["Plunge depth, at most"] == ["8 mm", "12 mm", "4 mm"]
    assert table["Clearance, at least"] == ["4 mm", "3.088 mm", "0.912 mm"]  # 1.588 + 0.5 + 1
    assert "EXCEEDED" not in demo.text


ONE_LANE = {"stick.section": ["20 mm", "25 mm"], "dress.lanes": "one"}
HIGH_SPEED = {"dress.wheel_speed": None, "dress.speed": "7000 rpm"}
FAST_SLIDE = {"dresser.feed": ["10 mm/min", "1 m/min"], "axes.U.max_feed": "1 m/min"}
# 60000 · 18/(π · 125) = 2750.2, rounded down
ABOVE_MARKING = {"wheel.max_speed": "18 m/s", "dress.wheel_speed": None, "dress.speed": "2800 rpm"}
FEED, FORWARD, BACK, CLEARANCE = "Plunge feed", "U toward the wheel", "U parked", "Clearance, at least"


@pytest.mark.parametrize(
    ("recipe", "machine", "row", "cells"),
    [
        ({}, {"dresser.feed": ["10 mm/min", "240 mm/min"]}, FEED, "300 mm/min|10 – 240 mm/min|−60 mm/min"),
        ({}, {"axes.U.max_feed": "250 mm/min"}, FEED, "300 mm/min|10 – 250 mm/min|−50 mm/min"),
        ({}, {"dresser.feed": ["310 mm/min", "400 mm/min"]}, FEED, "300 mm/min|310 – 400 mm/min|−10 mm/min"),
        ({}, {"axes.U.travel": ["0 mm", "170 mm"]}, FORWARD, "180 mm|170 mm|−10 mm"),
        ({}, {"axes.U.travel": ["2 mm", "190 mm"]}, BACK, "0 mm|2 mm|−2 mm"),
        ({}, {"axes.Z.travel": ["50 mm", "190 mm"]}, "Z position", "42.5 mm|50 – 190 mm|−7.5 mm"),
        (HIGH_SPEED, FAST_SLIDE, "Spindle, machine", "7000 rpm|500 – 6000 rpm|−1000 rpm"),
        (ABOVE_MARKING, {}, "Spindle, wheel's marking", "2800 rpm|2750 rpm|−50 rpm"),
        ({}, {"dresser.max_plunge": "6 mm"}, "Plunge depth, at most", "8 mm|6 mm|−2 mm"),
        ({}, {"dresser.clearance": "3 mm"}, CLEARANCE, "3 mm|3.088 mm|−0.088 mm"),
        # 5 mm more where rapids go by the registers
        ({}, {"dresser.approach": "state"}, CLEARANCE, "4 mm|8.088 mm|−4.088 mm"),
        # one lane of 10 in 20 mm leaves walls of 5; 150 − 30 = 120 mm of slot over a stick's life
        (ONE_LANE, {}, "Slot in the stick, at most", "120 mm|10 mm|−110 mm"),
        ({**ONE_LANE, "wheel.rim_depth": "6 mm"}, {}, "Slot in the stick, at most", "120 mm|6 mm|−114 mm"),
        # the middle of a wide rim in band; the worn cup's inside edge at 120 − 20: 262 · 115/100 = 301.3
        ({**CUP, "dress.aggressiveness": 262}, {}, "Aggressiveness, inside edge", "301|200 – 300|−1"),
    ],
)  # fmt: skip
def test_what_exceeds_its_limit_is_said(
    recipe: Mapping[str, object], machine: Mapping[str, object], row: str, cells: str
) -> None:
    page = Page(sheet(program(recipe, machine)).html)
    exceeded = [(head, "|".join(rest)) for head, *rest in page.rows if rest and rest[-1].endswith(" EXCEEDED")]
    assert exceeded == [(row, f"{cells} EXCEEDED")]


def test_registers(demo: Page) -> None:
    # lowest stick: 30 left + 8 for one dress
    assert demo.row("501") == ["100 – 125 mm", "", "wheel diameter D: you"]
    assert demo.row("502") == ["38 – 150 mm", "", "stick length L: you; then the program"]
    assert demo.row("503") == ["any count", "", "parts since the dress: the program, after each dress"]
    assert demo.row("504") == ["0", "", "dress under way: the program, while it dresses"]
    assert "contact at 47.5 mm" in plain(demo.text)  # 260 − (150 + 62.5)
    assert "ONCE" not in demo.text
    counted = Page(sheet(program(options=Options(form="subprogram"))).html)
    assert counted.row("503")[2] == "parts since the dress: you, once; then the program counts"


def test_datum_and_what_is_set(demo: Page) -> None:
    assert demo.row("Datum") == ["U 260 mm: empty seat at the spindle centre line"]
    assert demo.row("Measure it")[0].startswith("touch, then datum = touch position + (L + D/2)")
    assert demo.row("Marked") == ["63 m/s"]
    assert (
        demo.row("Stick")[0]
        == "F400, 10 mm × 25 mm (across × along), new 150 mm ± 0.5 mm, 22 mm in the jaw, 128 mm overhang"
    )
    assert demo.row("Lateral") == ["Z 42.5 mm, stick and wheel centred"]
    assert demo.row("Parked") == ["U 0 mm; clearance 4 mm"]


def test_motion_in_order(demo: Page) -> None:
    text = plain(demo.text)
    told = [
        "Every mode stated",
        "U rapid to 0 mm, parked",
        "registers are read and checked",
        "X rapid to 180 mm",
        "Z rapid to 42.5 mm",
        "Spindle clockwise (M3 sense) at 3056 rpm, wait 3.0 s",
        "Coolant on, wait 2.0 s",
        "504 (dress under way) = 1",
        "Overrides locked",
        "U rapid to 43.5 mm",  # 47.5 − 4
        "U at 360 mm/min to 43.5 mm",
        "U plunges at 300 mm/min to 55.5 mm, 8 mm into the stick; contact at 47.5 mm",  # 47.5 + 8
        "U rapid straight back to 0 mm",
        "502 (stick length L) = 142 mm",  # 150 − 8
        "Overrides free",
        "503 (parts since the dress) = 0, 504 = 0",
        "Coolant off",
        "Spindle off",
        "Leaves G21 G90 G94 G17",
    ]
    places = [text.index(words, text.index("Motion in full")) for words in told]
    assert places == sorted(places)


def test_override_window_is_the_band_over_the_target_and_no_more_than_the_slide_can() -> None:
    def window(recipe: Mapping[str, object], machine: Mapping[str, object]) -> str:
        free = {"codes": {"override_lock": "", "override_free": ""}, **machine}
        said = Page(sheet(program(recipe, free)).html).figure("Feed override")
        return said.partition(" not locked")[0]

    assert window({}, {}) == "80 – 120 %"  # 200/250, 300/250
    # 270 wants 324 mm/min: 200/270 = 74.07 %, up to 75 %; 300/270 = 111.1 %, down to 111 %
    assert window({"dress.aggressiveness": 270}, {}) == "75 – 111 %"
    assert window({}, {"dresser.feed": ["10 mm/min", "330 mm/min"]}) == "80 – 110 %"
    assert window({}, {"dresser.feed": ["270 mm/min", "400 mm/min"]}) == "90 – 120 %"
    # a stick of 10 x 25 mm at 300 mm/min loses 75 000 mm³/min: no more than 110 % of that
    assert window({}, {"dresser.max_removal": "82500 mm3/min"}) == "80 – 110 %"
    # the worn cup's inside edge has 115/100 of the number: 120 % · 100/115 = 104.3 %
    assert window(CUP, {}) == "80 – 104 %"


def test_a_held_speed_that_the_marking_caps_is_said() -> None:
    # 60000 · 22/(π · 125) = 3361.4: 3361 rpm; worn, π · 100 · 3361/60000 = 17.6 m/s, 0.06 · 250 · 17.6 = 264
    page = Page(sheet(program({"wheel.max_speed": "22 m/s"})).html)
    assert page.row("worn") == ["100 mm", "3361 rpm", "17.6 m/s", "264 mm/min", "250"]
    assert "marking or spindle limits the speed of a worn wheel" in page.row("Spindle")[0]
    assert "limits the speed" not in Page(sheet(program()).html).text


def test_numbers_are_right_once() -> None:
    page = Page(sheet(variants()["numbers"]).html)
    text = plain(page.text)
    assert "Right ONCE" in text
    assert page.row("Wheel diameter D") == ["110 mm", ""]
    assert page.row("Stick length L") == ["90 mm", ""]
    assert "contact at 115 mm" in text  # 260 − (90 + 55)
    assert page.figure("Spindle") == "3472 rpm, 20 m/s"  # 1200000/(π · 110) = 3472.5
    assert "Register" not in text
    # 5 s of waits, 43.5 mm at 83.33 mm/s, 67.5 mm at 6 mm/s, 12 mm at 5 mm/s, 123 mm back: 20.65 s
    assert page.row("One dress")[0].startswith("1 plunge, 20.7 s,")


def test_incremental() -> None:
    page = Page(sheet(program({"dress.plunges": 2}, INCREMENTAL)).html)
    text = plain(page.text)
    assert page.row("Stand-off")[0].startswith("4 mm between stick and wheel")
    assert "after 20 dresses" in page.row("Stand-off")[0]
    assert "U+ forward 12 mm at 300 mm/min" in text  # 4 + 8
    assert "U rapid straight back by 4 mm" in text
    assert "Plunge 2 the same way" in text
    assert "Datum" not in text
    # 19 dresses of 2 · 8 mm from 0, then 12 forward, 4 back, 12 forward
    assert page.row("U toward the wheel") == ["324 mm", "190 mm", "−134 mm EXCEEDED"]
    # a rapid never passes the stand-off: 1.588 + 0.5 + 1
    assert page.row("Stand-off, at least") == ["4 mm", "3.088 mm", "0.912 mm"]


def test_cup_wheel_on_its_face() -> None:
    page = Page(sheet(program(CUP, {"dresser.datum": "210 mm"})).html)
    # held at 125 − 10 = 115 mm: 1200000/(π · 115) = 3321.5; the worn cup's inside edge at 100 mm: 250 · 115/100 = 287.5
    assert page.figure("Spindle") == "3321 rpm, 20 m/s"
    assert page.row("Rim's inside edge") == ["288 at 100 mm"]
    assert page.row("Aggressiveness, inside edge") == ["288", "200 – 300", "12"]
    assert page.row("505") == ["40 – 46 mm", "", "wheel gauge G: you"]
    assert page.row("new")[0] == "46 mm"
    assert "contact at 14 mm" in plain(page.text)  # 210 − (150 + 46)
    assert "(L + G)" in page.row("Measure it")[0]
    assert "Groove" not in page.text
    assert "Measure G and L twice, and enter what both agree on." in page.text
    assert page.text.count("twice, and enter") == 1


def test_inch() -> None:
    page = Page(sheet(program(INCH_RECIPE, INCH, Options(form="subprogram"))).html)
    # 12 · 4000/(π · 5) = 3055.8 rpm (the trade's 3.82 · 4000/5 = 3056); 250e-6 · 48000 in/min = 12 in/min = 0.2 in/s
    assert page.figure("Spindle") == "3056 rpm, 4000 sfpm"
    assert page.figure("Plunge feed") == "12 in/min"
    assert page.row("One plunge") == ["0.3 in deep, 1.5 s, removal rate 4.8 in³/min"]
    # half a millimetre is 0.0197 in, and no rule has that
    assert "new 5.5 in ± 0.02 in" in page.row("Stick")[0]
    assert page.row("new") == ["5 in", "3056 rpm", "4000 sfpm", "12 in/min", "250"]
    assert "contact at 6 in" in plain(page.text)  # −2 + (5.5 + 2.5): the slide closes toward minus
    assert "touch position − (L + D/2)" in page.row("Measure it")[0]
    assert "toward U+" in plain(page.text)
    assert "U rapid to 7 in, parked" in plain(page.text)
    assert "U rapid straight back to 7 in" in plain(page.text)
    assert " mm" not in page.text


def test_inclined_plunge() -> None:
    page = Page(sheet(variants()["inclined"]).html)
    # 300/cos 20° = 319.25; b = 9 mm of stick end: bedding 9 · tan 20° = 3.276, lead half of it
    assert "319.3 mm/min" in plain(page.text)
    assert page.row("Bedding in") == ["3.276 mm before the whole width cuts"]
    assert "D/(2 cos α) + 1.638 mm" in page.row("Measure it")[0]
    assert page.row("Plunge depth, beyond bedding") == ["8 mm", "3.276 mm", "4.724 mm"]
    assert page.row("Work offset")[0].startswith("G59 for the dresser alone: U 5 mm, X 0 mm, Z 0 mm;")


def test_lanes_and_repeated_plunges() -> None:
    page = Page(sheet(variants()["crowded"]).html)
    text = plain(page.text)
    # (40 − 1)/(10 − 1) = 4.3, so 5 lanes, 30/4 = 7.5 mm apart about 42.5
    # three plunges: 2.5 mm of the rim are met at the first lane only, the other 7.5 mm at all five
    places = "Z 27.5 mm, Z 35 mm, Z 42.5 mm, Z 50 mm, Z 57.5 mm"
    assert page.row("Lanes") == [f"{places}; rim touched 3 to 15 times in a dress"]
    assert "15 plunges" in text
    # the second pass meets the stick 2 mm further on
    assert (
        "Plunges 2 to 15 the same way: Z 35 mm; Z 42.5 mm; Z 50 mm; Z 57.5 mm; Z 27.5 mm, contact at U 49.5 mm; …"
        in text
    )
    assert page.row("Z position") == ["27.5 – 57.5 mm", "−20 – 220 mm", "47.5 mm"]
    stations = Page(sheet(program({"stick.section": ["6 mm", "25 mm"]})).html)
    # 10 mm of wheel, 6 of stick: ± 2 mm, so that the middle 2 mm are met twice
    assert stations.row("Stations") == ["Z 40.5 mm, Z 44.5 mm; rim touched 1 to 2 times in a dress"]


def test_a_subprogram_says_how_it_is_called() -> None:
    assert "Call it with O7101 call" in plain(sheet(program(options=Options(form="subprogram"))).text)
    assert "Call it" not in sheet(program()).text


def test_what_stands_behind_the_control_is_said() -> None:
    made = program()
    assert "An independent interpreter (rs274) has run such programs" in plain(sheet(made).text)
    control = made.dialect.control.model_copy(update={"judge": ""})
    unjudged = plain(sheet(replace(made, dialect=replace(made.dialect, control=control))).text)
    assert (
        "No independent interpreter has run such programs; only examples worked by hand stand behind them" in unjudged
    )


def test_an_approach_by_the_registers_is_warned_of() -> None:
    assert "is a crash" in sheet(program({}, {"dresser.approach": "state"})).text
    assert "is a crash" not in sheet(program()).text


def test_every_wheel_of_a_pack_has_its_register_its_numbers_and_a_box() -> None:
    page = Page(sheet(drill_pack()).html)
    # 60000 · 20/(π D) at 125 and 115 mm, 0.06 · 220 · 20
    assert page.row("511") == [
        "115 – 125 mm",
        "",
        "D of wheel 2",
        "3056 → 3321 rpm",
        "264 mm/min",
        "3 × 3 mm",
    ]
    assert [page.row(number)[2] for number in ("501", "512")] == ["D of wheel 1", "D of wheel 3"]
    assert page.row("Wheel 2")[0].endswith("target 220, band 200 – 300; lateral 70 mm, 75 mm, 80 mm")
