"""What is worked out of a control's tables, once for each control that a run meets."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from gen.control.model import Control

_T = TypeVar("_T")

_MANY_CONTROLS = 32


def once_a_control(make: Callable[[Control], _T]) -> Callable[[Control], _T]:
    """``make``, whose result is kept: it must not change, and controls do not either.

    Controls are told apart by identity, as comparing them takes longer than what is saved.
    """
    kept: dict[int, tuple[Control, _T]] = {}

    def made(control: Control) -> _T:
        found = kept.get(id(control))
        if found is None:
            if len(kept) >= _MANY_CONTROLS:
                kept.clear()
            found = kept[id(control)] = control, make(control)
        return found[1]

    return made
