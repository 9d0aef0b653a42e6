"""A power log: CSV with one row a trace, made into one net power a part."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from statistics import fmean, median
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.power.aside import Aside, idle_rows, why_stray
from gen.power.estimate import Variance
from gen.power.rows import not_told_apart, scatter_of_means
from gen.power.said import Said, as_said
from gen.power.table import (
    LogRow,
    MarkedRow,
    column_of,
    in_parts,
    not_negative,
    optional_column,
    table_of,
    text_of,
)
from gen.power.trace import CutTrace, cut_trace

Unit: TypeAlias = Literal["kW", "W", "%"]
Combine: TypeAlias = Literal["mean", "highest"]

TIMES = ("time_s", "time")
"""Names of the time in a raw trace, unless told."""
_SHOWN = 4
"""Gaps in the log that are told one by one."""
LEAST_IDLE = 3
"""Idle rows, and rows of a part, below which what stands apart is judged with the parts around it."""


@dataclass(frozen=True, slots=True)
class LogColumns:
    """What the columns are called. ``power`` may be several, traces of one part; ``trued`` and ``idle`` need not be.

    ``trued`` "" means: a column ``trued``, if there is one. ``time`` "" means: ``time_s`` or ``time``, if there is one
    and no column of parts; a log with a time and no parts is a raw trace.
    """

    part: str = "part"
    power: tuple[str, ...] = ("power_kw",)
    dressed: str = "dressed"
    trued: str = ""
    idle: str | None = None
    time: str = ""


@dataclass(frozen=True, slots=True)
class PowerScale:
    """How a power is written: in kW, in W, or in % of ``rated_kw``. ``idle_kw`` is taken off every power."""

    unit: Unit = "kW"
    rated_kw: Decimal | None = None
    idle_kw: Decimal | None = None

    @property
    def kw(self) -> float:
        """kW in one unit. :class:`DressblockError` for % without the rated power."""
        if self.unit == "%":
            if self.rated_kw is None:
                raise DressblockError('a power in % needs the rated power it is a share of; give --rated "5.5 kW".')
            return float(self.rated_kw) / 100
        return 1.0 if self.unit == "kW" else 0.001


@dataclass(frozen=True, slots=True)
class LoggedPart:
    """One part: its number, its net power in kW, and what came before it.

    ``dressed``: it is the first part after a dress, or after ``dresses`` in a row. ``trued``: after truing, which
    counts as a dress.
    """

    number: int
    power_kw: float
    dressed: bool
    trued: bool
    line: int
    dresses: int = 1


@dataclass(frozen=True, slots=True)
class Log:
    """The parts in order. ``idle_kw`` is what was taken off on average; None if nothing was.

    ``set_aside`` are the rows that do not count; a part that is made of such rows alone is there with the line of one,
    so that its mark is not lost. ``cut`` is the raw trace that the parts were cut from.
    ``scatter_of_means`` is the variance of a part's power, kW², by what the rows of one part scatter.
    """

    parts: tuple[LoggedPart, ...]
    idle_kw: float | None = None
    notes: tuple[Said, ...] = ()
    set_aside: tuple[Aside, ...] = ()
    cut: CutTrace | None = None
    scatter_of_means: Variance | None = None


@dataclass(slots=True)
class _Trace(MarkedRow):
    row: LogRow
    power: list[float]
    idle: float

    @property
    def net(self) -> list[float]:
        return [power - self.idle for power in self.power]


def read_log(
    path: Path, columns: LogColumns | None = None, scale: PowerScale | None = None, combine: Combine = "mean"
) -> Log:
    """The log in the CSV file ``path``; separated by commas, or by semicolons or tabs with decimal commas allowed.

    Rows of one part, and several power columns, are traces of that part; their
    ``combine`` is its power. Blank lines and lines that begin with # are passed
    over. :class:`DressblockError` names the line of whatever cannot be used.
    """
    try:
        return _log(text_of(path), columns or LogColumns(), scale or PowerScale(), combine)
    except DressblockError as error:
        raise error.within(path) from None


def _log(text: str, columns: LogColumns, scale: PowerScale, combine: Combine) -> Log:
    header, rows = table_of(text, "this log is empty; a line with the names of its columns is wanted first.")
    time = _time_column(header, columns)
    traces = list(_traces(rows, header, columns, scale, is_raw=time is not None))
    if not traces:
        raise DressblockError("this log has names of columns and no rows.")
    given = columns.idle is not None or scale.idle_kw is not None
    idle_kw = math.fsum(one.idle for one in traces) / len(traces) if given else None
    if time is not None:
        return _from_trace(traces, combine, time, idle_kw)
    not_negative([(one.line, power) for one in traces for power in one.net])
    groups = list(in_parts(traces))
    gone = {one.line: one for one in idle_traces(traces)}
    kept = [[one for one in group if one.line not in gone] for group in groups]
    parts = tuple(_part(group[0], left or group[:1], combine) for group, left in zip(groups, kept, strict=True))
    several = [left for left in kept if len(left) > 1]
    names = {name.casefold() for name in (columns.part, *columns.power, columns.dressed, columns.trued or "trued")}
    asked = [at for at, name in enumerate(header) if name.casefold() in names]
    not_told_apart([[one.row for one in group] for group in several], asked)
    means = [[math.fsum(one.net) / len(one.net) for one in group] for group in several]
    scatter = scatter_of_means(means) if combine == "mean" else None
    notes = [as_said("several-rows", parts=str(len(several)), combine=combine)] if several else []
    many = {len(group) * len(columns.power) for group in groups}
    if len(many) > 1:
        notes.append(as_said("traces", least=str(min(many)), most=str(max(many))))
    notes += _missing(parts)
    return Log(parts, idle_kw, tuple(notes), tuple(gone.values()), scatter_of_means=scatter)


def _traces(
    rows: Iterator[LogRow], header: Sequence[str], columns: LogColumns, scale: PowerScale, *, is_raw: bool
) -> Iterator[_Trace]:
    """What each row says; those of a raw trace are of part 0 all of them, and need no column of dresses."""
    part = None if is_raw else column_of(header, columns.part, "--part")
    powers = [column_of(header, name, "--power") for name in columns.power]
    if is_raw and len(powers) > 1:
        raise DressblockError("a raw trace has the power in one column; give --power once.")
    dressed = optional_column(header, columns.dressed)
    if dressed is None and not is_raw:
        dressed = column_of(header, columns.dressed, "--dressed")
    trued = column_of(header, columns.trued, "--trued") if columns.trued else optional_column(header, "trued")
    idle = None if columns.idle is None else column_of(header, columns.idle, "--idle-column")
    kw, constant = scale.kw, float(scale.idle_kw or 0)
    for row in rows:
        number, power = 0 if part is None else row.whole_number(part), [row.power_kw(at, kw) for at in powers]
        off = constant if idle is None else row.power_kw(idle, kw)
        yield _Trace(row.line, number, row.dresses(dressed), row.is_marked(trued), row, power, off)


def _part(first: _Trace, traces: Sequence[_Trace], combine: Combine) -> LoggedPart:
    """The part that begins with ``first``, by those of its ``traces`` that count."""
    net = [power for one in traces for power in one.net]
    power = max(net) if combine == "highest" else fmean(net)
    marked = bool(first.dresses or first.trued)
    return LoggedPart(first.part, power, marked, first.trued, traces[0].line, first.dresses or 1)


def _time_column(header: Sequence[str], columns: LogColumns) -> int | None:
    """Where the time of a raw trace is; None for a log of parts."""
    if columns.time:
        return column_of(header, columns.time, "--time")
    known = {cell.casefold(): at for at, cell in enumerate(header)}
    if columns.part.casefold() in known:
        return None
    return next((known[name] for name in TIMES if name in known), None)


def _from_trace(traces: Sequence[_Trace], combine: Combine, time: int, idle_kw: float | None) -> Log:
    """The parts of a raw trace, its time in column ``time``; a mark anywhere since the part before is the part's."""
    times = [one.row.seconds(time) for one in traces]
    for one, (before, at) in zip(traces[1:], itertools.pairwise(times), strict=True):
        if at < before:
            name = one.row.header[time]
            raise DressblockError(f"line {one.line}: {name} goes back; rows must be in the order of time.")
    cut = cut_trace(times, [one.net[0] for one in traces])
    found, aside, number, seen = [], {}, 1, 0
    for stretch in cut.stretches:
        marks = traces[seen : stretch.last + 1]
        dresses, trued = max(one.dresses for one in marks), any(one.trued for one in marks)
        line, seen = traces[stretch.first].line, stretch.last + 1
        value = stretch.peak_kw if combine == "highest" else stretch.mean_kw
        found.append(LoggedPart(number, value, bool(dresses or trued), trued, line, dresses or 1))
        ground = 1
        if stretch.flaw is not None:
            aside[line] = Aside(line, "not-cut", value)
            ground = 0 if stretch.flaw == "too-short" else max(1, round(stretch.seconds / cut.usual_seconds))
        number += ground
    whole = len(found) - len(aside)
    if not whole:
        raise DressblockError("no stretch of this trace is a whole part; log more of it.")
    told = as_said("cut", parts=str(whole), idle=f"{cut.idle_kw:.2f}", line=f"{cut.line_kw:.2f}")
    missing = _missing([part for part in found if part.line not in aside])
    return Log(tuple(found), idle_kw, (told, *missing), tuple(aside.values()), cut)


