"""Every value that has a limit, with that limit and the margin between the two, as the bounds measured them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from types import SimpleNamespace

from gen.base.measure import Measure
from gen.paper.shown import Shown, span

_KINDS = {"valve": "aggressiveness", "axis-feed": "feed"}
"""Quantities that share a row with another one."""

_ORDER = (
    "feed",
    "spindle",
    "marking",
    "aggressiveness",
    "inside-edge",
    "small-end",
    "forward",
    "back",
    "position",
    "stick-left",
    "depth",
    "bedding",
    "clearance",
    "stand-off",
    "slot",
    "removal",
    "overhang",
)
_LEFT_OUT = ("wheel-speed",)
"""The marking in rpm says the same."""

_PER_WHEEL = ("aggressiveness", "inside-edge", "small-end")
_PER_AXIS = ("forward", "back", "position")


def limit_rows(measures: Iterable[Measure], shown: Shown) -> Iterator[SimpleNamespace]:
    """The rows of ``measures``, each at its tightest, as text for people.

    ``kind`` names what is limited. ``axis`` is the axis of a position, or the number of a wheel in a pack; ``relative``
    the margin as a share of the limit, or of an axis' whole way.
    """
    groups: dict[tuple[str, str], list[Measure]] = {}
    for measure in measures:
        kind = _KINDS.get(measure.quantity, measure.quantity)
        if measure.told and kind not in _LEFT_OUT:
            of = measure.of if kind in (*_PER_WHEEL, *_PER_AXIS) else ""
            groups.setdefault((kind, of), []).append(measure)
    order = {kind: place for place, kind in enumerate(_ORDER)}
    axes = list(dict.fromkeys(of for kind, of in groups if kind in _PER_AXIS))

    def place(key: tuple[str, str]) -> tuple[int, int, int]:
        kind, of = key
        if kind in _PER_WHEEL:
            return order["aggressiveness"], int(of or 0), order[kind]
        if kind in _PER_AXIS:
            return order["forward"], axes.index(of), order[kind]
        return order.get(kind, len(order)), 0, 0

    for kind, of in sorted(groups, key=place):
        yield _row(kind, of, groups[kind, of], shown)


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
