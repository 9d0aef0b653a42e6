"""The sheet and the heading for a timed feeder: what maintenance is told, and what the operator has to know."""

from __future__ import annotations

from typing import Any

import pytest

from feeder_bench import built
from gen.base.places import data_folder
from gen.bounds.build import build
from gen.control.draft import Program
from gen.paper.sheet import sheet
from gen.paper.sheet.moves import numbers
from gen.paper.sheet.values import values
from gen.shop.load import load_machine, load_recipe

ADJUSTING: dict[str, Any] = {"dresser.self_adjusting": True, "dresser.dresses_per_set_up": 9}


def text(program: Program) -> str:
    """The sheet's words, its lines joined."""
    return " ".join(sheet(program).text.split())


def test_the_valve_by_hand() -> None:
    said = values(built({}, {"dress.plunges": 2})).feeder
    assert said is not None
    assert (said.rate, said.tolerance, said.rates) == ("300 mm/min", "5 %", "285 – 315 mm/min")
    # at 20 m/s 10/12 of the rate, 237.5 to 262.5; 3056 and 3820 rpm are a trace faster
    assert said.aggressiveness == "237 – 262"
    assert said.dwells == ("2.4 s", "4 s")
    assert said.depths == "7.4 – 8.6 mm"
    assert said.new_gap == "16 mm"
    # 35 mm, and 4 s at 5.25 mm/s less the stand-off
    assert said.least_stick == "52 mm"


def test_the_drawing_calls_a_way_by_the_number_of_its_move_in_the_list() -> None:
    # the feeder comes back before the first plunge too; the way that is drawn is the one after it
    moves = values(built()).moves
    drawn = numbers(moves)
    assert moves[drawn["plunge"] - 1].told[0].kind == "feeder-on"
    assert drawn["back"] == drawn["plunge"] + 1


def test_what_the_target_wants_is_said_beside_what_is_set() -> None:
    said = values(built({"dresser.rate": "280 mm/min"})).feeder
    assert said is not None
    assert said.wanted == "300 mm/min"
    assert said.rate == "280 mm/min"


def test_the_page() -> None:
    page = text(built())
    for part in (
        "set to 300 mm/min ± 5 %",
        "on hold retracts, on reset retracts, without power retracts",
        "It grows by 8 mm per dress: set it again after EVERY dress",
        "stick at least 43.6 mm: no program can check them",
        "within 1.2 s, which the program waits; no signal",
        "Turn the feeder's air OFF and vent it",
        "Feeder on for 2.4 s",
        "LOCKED none reaches the feeder",
    ):
        assert part in page
    assert "Stick held off the wheel" not in page
    assert "Datum" not in page


def test_the_page_of_one_that_adjusts_itself_and_signals() -> None:
    page = text(built({**ADJUSTING, "codes.feeder_retracted": "M73"}))
    assert "The feeder keeps it; set it again after 9 dresses" in page
    assert "signalled, M73 waits for it" in page
    assert "right ONCE" not in page


@pytest.mark.parametrize(("machine", "again"), [({}, True), (ADJUSTING, False)])
def test_the_heading(machine: dict[str, Any], again: bool) -> None:
    heading = " ".join(built(machine).text.replace(")\n(- ", " ").replace(")\n(", " ").split())
    assert "VALVE OF THE FEEDER SET TO 300 MM/MIN, NO MORE THAN 5 PERCENT OFF" in heading
    assert "PROVE OUT WITH THE AIR OF THE FEEDER OFF" in heading
    assert ("SET IT ANEW AFTER EACH DRESS" in heading) is again


def test_other_dressers_have_no_such_part() -> None:
    folder = data_folder("machines") / "shuttle"
    shuttle = load_machine(folder / "machine.toml")
    slide = build(load_recipe(folder / "dress" / "notch-wheel.toml"), shuttle, ("shuttle", "notch-wheel"))
    assert values(slide).feeder is None
    assert "tell maintenance" not in sheet(slide).text


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_dress_every_few_parts_with_a_stand_off_set_by_hand_says_both_at_once(language: str) -> None:
    program = built({}, {"dress.every_parts": 8})
    (warned,) = [found for found in program.findings if found.rule == "right-once"]
    assert warned.severity == "warning"
    assert "grows by 8 mm in each: somebody has to set it again after every dress" in warned.message
    said = " ".join(sheet(program, language).text.split())
    large = {
        "en": "Dress every 8 parts, then set the stand-off by hand",
        "de": "8 Teile, Startabstand dann neu einstellen",
    }
    assert large[language] in said


def test_a_feeder_that_keeps_its_stand_off_is_left_alone() -> None:
    program = built(ADJUSTING, {"dress.every_parts": 8})
    assert [found for found in program.findings if found.rule == "right-once"] == []
    assert values(program).strip.repeat == "every"
