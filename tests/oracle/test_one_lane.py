"""One lane a dress: what ``rs274`` does at every lane is the plan, moves and registers alike."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from bench import disagreements, ruling

from lanes import bench as narrow


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("sign", ["+", "-"])
def test_every_lane(units: str, sign: str, tmp_path: Path) -> None:
    machine = {"registers.units": units, "dresser.lateral_sign": sign}
    program = narrow.program("rs274ngc", tmp_path, machine=machine)
    for number in range(1, 2 * narrow.LANES + 1):
        # at no edge of a step, which inches in registers and millimetres in the program round either way
        state = program.dress.state(Decimal("111.3731"), Decimal("90.5137"))
        state = state.having(next_lane=float(number))
        assert disagreements(program, state, ruling(program, state)) == []


@pytest.mark.parametrize("number", [0.0, 1.5, 13.0])
def test_no_other_lane(number: float, tmp_path: Path) -> None:
    program = narrow.program("rs274ngc", tmp_path)
    state = program.dress.state()
    verdict = ruling(program, state.having(next_lane=number))
    assert [step.op for step in verdict.steps][-2:] == ["refuse", "end"]
