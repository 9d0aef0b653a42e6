"""The states a register program is read at: those it dresses at, those it only counts at, those it must refuse."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from itertools import cycle

from gen.control.draft import Program
from gen.plan.grid import INCH
from gen.plan.node import State

NUDGE = Decimal("0.01")
"""mm beyond a limit."""

_FEW_COUNTS = 40
"""A count of parts up to which every one is read."""


def when_due(program: Program, states: Iterable[State]) -> Iterator[State]:
    """``states`` with the count of parts at which a dress is due, where the program counts them."""
    due = program.dress.settings.every_parts if program.edition.counts else None
    for state in states:
        yield state if due is None else state.having(parts_since_dress=float(due))


def with_counts(program: Program, states: Iterable[State]) -> Iterator[State]:
    """``states`` with other counts of parts, where a dress must come whatever the count: none may depend on it.

    One count for each state, in turn: none, one less than due, due, and past it.
    """
    if program.edition.counts or "parts_since_dress" not in program.dress.register_numbers:
        yield from states
        return
    due = program.dress.settings.every_parts or 6
    for state, parts in zip(states, cycle((0, due - 1, due, due + 1)), strict=False):
        yield state.having(parts_since_dress=float(parts))


def overdue_states(program: Program) -> Iterator[State]:
    """A count past the one at which a dress is due, which must dress as well; none where no parts are counted."""
    due = program.dress.settings.every_parts
    if program.edition.counts and due:
        yield program.dress.state().having(parts_since_dress=float(due + 1))


def idle_states(program: Program) -> Iterator[State]:
    """The states in which a program that counts parts only counts: every count below the one at which a dress is due.

    Where there are many, both ends and what is just inside them.
    """
    due = program.dress.settings.every_parts
    if program.edition.counts and due:
        few = range(due) if due <= _FEW_COUNTS else (0, 1, due // 2, due - 2, due - 1)
        for parts in few:
            yield program.dress.state().having(parts_since_dress=float(parts))


def left_out_states(program: Program) -> Iterator[State]:
    """The states in which a program goes on without its dress: the ends of the lengths of a used-up stick."""
    dress = program.dress
    for length in (dress.shortest_left, dress.length_range[0] - NUDGE):
        for number in (1, len(dress.turns)) if dress.turns else (1,):
            state = dress.state(length=length, next_lane=number)
            if leaves_out_at(program, state):
                yield state


def leaves_out_at(program: Program, state: State) -> bool:
    """Whether ``state``, one that is not refused, has a stick that is used up, so that ``program`` makes no dress."""
    dress, length = program.dress, state.values.get("stick_length", 0.0)
    short = length < float(dress.length_range[0] / dress.register_unit)
    return short and program.by_registers and dress.leaves_out(program.edition)


def unique(states: Iterable[State]) -> Iterator[State]:
    """``states``, each once, in their order."""
    seen: list[State] = []
    for state in states:
        if state not in seen:
            seen.append(state)
            yield state


def refused_states(program: Program) -> Iterator[State]:
    """States that a register program must refuse: nothing set, each value just outside, a dress under way."""
    dress = program.dress
    unit = dress.register_unit
    good = dress.state()
    yield State({}, good.positions)
    for name, (low, high) in dress.accepted(program.edition).items():
        yield _without(good, name)
        # the last two are the same length typed in the other unit
        for value in (Decimal(0), low - NUDGE, high + NUDGE, -high, low / INCH, high * INCH):
            yield good.having(**{name: float(value / unit)})
    if dress.turns:
        yield _without(good, "next_lane")
        for lane in (0.0, -1.0, 1.5, len(dress.turns) + 0.5, len(dress.turns) + 1.0):
            yield good.having(next_lane=lane)
    for flag in (1.0, 2.0, -1.0, 0.5):
        yield good.having(in_progress=flag)


def _without(state: State, name: str) -> State:
    """``state`` with the register ``name`` never set."""
    return State({key: value for key, value in state.values.items() if key != name}, state.positions)
