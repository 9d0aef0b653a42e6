"""Single edits of whole programs, with the digest written anew: each is found, or does exactly what was there before.

The edits are those of :mod:`proof.edits`: some thousands for each kind of
program and control. A sample runs with the other tests;
``DRESSBLOCK_EDITS=1`` runs every one, ``DRESSBLOCK_EDITS=10`` every tenth.
What survives is argued by :mod:`proof.simulation`, which knows nothing of the
reading over all states.
"""

from __future__ import annotations

import os

import pytest

from gen.base.errors import DressblockError

from . import simulation
from .bench import CONTROLS, KINDS, Bench, sealed
from .edits import Edit, edits

EVERY = int(os.environ.get("DRESSBLOCK_EDITS", "400"))


@pytest.mark.parametrize("which", KINDS)
@pytest.mark.parametrize("control", CONTROLS)
def test_no_edit_survives_that_does_something_else(control: str, which: str, benches: dict[str, Bench]) -> None:
    bench = benches[control]
    program = bench.program(which)
    every = list(edits(program.text.splitlines(), control))
    assert len(every) > 800
    print(f"{control} {which}: {len(every[::EVERY])} of {len(every)} edits")
    unargued = [
        f"line {edit.line}, {edit.name}: {why}"
        for number, edit in enumerate(every)
        if number % EVERY == 0 and not _refused(bench, which, edit) and (why := _does(bench, which, edit))
    ]
    assert unargued == []


def _refused(bench: Bench, which: str, edit: Edit) -> bool:
    try:
        return bool(bench.found(sealed(edit.lines), which))
    except DressblockError:
        return True  # said in words, and nothing is called right


def _does(bench: Bench, which: str, edit: Edit) -> str:
    return simulation.parts(bench.program(which), edit.lines)
