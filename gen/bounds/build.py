"""The main job: a recipe and its machine to a program that is read back and judged, all in memory."""

from __future__ import annotations

from dataclasses import replace

from gen.bounds.judge import judge
from gen.bounds.readback import cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe


def build(recipe: Recipe, machine: Machine, names: tuple[str, str], options: Options | None = None) -> Program:
    """The program of ``recipe`` on ``machine``, judged. ``names`` are those of machine folder and recipe file.

    :class:`DressblockError` where the two do not fit together or the control cannot spell it.
    """
    chosen = options or Options()
    program = judged = draft(recipe, machine, names, chosen)
    shortest, longest = program.dress.length_range
    if program.by_registers and program.dress.dresser.needs_length and shortest > longest:
        # no stick passes the guards, which would hide what is wrong with the numbers
        judged = draft(recipe, machine, names, replace(chosen, resolve=True), to_be_run=False)
    told = judge(cases(judged))
    # that numbers are right once is no fault of a program with registers
    kept = tuple(one for one in told.findings if judged is program or one.rule != "right-once")
    return replace(program, findings=kept, measures=told.measures)
