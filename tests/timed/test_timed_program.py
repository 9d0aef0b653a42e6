"""The program of a timed feeder, line by line, against numbers worked out by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from feeder_bench import ON_AN_OUTPUT, body, built, drafted, dress_of, judged
from gen.base.errors import DressblockError
from gen.bounds.states import refused_states
from gen.control.options import Options
from gen.physics.valve import Valve
from gen.plan.evaluate import at
from gen.plan.node import Press, walk
from gen.plan.step import Aux, Dwell, End, Refuse, Write

# 60000 · 20 / (π · 125) = 3055.8, in whole revolutions 3056
ONE_PLUNGE = """\
G21 G90 G94 G17 G40 G49 G80 G97 G61
M72
G4 X1.2 (FEEDER BACK)
G53 G0 X140.
G53 G0 Z42.5
M3 S3056
G4 X3. (SPINDLE AT SPEED)
M8
G4 X2. (COOLANT ON THE STICK)
M49
M71 G4 X2.4 (FEEDER OUT)
M72
G4 X1.2 (FEEDER BACK)
M48
M9
M5
G21 G90 G94 G17 G64
M30
"""

TWO = {"dress.plunges": 2}


def dwells(machine: dict[str, Any], recipe: dict[str, Any]) -> list[float]:
    return [float(node.seconds) for node in walk(drafted(machine, recipe).plan.nodes) if isinstance(node, Press)]


def test_one_plunge() -> None:
    program = built()
    assert program.findings == ()
    assert body(program) == ONE_PLUNGE.splitlines()


def test_a_worn_wheel_turns_faster_and_the_dwell_stays() -> None:
    # 60000 · 20 / (π · 100) = 3819.7
    lines = body(drafted(options=Options(diameter=Decimal(100))))
    assert "M3 S3820" in lines
    assert "M71 G4 X2.4 (FEEDER OUT)" in lines


def test_two_lines_where_the_machine_ignores_single_block() -> None:
    lines = body(drafted({"dresser.single_block": "inhibited"}))
    at = lines.index("M71")
    assert lines[at : at + 3] == ["M71", "G4 X2.4 (FEEDER OUT)", "M72"]


def test_a_signal_is_waited_for_in_place_of_a_time() -> None:
    program = built({"codes.feeder_retracted": "M73"})
    assert program.accepted
    lines = body(program)
    assert lines[1:3] == ["M72", "M73"]
    press = lines.index("M71 G4 X2.4 (FEEDER OUT)")
    assert lines[press + 1 : press + 3] == ["M72", "M73"]
    assert not any("FEEDER BACK" in line for line in lines)


def test_without_adjustment_the_second_plunge_makes_up_for_the_first() -> None:
    # (4 + 8) / 5 = 2.4 s, then (4 + 8 + 8) / 5 = 4 s
    assert dwells({}, TWO) == [2.4, 4.0]
    assert built({}, TWO).accepted


def test_a_self_adjusting_feeder_has_one_dwell() -> None:
    assert dwells({"dresser.self_adjusting": True}, TWO) == [2.4, 2.4]
    # 115 mm of stick are six dresses of twice 8.6 mm
    assert built({"dresser.self_adjusting": True, "dresser.dresses_per_set_up": 6}, TWO).accepted


def test_lanes_of_a_wide_stick_are_cut_side_by_side() -> None:
    # two lanes of 10 mm on a stick of 18 mm, overlapping by 2 mm: at 42.5 ∓ 4 mm
    wide = {"stick.section": ["18 mm", "20 mm"]}
    assert dwells({}, {**wide, **TWO}) == [2.4, 2.4, 4.0, 4.0]
    program = built({}, wide)
    assert program.accepted
    assert [line for line in body(program) if " Z" in line] == ["G53 G0 Z38.5", "G53 G0 Z46.5"]


def test_stations_of_a_narrow_stick_each_cut_its_whole_end() -> None:
    narrow = {"stick.section": ["6 mm", "20 mm"]}
    assert dwells({}, narrow) == [2.4, 4.0]
    assert built({}, narrow).accepted
    assert dwells({"dresser.self_adjusting": True}, narrow) == [2.4, 2.4]


def test_lanes_and_self_adjustment_do_not_go_together() -> None:
    with pytest.raises(DressblockError, match="would be met too soon"):
        built({"dresser.self_adjusting": True}, {"stick.section": ["18 mm", "20 mm"]})


@pytest.mark.parametrize("keeps", [True, False])
def test_the_wheel_must_not_stay_in_a_slot(keeps: bool) -> None:
    with pytest.raises(DressblockError, match="would still stand in it"):
        built({"dresser.self_adjusting": keeps}, {"stick.section": ["18 mm", "20 mm"], "dress.lanes": "one"})


def test_inches() -> None:
    # 0.2 in and 0.3 in at 0.2 in/s (12 in/min): 2.5 s
    inch = {"units": "inch", "dresser.rate": "12 in/min", "dresser.stand_off": "0.2 in"}
    program = built(inch, {"dress.plunge": "0.3 in"})
    assert program.accepted
    assert "M71 G4 X2.5 (FEEDER OUT)" in body(program)
    assert "G53 G0 X5.5118" in body(program)  # 140 mm


def test_dwells_in_milliseconds() -> None:
    program = built({"codes.dwell_unit": "ms", "codes.dwell_word": "P"}, {"dress.plunge": "7.7 mm"})
    assert program.accepted
    assert "M71 G4 P2340 (FEEDER OUT)" in body(program)  # 11.7 mm at 5 mm/s


def test_registers_hold_the_wheel_and_the_flag_alone() -> None:
    program = drafted(ON_AN_OUTPUT)
    assert program.by_registers
    assert judged(program) == []
    assert "#502" not in program.text
    steps = at(program.plan, program.state)
    writes = [(step.register, step.value) for step in steps if isinstance(step, Write)]
    assert writes == [(504, 1.0), (503, 0.0), (504, 0.0)]


def test_what_comes_before_the_guards_only_draws_the_feeder_back() -> None:
    program = drafted(ON_AN_OUTPUT)
    whole = [state for state in refused_states(program) if state.values.keys() >= {"wheel_diameter", "in_progress"}]
    assert len(whole) == 10  # six diameters outside the range, four values of the flag that are not 0
    for state in whole:
        off, back, synchronise, refused, end = at(program.plan, state)
        assert off == Aux(0, "", "feeder-off")
        assert back == Dwell(0, 1.2)
        assert synchronise == Aux(0, "", "synchronise")
        assert isinstance(refused, Refuse)
        assert isinstance(end, End)


def test_a_prove_out_never_switches_the_feeder_on() -> None:
    program = drafted(options=Options(purpose="prove-out"))
    assert judged(program) == []
    lines = body(program)
    assert not any("M71" in line for line in lines)
    assert "G4 X2.4 (FEEDER STAYS OFF)" in lines


def test_valve_by_hand() -> None:
    valve = Valve(Decimal(300), Decimal("0.05"), Decimal(4), self_adjusting=False, air_tolerance=Decimal("0.05"))
    assert valve.rates == (Decimal(285), Decimal(315))
    assert valve.dwell(Decimal(8), Decimal(0)) == Decimal("2.4")
    # at 4.75 and 5.25 mm/s, 2.4 s reach 11.4 and 12.6 mm, of which 4 are air
    assert valve.depths(Decimal(8)) == (Decimal("7.4"), Decimal("8.6"))
    # two plunges end after 4 s at 21 mm at the most: 17 mm of stick
    assert valve.most_taken(Decimal(8), 2, 1) == 17
    adjusting = Valve(Decimal(300), Decimal("0.05"), Decimal(4), self_adjusting=True, air_tolerance=Decimal("0.05"))
    assert adjusting.most_taken(Decimal(8), 2, 3) == Decimal("51.6")  # six of 8.6 mm


def test_a_feeder_that_is_faster_in_air_goes_deeper() -> None:
    # 20 % faster over 4 mm of air is 0.8 mm, and 5 % of 8 mm is 0.4 mm
    valve = Valve(Decimal(300), Decimal("0.05"), Decimal(4), self_adjusting=True, air_tolerance=Decimal("0.2"))
    assert valve.in_air == Decimal("0.8")
    assert valve.depths(Decimal(8)) == (Decimal("6.8"), Decimal("9.2"))
    # where nobody has measured it, as much is assumed
    assert Valve(Decimal(300), Decimal("0.05"), Decimal(4), self_adjusting=True) == valve


def test_stick_from_set_up_to_set_up() -> None:
    assert dress_of().stick_per_set_up == Decimal("8.6")
    assert dress_of({"dresser.self_adjusting": True}).stick_per_set_up == 20 * Decimal("8.6")
