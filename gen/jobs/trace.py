"""The neutral steps of any program, with registers set as asked."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from pathlib import Path

from gen.base.errors import DressblockError
from gen.control.folders import load_control
from gen.control.model import Control
from gen.jobs.generate import read_program
from gen.jobs.pair import spoken_at
from gen.plan.step import Register
from gen.reader import Reading, ReadState, read


def trace_of(path: Path, control: Control, settings: Iterable[str] = (), *, block_delete: bool = False) -> Reading:
    """The reading of the program at ``path``; ``settings`` are texts such as ``501=110``."""
    state = ReadState(registers=settings_of(settings), block_delete=block_delete)
    return read(read_program(path), control, state)


def control_of(name: str | None, machine: Path | None, folders: tuple[Path, ...] = ()) -> Control:
    """The control ``name``, or that of the file ``machine`` with all that it says of it; one of the two is given.

    :class:`DressblockError` where that cannot be used.
    """
    if machine is None:
        return load_control(name or "", folders)
    try:
        return spoken_at(machine, folders)[1].control
    except DressblockError as error:
        raise error.within(machine) from None


def settings_of(settings: Iterable[str]) -> dict[Register, float]:
    """The registers that texts such as ``501=110`` set. :class:`DressblockError` for a text that sets none."""
    return dict(_setting(text) for text in settings)


def _setting(text: str) -> tuple[Register, float]:
    name, _, value = text.partition("=")
    # a number behind a control's mark for it, or a name, which controls read in any case
    found = re.fullmatch(r"[#R]?([0-9]{1,9})|#?<?([^#<>]+)>?", name.strip(), re.IGNORECASE)
    try:
        number = float(value)
    except ValueError:
        number = math.nan
    if found is None or not math.isfinite(number):
        raise DressblockError(f'--set reads "{text}"; a register and its value are wanted, such as 501=110.')
    return (found[2].lower() if found[2] else int(found[1])), number
