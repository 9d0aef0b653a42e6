"""The way back: the axes that the dress moved go, one at a time and in reverse, to where the program stood."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from gen.base.errors import listed
from gen.base.finding import Finding
from gen.control.dialect import Dialect
from gen.control.program import sealed
from gen.control.render import render
from gen.host.point import HostPoint
from gen.host.said import unproven
from gen.plan.evaluate import settled
from gen.plan.expression import Num
from gen.plan.grid import INCH
from gen.plan.node import Leave, Modes, Plan, Remark, Travel
from gen.plan.step import ROTARY
from gen.reader.standing import ACTIVE_SHIFT, InForce, Standing
from gen.shop.dress import Dress


def moved(dress: Dress) -> tuple[str, ...]:
    """The axes that a dress moves beside the stick's, in the order of the way back: the last one first."""
    return tuple(reversed(dress.ways.axes))


def goes_back(point: HostPoint, dress: Dress) -> tuple[str, ...]:
    """The axes that the way back moves; the plunge axis last, where it is the program's own too."""
    plunge = dress.machine.dresser.axis
    return (*moved(dress), *([plunge] if plunge and point.lines_that_move(plunge) else []))


def against_return(point: HostPoint, dress: Dress) -> Iterator[Finding]:
    """Whether the program knows where it stood."""
    lost = [axis for axis in goes_back(point, dress) if not _known(point.here, axis, point)]
    if lost:
        yield unproven(
            "host-path",
            point.in_front,
            f"where {listed(lost, 'and')} stood is not known, so that it cannot be gone back to; move it to a known "
            "place before the dress, in the coordinates that are in force at it.",
        )
    elsewhere = [axis for axis in goes_back(point, dress) if axis not in lost and not point.is_alike(axis)]
    if elsewhere:
        axes, machine = listed(elsewhere, "and"), point.control.once["machine_frame"]
        yield unproven(
            "host-path",
            point.in_front,
            f"{axes} may stand elsewhere when the program comes to the dress another time, and the way back goes to "
            f"one place; move {axes} to it in front of the dress, such as by {machine} with a number.",
        )


def _known(here: InForce, axis: str, point: HostPoint) -> Standing | None:
    """Where ``axis`` stood, if the words in force at the place can say so."""
    stood = here.axes.get(axis)
    if stood is None or stood.at is None:
        return None
    if stood.frame == "machine":
        return stood
    now = here.get("work_offset")
    frame = "work" if now == point.control.usual_offset else point.control.groups["work_offset"].get(now, now)
    shifted = here.get("shift") in ACTIVE_SHIFT or "offset" in here.lines or here.get("tool_length", "off") != "off"
    return stood if stood.frame == frame and stood.still and not shifted else None


def way_back(
    point: HostPoint, dialect: Dialect, dress: Dress, number: int, taken: Sequence[int], *, within: bool = False
) -> list[str]:
    """The marked lines of the way back, under the modes that the program has at the place.

    ``within``: they go into other lines between marks, and get their numbers there. ``ValueError`` if a place has more
    decimals than the control writes.
    """
    control, words, here = dialect.control, dialect.words, point.here
    unit = INCH if here.get("units") == "inch" else Decimal(1)
    incremental = here.get("distance") == "incremental"
    nodes: list[tuple[str, Remark | Modes | Travel | Leave]] = [("", Remark("back to where the program stood"))]
    if incremental:
        nodes.append(("", Modes((("distance", "absolute"),))))
    for axis in goes_back(point, dress):
        stood = _known(here, axis, point)
        if stood is None or stood.at is None:
            continue
        place = Decimal(repr(settled(stood.at))) / (Decimal(1) if axis in ROTARY else unit)
        nodes.append((stood.frame, Travel(axis, Num(round(place, 7).normalize()))))
    if incremental:
        nodes.append(("", Modes((("distance", "incremental"),))))
    if here.get("motion") == "feed" and "motion" not in point.unsettled:
        nodes.append(("", Leave((control.word("motion", "feed"),))))
    lines = [
        line for frame, node in nodes for line in render(Plan((node,), mm_per_unit=unit, frame=frame), control, words)
    ]
    unnumbered = replace(dialect, number_step=0) if within else dialect
    return sealed(lines, kind="RETURN", number=number, dialect=unnumbered, taken=taken)
