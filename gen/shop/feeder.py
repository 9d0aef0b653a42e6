"""What a machine file says of a timed feeder: which keys it needs, which make no sense, and its words.

No axis moves such a feeder. A valve lets it out at a fixed rate, and how long
it is out decides how deep the stick goes.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from gen.base.errors import Disagreement, Problem

NO_AXIS = ""
"""The plunge axis of a dresser that has none."""

ONLY_TIMED = {
    "rate": "the speed its valve is set to",
    "rate_tolerance": "how far the valve's speed may be off",
    "retract_wait": "the time a timed feeder takes to come back",
    "on_hold": "what a timed feeder does on a feed hold",
    "on_reset": "what a timed feeder does on a reset",
    "on_power_loss": "what a timed feeder does when power fails",
    "single_block": "what keeps single block from parting feeder and dwell",
    "self_adjusting": "whether a timed feeder takes up what the stick has lost",
}
"""Keys that only a timed dresser has, and what each of them says."""

_NEEDED = {
    "rate": '"300 mm/min"',
    "rate_tolerance": '"5 %"',
    "stand_off": '"4 mm"',
    "retract_wait": '"1.5 s"',
}
_SENSELESS = ("motion", "plunge_axis", "toward_wheel", "datum", "parked", "clearance", "feed", "approach")

FOLLOWS = ("plunge_axis", "toward_wheel", "clearance", "feed")
"""Keys that every other dresser must have, and that follow from those of a timed feeder."""

SET_UPS = 20
"""Dresses between two set-ups of a stand-off that stays as it is."""


def filled(table: dict[str, Any]) -> dict[str, Any]:
    """The table ``[dresser]`` of a timed feeder, with what follows from its keys in place of those it has not.

    It goes forward and back from a stand-off, as an incremental slide does.
    :class:`Disagreement` where keys are missing, or make no sense for it.
    """
    problems = list(_problems(table))
    if problems:
        raise Disagreement(problems)
    return {
        "dresses_per_set_up": SET_UPS if table.get("self_adjusting") is True else 1,
        **table,
        "motion": "incremental",
        "plunge_axis": NO_AXIS,
        "toward_wheel": "+",
        "clearance": table["stand_off"],
        "feed": [table["rate"], table["rate"]],
    }


def _problems(table: dict[str, Any]) -> Iterator[Problem]:
    for key in _SENSELESS:
        if key in table:
            yield Problem(key, "a timed feeder has no plunge axis, its rate and its dwell decide; take this key out.")
    for key, example in _NEEDED.items():
        if key not in table:
            yield Problem(key, f"this key is missing; a timed feeder needs it, such as {key} = {example}.")
    if table.get("self_adjusting") is not True and table.get("dresses_per_set_up", 1) != 1:
        yield Problem(
            "dresses_per_set_up",
            "each dress makes the stick shorter and so the stand-off greater, so that it is set anew after every "
            "dress; take this key out, or write self_adjusting = true if the feeder takes up what the stick has lost.",
        )
