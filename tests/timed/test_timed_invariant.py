"""Over many feeders, recipes and every control: the text reads back as planned, and cuts as deep as it should.

The depths are simulated here by themselves, from the dwells of the plan alone.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from feeder_bench import ON_AN_OUTPUT, REGISTERS, drafted, judged
from gen.bounds.readback import cases
from gen.control.draft import Program
from gen.control.folders import control_names
from gen.control.options import Options
from gen.plan.node import Press, walk

CONTROLS = control_names()


def on(control: str) -> dict[str, Any]:
    return {**ON_AN_OUTPUT, "control": control, "registers": REGISTERS}


@st.composite
def feeders(draw: st.DrawFn) -> tuple[dict[str, Any], dict[str, Any]]:
    """Changes to the bench's machine and recipe, far from every limit."""
    keeps = draw(st.booleans())
    narrow, wide = ["6 mm", "20 mm"], ["17.5 mm", "20 mm"]
    section = draw(st.sampled_from((["10 mm", "20 mm"], narrow) if keeps else (["10 mm", "20 mm"], narrow, wide)))
    machine = {
        "dresser.rate": f"{draw(st.integers(2800, 3200)) / Decimal(10)} mm/min",
        "dresser.rate_tolerance": f"{draw(st.integers(0, 8))} %",
        "dresser.air_tolerance": f"{draw(st.integers(0, 8))} %",
        "dresser.stand_off": f"{draw(st.integers(26, 60)) / Decimal(10)} mm",
        "dresser.self_adjusting": keeps,
        "dresser.dresses_per_set_up": 1,
    }
    recipe = {
        "stick.section": section,
        "dress.plunge": f"{draw(st.integers(100, 900)) / Decimal(100)} mm",
        "dress.plunges": draw(st.integers(1, 3)),
        "dress.coolant": draw(st.booleans()),
    }
    return machine, recipe


def simulated(program: Program) -> list[float]:
    """The depth of every plunge, mm, each lane of the stick's end by itself."""
    dress, valve = program.dress, program.dress.dresser.valve
    assert valve is not None
    per_second, gap, keeps = float(valve.rate) / 60, float(valve.stand_off), valve.self_adjusting
    lanes = len(dress.first.lanes.offsets) if dress.first.lanes.stick_is_wider else 1
    gone = [0.0] * lanes
    found = []
    for visit, press in enumerate(node for node in walk(program.plan.nodes) if isinstance(node, Press)):
        depth = float(press.seconds) * per_second - gap - (0.0 if keeps else gone[visit % lanes])
        gone[visit % lanes] += depth
        found.append(depth)
    return found


@pytest.mark.parametrize("control", CONTROLS)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(pair=feeders(), resolve=st.booleans())
def test_it_reads_back_and_holds(control: str, pair: tuple[dict[str, Any], dict[str, Any]], resolve: bool) -> None:
    machine, recipe = pair
    program = drafted({**on(control), **machine}, recipe, Options(resolve=resolve))
    for case in cases(program):  # raises where the reading is not the plan
        if case.expected.accepted:
            assert case.contacts is not None
            depths = [plunge.depth for plunge in case.contacts.plunges]
            assert depths == pytest.approx(simulated(program), abs=1e-6)
    assert judged(program) == []
    planned = float(program.dress.settings.plunge)
    slack = 0.01 * float(program.dress.dresser.feed_limits[0]) / 60  # a hundredth of a second
    assert simulated(program) == pytest.approx([planned] * len(simulated(program)), abs=slack)
