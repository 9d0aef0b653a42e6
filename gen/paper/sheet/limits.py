"""Every value that has a limit, with that limit and the margin between the two, as the bounds measured them."""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace

from gen.base.measure import Measure
from gen.paper.shown import Shown, span

_KINDS = {"valve": "aggressiveness", "axis-feed": "feed"}
"""Quantities that share a row with another one."""

_LEFT_OUT = ("wheel-speed",)
"""The marking in rpm says the same."""

_EACH = ("aggressiveness", "inside-edge", "small-end", "forward", "back", "position")
"""Quantities of which each wheel, or each axis, has a row of its own."""


def limit_rows(measures: Iterable[Measure], shown: Shown) -> list[SimpleNamespace]:
    """The rows of ``measures``, each at its tightest, as text for people.

    What is broken comes first, then the tightest, and last the parked end of the travel, where no room is wanted.
    ``kind`` names what is limited. ``axis`` is the axis of a position, or the number of a wheel in a pack; ``relative``
    the margin as a share of the limit, or of an axis' whole way.
    """
    groups: dict[tuple[str, str], list[Measure]] = {}
    for measure in measures:
        kind = _KINDS.get(measure.quantity, measure.quantity)
        if measure.told and kind not in _LEFT_OUT:
            groups.setdefault((kind, measure.of if kind in _EACH else ""), []).append(measure)
    rows = [_row(kind, of, group, shown) for (kind, of), group in groups.items()]
    return sorted(rows, key=lambda row: (row.holds, row.kind == "back", round(row.relative, 9)))


def _row(kind: str, of: str, measures: list[Measure], shown: Shown) -> SimpleNamespace:
    """One row, from the tightest measure of each side."""
    least = min((one for one in measures if one.side == "least"), key=lambda one: one.margin, default=None)
    most = min((one for one in measures if one.side == "most"), key=lambda one: one.margin, default=None)
    sides = [one for one in (least, most) if one is not None]
    tight = min(sides, key=lambda one: one.margin)
    places = 6 if tight.dimension is not None else 0
    value = span(*(_text(one.value, one, shown, places) for one in (sides[0], sides[-1])))
    limit = (
        f"{shown.number(sides[0].limit)} – {shown.number(sides[-1].limit)}"
        if tight.dimension is None and len(sides) > 1
        else span(*(_text(one.limit, one, shown) for one in (sides[0], sides[-1])))
    )
    return SimpleNamespace(
        kind=kind,
        value=value,
        limit=limit,
        margin=_text(tight.margin, tight, shown, places),
        holds=tight.holds,
        axis=of,
        relative=tight.relative,
    )


def _text(value: float, measure: Measure, shown: Shown, places: int = 6) -> str:
    match measure.dimension:
        case None:
            return shown.number(value, places)
        case "feed":
            return shown.feed(value)
        case "rotation":
            return shown.rpm(value)
        case "removal":
            return shown.removal(value)
        case "peripheral":
            return shown.speed(value)
        case "angle":
            return shown.place(measure.of, value)
        case _:
            return shown.length(value)
