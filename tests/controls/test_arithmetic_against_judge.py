"""What a program works out, worked out again by ``rs274``.

Each right-hand side that a reading came through is rewritten, mechanically,
into RS274/NGC; the judge computes the same chain of assignments from the same
registers. Rewriting changes only spelling. FIX drops the fraction on the one
control and rounds down on the other; the plan keeps its arguments above zero,
and this would show it if it did not.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.bounds.readback import read_state
from gen.control.draft import Program
from gen.control.options import Options
from gen.plan.node import State
from gen.plan.step import Write
from gen.reader import lower, run
from judge import judge
from strategies import Pair, accepted, pairs

from .mixed import NAME

SPELLING = {
    "hash-variables": [],
    "r-variables": [(r"ROUNDUP\(", "FUP("), (r"TRUNC\(", "FIX("), (r"\bR(?=\d)", "#"), (r"\(", "["), (r"\)", "]")],
    NAME: [
        (r"RND\(", "ROUND("),
        (r"INT\(", "FIX("),
        (r"RUP\(", "FUP("),
        (r"\bR(?=\d)", "#"),
        (":", "/"),
        (r"\(", "["),
        (r"\)", "]"),
    ],
}
ASSIGNMENT = re.compile(r"^(?:N\d+ )?[#R](\d+)=(.*?)\s*(?:\(.*\)|;.*|!.*)?$")
RESULTS = 3000
"""The first of the judge's parameters that keep what each assignment came to."""


def rewritten(control: str, expression: str) -> str:
    for old, new in SPELLING[control]:
        expression = re.sub(old, new, expression)
    return expression


def assignments(program: Program, state: State) -> list[tuple[int, str, float]]:
    """Register, right-hand side and value of every assignment that a reading at ``state`` carries out, in order."""
    lines = program.text.splitlines()
    reading = run(lower(program.text, program.dialect.control), read_state(program, state))
    found = []
    for step in reading.steps:
        if isinstance(step, Write):
            match = ASSIGNMENT.match(lines[step.line - 1])
            assert match is not None, lines[step.line - 1]
            assert int(match[1]) == step.register
            found.append((int(match[1]), match[2], step.value))
    return found


@pytest.mark.parametrize("control", SPELLING)
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_the_judge_works_out_the_same(control: str, folder: Path, data: st.DataObject) -> None:
    pair: Pair = data.draw(pairs(controls=(control,), registers=True, forms=("program",)))
    program = pair.program(Options(control_folders=(folder,)))
    state = data.draw(accepted(program.dress))
    chain = assignments(program, state)
    assert len(chain) >= 5
    text = "".join(
        f"#{register}=[{rewritten(control, expression)}]\n#{RESULTS + count}=#{register}\n"
        for count, (register, expression, _) in enumerate(chain)
    )
    table = program.plan.registers
    given_registers = {int(table[name]): value for name, value in state.values.items() if name in table}
    verdict = judge(text + "M2\n", registers=given_registers, saved=range(RESULTS, RESULTS + len(chain)))
    assert verdict.error == ""
    for count, (register, expression, value) in enumerate(chain):
        # the judge's file has six decimals
        assert verdict.parameters[RESULTS + count] == pytest.approx(value, abs=2e-6, rel=1e-9), (register, expression)
