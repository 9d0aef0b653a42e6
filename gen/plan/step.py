"""Neutral steps: what a program does, in no control's language.

The idea is that of the canonical machining functions of NIST IR 6556: a plan
evaluates to these steps, a program reads back to these steps, and the two can
be compared and judged without knowing how either was spelled.

Positions are machine coordinates in mm (rotary axes A, B, C: degrees) of every
axis whose position is known; rates are mm/min, times s, speeds rpm.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple, TypeAlias

Direction = Literal["cw", "ccw", "off"]
Register: TypeAlias = int | str
"""A numbered register (502 for ``#502`` or ``R502``) or a named one (``"stick"``)."""

ROTARY = frozenset("ABC")

UNKNOWN: Literal["unknown"] = "unknown"
"""The value of a mode that the reader cannot know."""


class Circle(NamedTuple):
    """How an arc goes round: about ``centre`` (axis to machine coordinate, mm), seen from the third axis.

    ``turns`` is the angle in whole turns: 0.25 for a quarter of a circle.
    """

    centre: Mapping[str, float]
    direction: Literal["cw", "ccw"]
    turns: float


class Move(NamedTuple):
    """One movement along a straight line (rapid, feed) or an arc.

    ``frame`` says what the words of the line were measured in: ``"machine"``,
    ``"incremental"``, ``"work"``, or the word of a work offset (``"G59"``).
    ``span`` holds, for an arc, the least and greatest position of each axis on it, ``circle`` how it goes round;
    both are None where that is not known.
    """

    op: Literal["rapid", "feed", "arc"]
    line: int
    to: Mapping[str, float]
    rate: float | None
    axes: tuple[str, ...]
    frame: str
    span: Mapping[str, tuple[float, float]] | None = None
    circle: Circle | None = None


class Dwell(NamedTuple):
    """A wait of ``seconds``."""

    line: int
    seconds: float
    op: Literal["dwell"] = "dwell"


class Spindle(NamedTuple):
    """The spindle told to turn at ``rpm``, or to stop (``off``, 0 rpm)."""

    line: int
    rpm: float
    direction: Direction
    op: Literal["spindle"] = "spindle"


class Coolant(NamedTuple):
    """Flood coolant switched."""

    line: int
    on: bool
    op: Literal["coolant"] = "coolant"


class Write(NamedTuple):
    """A register given a value."""

    line: int
    register: Register
    value: float
    op: Literal["write"] = "write"


class Aux(NamedTuple):
    """Any other word that acts: ``code`` as written, ``function`` what it is known to do.

    Functions known to the bounds are ``synchronise`` (execution waits here until
    all motion before it has ended), ``override-lock``, ``override-free``, and of
    a timed feeder ``feeder-on``, ``feeder-off`` and ``feeder-retracted`` (execution
    waits here until it has come back);
    an empty function is a word known to the control and of no concern here.
    """

    line: int
    code: str
    function: str = ""
    op: Literal["aux"] = "aux"


class Unclear(NamedTuple):
    """A step whose number the reader cannot know: how fast the spindle turns, how long a wait is, what is written.

    ``kind`` is the step it would be, ``detail`` what is known of it: the sense of the spindle, or the register.
    No two of these are the same step.
    """

    line: int
    kind: Literal["spindle", "dwell", "write"]
    detail: str = ""
    op: Literal["unclear"] = "unclear"


class Refuse(NamedTuple):
    """The program refuses to go on and shows ``message``."""

    line: int
    message: str
    op: Literal["refuse"] = "refuse"


class Stop(NamedTuple):
    """A program stop that cycle start passes (``optional``: only with its switch on)."""

    line: int
    optional: bool = False
    op: Literal["stop"] = "stop"


class End(NamedTuple):
    """The end of the program."""

    line: int
    op: Literal["end"] = "end"


Step: TypeAlias = Move | Dwell | Spindle | Coolant | Write | Aux | Unclear | Refuse | Stop | End


class ModeChange(NamedTuple):
    """Mode ``group`` took ``value`` at ``line``, before step number ``step`` (0-based)."""

    step: int
    line: int
    group: str
    value: str


class RegisterRead(NamedTuple):
    """A register that was read at ``line``, before step number ``step`` (0-based)."""

    step: int
    line: int
    register: Register


class Unread(NamedTuple):
    """Something at ``line`` that nobody understood: the text, and why."""

    line: int
    text: str
    why: str


def is_same(a: Step, b: Step, tolerance: float = 0.0) -> bool:
    """Whether two steps are one, as :func:`differences` counts."""
    if type(a) is not type(b) or isinstance(a, Unclear):
        return False
    if isinstance(a, Move) and isinstance(b, Move):
        ours, theirs = a.to, b.to
        return (
            a.op == b.op
            and ours.keys() == theirs.keys()
            and (ours == theirs or all(abs(ours[axis] - theirs[axis]) <= tolerance for axis in ours))
            and _alike(a.rate, b.rate, tolerance)
            and _round_alike(a.circle, b.circle, tolerance)
        )
    if isinstance(a, Aux) and isinstance(b, Aux):
        return a.function == b.function and (bool(a.function) or a.code == b.code)
    one, other = a[1:], b[1:]  # all but the line
    return one == other or all(_alike(x, y, tolerance) for x, y in zip(one, other, strict=True))


def _round_alike(a: Circle | None, b: Circle | None, tolerance: float) -> bool:
    """Whether two arcs go round the same way; True where one of them does not tell."""
    if a is None or b is None:
        return True
    return (
        a.direction == b.direction
        and abs(a.turns - b.turns) <= max(tolerance, 1e-9)
        and all(_alike(a.centre.get(axis), place, tolerance) for axis, place in b.centre.items())
    )


def _alike(x: object, y: object, tolerance: float) -> bool:
    """Whether two numbers are as near as ``tolerance``, or two other values the same."""
    if isinstance(x, (int, float)) and isinstance(y, (int, float)):
        return abs(x - y) <= tolerance
    return x == y
