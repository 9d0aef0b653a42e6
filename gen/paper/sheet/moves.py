"""The motion in a few numbered moves, as a person at the machine follows it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from gen.base.dataclass import dataclass
from gen.paper.sheet.motion import ToldStep

_MOVES = {
    "park": "park",
    "place": "place",
    "spindle": "start",
    "coolant": "start",
    "envelope": "rapid",
    "approach": "approach",
    "plunge": "plunge",
    "stroke": "plunge",
    "feeder-on": "plunge",
    "retract": "back",
    "feeder-off": "back",
    "feeder-back": "back",
    "repeat": "repeat",
    "coolant-off": "stop",
    "spindle-off": "stop",
    "refuse": "refuse",
}
"""What is one move to the person watching; all else happens without anything being seen."""

_FURTHER = ("place", "start", "repeat")


@dataclass(frozen=True, slots=True)
class ToldMove:
    """One numbered move, with what is told of it in order; ``kind`` is a value of the table above."""

    number: int
    kind: str
    told: tuple[ToldStep, ...]


def moves(told: Sequence[ToldStep]) -> tuple[ToldMove, ...]:
    """``told`` in numbered moves; what is one to the eye is one move, and what stays in place is none."""
    made: list[ToldMove] = []
    stands: dict[str, str] = {}
    plunged = False
    for one in told:
        kind = _MOVES.get(one.kind)
        stays = one.kind == "approach" and stands.get(one.axis) == one.to
        if one.axis:
            stands[one.axis] = one.to
        if kind is None or stays:
            continue
        last = made[-1] if made else None
        # behind the first plunge all that leads to the next ones, and those, are one move
        plunged = plunged or kind == "plunge"
        further = plunged and last is not None and last.kind in _FURTHER and last.told[-1].kind != "repeat"
        if last is not None and (last.kind == kind or (further and kind in _FURTHER)):
            made[-1] = replace(last, kind="repeat" if kind == "repeat" else last.kind, told=(*last.told, one))
        else:
            made.append(ToldMove(len(made) + 1, kind, (one,)))
    return tuple(made)


def numbers(made: Sequence[ToldMove]) -> Mapping[str, int]:
    """The number of the first move of each kind; the way back is the one behind the plunge, not one before it."""
    found: dict[str, int] = {}
    for move in made:
        if move.kind != "back" or "plunge" in found:
            found.setdefault(move.kind, move.number)
    return found