def begun_clean(log: Log) -> Log:
    """``log`` with its first part that counts marked as the first one after truing and its opening."""
    aside, parts = {one.line for one in log.set_aside}, list(log.parts)
    at = next(at for at, part in enumerate(parts) if part.line not in aside)
    parts[at] = replace(parts[at], dressed=True, trued=True)
    return replace(log, parts=tuple(parts))


def idle_traces(traces: Sequence[_Trace]) -> Iterator[Aside]:
    """The rows that were logged while the wheel ground nothing, and what is far from the other traces of its part."""
    # one power column: with several, a low one may be a lighter operation
    if any(len(one.power) > 1 for one in traces):
        return
    powers = [one.net[0] for one in traces]
    idle = idle_rows(powers, [bool(one.dresses or one.trued) for one in traces])
    if len(idle) < LEAST_IDLE:
        idle = set()
    for _, group in itertools.groupby(range(len(traces)), key=lambda at: traces[at].part):
        places = [at for at in group if at not in idle]
        usual = median(powers[at] for at in places) if len(places) >= LEAST_IDLE else 0.0
        for at in places:
            if usual > 0 and not usual / 3 < powers[at] < usual * 3:
                yield Aside(traces[at].line, why_stray(powers[at], usual), powers[at], usual)
    yield from (Aside(traces[at].line, "idle", powers[at]) for at in idle)


def _missing(parts: Sequence[LoggedPart]) -> Iterator[Said]:
    """The numbers of parts that the log leaves out, if it does."""
    missing = [
        (before.number + 1, part.number - 1)
        for before, part in itertools.pairwise(parts)
        if part.number > before.number + 1
    ]
    if missing:
        shown = tuple((str(low), "" if low == high else str(high)) for low, high in missing[:_SHOWN])
        yield as_said("missing" if len(missing) <= _SHOWN else "missing-and-more", spans=shown)
