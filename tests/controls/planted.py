"""Programs of one small recipe on any control, and what the bounds say when their text is tampered with."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from example_files import GONE, MACHINE, RECIPE, tables
from gen.bounds import judge
from gen.bounds.readback import case_of, read_cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.reader import lower
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

Lines = list[str]


def program(control: str, folder: Path, *, registers: bool) -> Program:
    without = {} if registers else {"registers": GONE}
    machine = tables(MACHINE, {"control": control, "host": GONE, "codes": {}, **without})
    options = Options(control_folders=(folder,))
    return draft(Recipe.model_validate(tables(RECIPE, {})), Machine.model_validate(machine), ("g", "d"), options)


def rules_at(made: Program, lines: Lines) -> set[tuple[str, int | None]]:
    """Rule and line of every error in ``lines``, read in place of the text of ``made``; its broken seal left out."""
    text = "\n".join([*lines, ""])
    if made.by_registers:
        cases = list(read_cases(replace(made, text=text)))
    else:
        cases = [case_of(made, lower(text, made.dialect.control), made.state, text=text)]
    found = [finding for finding in judge(cases).findings if finding.severity == "error"]
    return {(finding.rule, finding.line) for finding in found if finding.rule != "altered"}


def place(lines: Lines, text: str, which: int = 0) -> int:
    """Where the line ``text`` is, its number aside; the first one, or the ``which``-th."""
    return [at for at, line in enumerate(lines) if re.sub(r"^N\d+ ", "", line) == text][which]


Edit = Callable[[Lines], int]
"""Changes lines in place; says where the rule must fire."""


def drop(text: str, which: int = 0, fires: str = "", after: int = 0) -> Edit:
    """Leaves an empty line, so that every other keeps its number."""

    def edit(lines: Lines) -> int:
        at = place(lines, text, which)
        lines[at] = ""
        return place(lines, fires) + 1 if fires else at + 1 + after

    return edit


def change(old: str, new: str, fires: str = "") -> Edit:
    def edit(lines: Lines) -> int:
        at = place(lines, old)
        lines[at] = lines[at].replace(old, new)
        return (place(lines, fires) if fires else at) + 1

    return edit


def move(text: str, before: str) -> Edit:
    """Takes the line ``text`` to the place before another, which comes earlier."""

    def edit(lines: Lines) -> int:
        line = lines.pop(place(lines, text))
        at = place(lines, before)
        lines.insert(at, line)
        return at + 1

    return edit
