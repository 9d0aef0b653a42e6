"""What errors at the machine make of the aggressiveness, as text: the same for the quick answer and the sheet."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gen.base.quantities import System
from gen.paper.shown import Shown
from gen.physics.sensitivity import ErrorKind, Sensitivity, Tolerance, watch_time

_ROUNDING = 0.05
"""Percent that an override may be beyond a whole one; programs round speed and feed."""


@dataclass(frozen=True, slots=True)
class ErrorCase:
    """One error, what the aggressiveness is then, and whether that is within the band."""

    error: str
    number: str
    holds: bool


@dataclass(frozen=True, slots=True)
class ToldError:
    """The errors of one kind; ``too_gentle`` and ``too_hard`` are those that leave the band, empty where none does."""

    kind: ErrorKind
    cases: tuple[ErrorCase, ...]
    too_gentle: str
    too_hard: str

    @property
    def errors(self) -> tuple[str, ...]:
        """The errors alone."""
        return tuple(case.error for case in self.cases)

    @property
    def numbers(self) -> tuple[str, ...]:
        """What the aggressiveness is with each of them."""
        return tuple(case.number for case in self.cases)


def told_errors(found: Sensitivity, shown: Shown) -> tuple[ToldError, ...]:
    """``found`` kind by kind; an angle only where the plunge is inclined."""
    ends = {one.quantity: one for one in found.tolerances}
    kinds = dict.fromkeys(one.quantity for one in found.deviations if one.quantity != "angle" or found.is_inclined)
    return tuple(
        ToldError(
            kind,
            tuple(
                ErrorCase(
                    _error(kind, one.error, shown, 0),
                    shown.number(one.aggressiveness, 0),
                    found.holds(one.aggressiveness),
                )
                for one in found.deviations
                if one.quantity == kind
            ),
            *_ends(kind, ends.get(kind), shown),
        )
        for kind in kinds
    )


def _ends(kind: ErrorKind, tolerance: Tolerance | None, shown: Shown) -> tuple[str, str]:
    if tolerance is None:
        return "", ""
    low, high = tolerance.too_low, tolerance.too_high
    if kind == "override":
        # whole percent that still keep the band
        low = None if low is None else math.ceil(low - _ROUNDING)
        high = None if high is None else math.floor(high + _ROUNDING)
    texts = ("" if end is None else _error(kind, end, shown, 1) for end in (low, high))
    return next(texts), next(texts)


def _error(kind: ErrorKind, value: float, shown: Shown, places: int) -> str:
    """An error with its unit and, but for an override, its sign."""
    sign = "+" if value > 0 else ""
    match kind:
        case "diameter":
            return f"{sign}{_length(value, shown, places)}"
        case "override":
            return f"{shown.number(value, 0)} %"
        case "spindle":
            return f"{sign}{shown.number(value, places)} %"
        case "angle":
            return f"{sign}{shown.number(value, places)}°"


def _length(value: float, shown: Shown, places: int) -> str:
    """A length no finer than it matters here."""
    return f"{shown.number(value, places)} mm" if shown.system == "mm" else f"{shown.number(value / 25.4, 2)} in"


WATCHED: dict[System, float] = {"mm": 25.0, "inch": 25.4}
"""The length of plunge, mm, that is timed with a watch."""


def by_watch(feed_mm_min: float, shown: Shown) -> tuple[str, str]:
    """A length of plunge, and the time that it takes: what a watch must show beside the moving stick."""
    length = WATCHED[shown.system]
    return shown.length(length), shown.seconds(watch_time(feed_mm_min, length))
