"""The main job: a recipe and its machine to a program that is read back and judged, all in memory."""

from __future__ import annotations

from dataclasses import replace

from gen.bounds.judge import judge
from gen.bounds.readback import cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe


def build(recipe: Recipe, machine: Machine, names: tuple[str, str], options: Options | None = None) -> Program:
    """The program of ``recipe`` on ``machine``, judged. ``names`` are those of machine folder and recipe file.

    :class:`DressblockError` where the two do not fit together or the control cannot spell it.
    """
    chosen = options or Options()
    program = draft(recipe, machine, names, chosen)
    judged = (
        program if _some_stick_fits(program.dress) else draft(recipe, machine, names, replace(chosen, resolve=True))
    )
    told = judge(cases(judged))
    return replace(program, findings=told.findings, measures=told.measures)


def _some_stick_fits(dress: Dress) -> bool:
    """Whether any stick passes the guards; where none does, they would hide what is wrong with the numbers."""
    low, high = dress.length_range
    return not dress.dresser.needs_length or low <= high
