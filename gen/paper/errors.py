"""What errors at the machine make of the aggressiveness, as text: the same for the quick answer and the sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import SimpleNamespace

from gen.base.quantities import System
from gen.paper.shown import Shown
from gen.physics.sensitivity import ErrorKind, Sensitivity, Tolerance, watch_time

_ROUNDING = 0.05
"""Percent that an override may be beyond a whole one; programs round speed and feed."""


def told_errors(found: Sensitivity, shown: Shown) -> tuple[SimpleNamespace, ...]:
    """``found`` kind by kind; an angle only where the plunge is inclined.

    ``cases`` are each error, the ``number`` that the aggressiveness is then, and whether it ``holds`` the band;
    ``too_gentle`` and ``too_hard`` are the errors that leave the band, empty where none does.
    """
    ends = {one.quantity: one for one in found.tolerances}
    kinds = dict.fromkeys(one.quantity for one in found.deviations if one.quantity != "angle" or found.is_inclined)
    return tuple(_of_kind(kind, found, ends.get(kind), shown) for kind in kinds)


def _of_kind(kind: ErrorKind, found: Sensitivity, end: Tolerance | None, shown: Shown) -> SimpleNamespace:
    cases = [
        SimpleNamespace(
            error=_error(kind, one.error, shown, 0),
            number=shown.number(one.aggressiveness, 0),
            holds=found.holds(one.aggressiveness),
        )
        for one in found.deviations
        if one.quantity == kind
    ]
    too_gentle, too_hard = _ends(kind, end, shown)
    return SimpleNamespace(
        kind=kind,
        cases=cases,
        errors=[case.error for case in cases],
        numbers=[case.number for case in cases],
        too_gentle=too_gentle,
        too_hard=too_hard,
    )


def pack_errors(found: Sequence[Sensitivity], shown: Shown) -> tuple[SimpleNamespace, ...]:
    """The same for a pack, ``found`` wheel by wheel; of spindle speed only where no override reaches the feed.

    The ends are those of the wheels that leave the band first, ``gentle_first`` and ``hard_first``, which are empty
    where all wheels are alike; there are no ``cases``, as each wheel has its own.
    """
    each = [{one.kind: one for one in told_errors(wheel, shown)} for wheel in found]
    kinds = dict.fromkeys(kind for told in each for kind in told)
    if "override" in kinds:
        # a slower spindle does what a higher override does, and the sheet of a pack is full
        kinds.pop("spindle", None)
    return tuple(
        _of_pack(kind, found, {at: told[kind] for at, told in enumerate(each) if kind in told}) for kind in kinds
    )


def _of_pack(kind: ErrorKind, found: Sequence[Sensitivity], told: Mapping[int, SimpleNamespace]) -> SimpleNamespace:
    nothing = 100.0 if kind == "override" else 0.0
    ends = [(at, one) for at in told for one in found[at].tolerances if one.quantity == kind]
    gentle = {at: abs(one.too_low - nothing) for at, one in ends if one.too_low is not None}
    hard = {at: abs(one.too_high - nothing) for at, one in ends if one.too_high is not None}
    too_gentle = told[min(gentle, key=gentle.__getitem__)].too_gentle if gentle else ""
    too_hard = told[min(hard, key=hard.__getitem__)].too_hard if hard else ""
    gentle_first = tuple(at + 1 for at in gentle if told[at].too_gentle == too_gentle)
    hard_first = tuple(at + 1 for at in hard if told[at].too_hard == too_hard)
    return SimpleNamespace(
        kind=kind,
        too_gentle=too_gentle,
        too_hard=too_hard,
        gentle_first=() if len(gentle_first) == len(found) else gentle_first,
        hard_first=() if len(hard_first) == len(found) else hard_first,
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
