"""A program read again at another state reads as it would alone, whatever is taken from earlier readings."""

from __future__ import annotations

import os
from collections.abc import Mapping
from itertools import groupby, product
from random import Random

import pytest
from drawn import Drawn

from gen.control.folders import load_control
from gen.plan.step import Register
from gen.reader import ReadState, lower, run
from gen.reader.reading import UNFINISHED, Halt
from gen.reader.rereading import Rereading
from gen.reader.window import Snapshot

CONTROL = load_control("rs274ngc")
PROGRAMS = int(os.environ.get("DRESSBLOCK_DRAWN", "150"))
BLOCKS = (
    ["G53 G0 X#501", "G1 Y[#502+1] F[#501+50]", "#502=[#502-1]", "G1 F100", "#1=2.5"],
    ["o77 if [#501 LT 5]", "(abort, too small)", "o77 endif", "#503=#501", "G0 X1"],
    ["o78 if [#501 LT 5]", "G0 Z9", "M0", "o78 endif", "S[100*#501] M3", "M5"],
    ["#2=#501", "G91 G0 X1", "G90", "M8", "M9"],
    ["G20", "G0 X#501 Y#502 Z1", "G21", "G55", "G54 F7"],
)
OTHER = [
    "(BEGIN DRESS 7 SEAL X)",
    "G53 G0 X#501",
    "#502=[#502-3]",
    "#590=#502",
    "G0 X#590",
    "(END DRESS 7)",
    "/G0 Z#502",
]
"""A dress beside the block, which finds registers of its own, and a line that a switch takes out."""

STATES = [
    ReadState(
        registers={501: first, 502: second, 20: 3.0},
        held={501} if second else frozenset(),
        others={} if finds is None else {7: {501: 9.0, 502: finds}},
        block_delete=deletes,
    )
    for first, second in product((4.0, 6.0, -0.0), (0.0, 7.5))
    for finds, deletes in ((None, False), (50.0, False), (60.0, True))
]


def _told(moment: Snapshot) -> str:
    """All of it; the order of variables is of no concern, and two unknown values are never equal."""
    sets = {"unset": sorted(map(str, moment.unset)), "modal": _in_order(moment.modal)}
    return repr({**vars(moment), **sets, "variables": [sorted(map(repr, one.items())) for one in moment.variables]})


def _in_order(value: object) -> object:
    if isinstance(value, Mapping):
        return [(key, _in_order(one)) for key, one in value.items()]
    return sorted(value) if isinstance(value, set) else value


@pytest.mark.parametrize("seed", range(PROGRAMS))
def test_each_reading_is_the_one_it_would_be_alone(seed: int) -> None:
    """Programs drawn at random around a block that depends on the state; long runs of plain lines around them."""
    draw = Random(seed)
    lines = Drawn(seed).text().rstrip("\n").split("\n")
    place = draw.randint(1, len(lines) - 1)
    block = draw.choice(BLOCKS)
    plain = [f"G1 X{n}.5 Y-{n}. F{n}0." for n in range(1, draw.choice((2, 30)))]
    ahead, behind = draw.choice(([], OTHER)), draw.choice(([], OTHER))
    lines = [*lines[:place], *ahead, *plain, *block, *behind, *plain, *lines[place:]]
    begin = place + len(ahead) + len(plain) + 1
    window = (range(begin, begin + len(block)),)
    lowered = lower("\n".join(lines), CONTROL)
    again = Rereading(lowered, window, {501, 502, 503})
    for state, past_stops in draw.choices(list(product(STATES, (False, True))), k=12):
        alone = run(lowered, state, registers={501, 502, 503}, past_stops=past_stops, window=window)
        read = again.run(state, past_stops=past_stops)
        assert read == alone
        assert repr(list(read.steps)) == repr(list(alone.steps))
        if past_stops:
            ended = run(lowered, state, registers={501, 502, 503})
            assert alone.first_halt == Halt(ended.end, len(ended.steps), ended.unread)
            assert list(alone.steps)[: len(ended.steps)] == list(ended.steps)
        bare = run(lowered, state, registers={501, 502, 503}, past_stops=past_stops)
        inside = groupby(enumerate(bare.steps), lambda step: step[1].line in window[0])
        runs = [[at for at, _ in steps] for is_inside, steps in inside if is_inside]
        assert [list(visit) for visit in read.visits] == runs
        assert list(read.changes_inside) == [change for change in bare.changes if change.line in window[0]]
        assert list(read.reads_inside) == [one for one in bare.reads if one.line in window[0]]
        for one, other in zip(read.windows, alone.windows, strict=True):
            assert _told(one.entry) == _told(other.entry)
            assert _told(one.leaving) == _told(other.leaving)


def test_what_stands_around_a_block_is_read_once() -> None:
    """Arcs and expressions, which no fast way reads: forty readings do little more than one."""
    around = ["G2 X1. Y1. I1.", "G1 X[#1+1] Y0. F100."] * 300
    text = "\n".join(["G21 G90 G94 G17 #1=1", *around, *BLOCKS[0], *around, "M2"])
    first = 2 + len(around)
    again = Rereading(lower(text, CONTROL), (range(first, first + len(BLOCKS[0])),))
    full = again.run(ReadState(registers={501: 6.0, 502: 1.0}))
    counted: list[int] = []
    for size in range(40):
        reading = again.run(ReadState(registers={501: float(size), 502: 1.0}))
        counted.append(sum(one is not other for one, other in zip(reading.steps, full.steps, strict=True)))
    assert max(counted) <= len(BLOCKS[0]) + 2


def test_what_stands_behind_a_block_is_read_once_whatever_the_block_found_unset() -> None:
    """Registers that nobody has set are on record; what follows the block asks for none of them."""
    behind = ["G2 X1. Y1. I1.", "G1 X[#1+1] Y0. F100."] * 300
    text = "\n".join(["G21 G90 G94 G17 #1=1", "#9=[#501+#502]", *behind, "M2"])
    again = Rereading(lower(text, CONTROL), (range(2, 3),))
    known: tuple[dict[Register, float | None], ...] = ({}, {501: 1.0}, {502: 1.0})
    first, second, third = (again.run(ReadState(registers=registers)) for registers in known)
    assert [sorted(map(str, one.unset)) for one in (first, second, third)] == [["501", "502"], ["502"], ["501"]]
    for other in (second, third):
        assert sum(one is not two for one, two in zip(other.steps, first.steps, strict=True)) <= 2


@pytest.mark.parametrize("behind", [["o2 while [1]", "#2=[#2+1]", "o2 endwhile"], ["o2 if [#<_x> GT #<_nobody>]"]])
def test_loops_around_a_block_and_a_rest_that_is_not_read_to_its_end_are_read_once(behind: list[str]) -> None:
    ahead = ["#1=0", "o1 while [#1 LT 500]", "G1 X#1 Y0. F100.", "#1=[#1+1]", "o1 endwhile"]
    moves = ["G1 X0. Y[#1+1] F100."] * 100
    text = "\n".join(["G21 G90 G94 G17", *ahead, *BLOCKS[0], *moves, *behind, "M2"])
    again = Rereading(lower(text, CONTROL), (range(7, 7 + len(BLOCKS[0])),))
    first, second = (again.run(ReadState(registers={501: 6.0, 502: size})) for size in (1.0, 2.0))
    assert first.end in UNFINISHED
    assert (second.end, second.cut, second.unread) == (first.end, first.cut, first.unread)
    assert sum(one is not two for one, two in zip(second.steps, first.steps, strict=True)) <= len(BLOCKS[0]) + 2


def test_where_it_would_have_halted_is_taken_from_an_earlier_reading_too() -> None:
    """The block moves once more for a small wheel; the program behind it ends by a message."""
    block = ["o79 if [#501 LT 5]", "G0 Z9", "o79 endif", "G0 Z8"]
    behind = ["G1 X[#1+1] Y0. F100."] * 100
    text = "\n".join(["G21 G90 G94 G17 #1=1 G0 Z8", *block, *behind, "(abort, no more)", "G0 Z1", "M2"])
    again = Rereading(lower(text, CONTROL), (range(2, 6),))
    large, small = (again.run(ReadState(registers={501: size}), past_stops=True) for size in (6.0, 4.0))
    ended = run(lower(text, CONTROL), ReadState(registers={501: 4.0}))
    assert sum(one is two for one, two in zip(reversed(small.steps), reversed(large.steps), strict=False)) > 100
    assert small.halt == Halt("refused", len(ended.steps), ended.unread)
    assert large.halt == Halt("refused", len(ended.steps) - 1, ended.unread)
