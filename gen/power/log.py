"""A power log: CSV with one row a trace, made into one net power a part."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from pathlib import Path
from statistics import median
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.power.aside import Aside, idle_rows, why_stray
from gen.power.said import Said, as_said
from gen.power.table import (
    Header,
    column_of,
    dress_count,
    is_marked,
    power_kw,
    rows_of,
    seconds,
    text_of,
    whole_number,
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
    """One part: its number, its net power in kW, how many traces that is of, and what came before it.

    ``dressed``: it is the first part after a dress, or after ``dresses`` in a row. ``trued``: after truing, which
    counts as a dress. ``opened`` is the number of the first part after the mark, where that part itself is set aside.
    """

    number: int
    power_kw: float
    dressed: bool
    trued: bool
    line: int
    traces: int = 1
    dresses: int = 1
    opened: int | None = None


@dataclass(frozen=True, slots=True)
class Log:
    """The parts in order. ``idle_kw`` is what was taken off on average; None if nothing was.

    ``set_aside`` are the rows that are in no part. ``cut`` is the raw trace that the parts were cut from.
    """

    parts: tuple[LoggedPart, ...]
    idle_kw: float | None = None
    notes: tuple[Said, ...] = field(default=())
    set_aside: tuple[Aside, ...] = ()
    cut: CutTrace | None = None


@dataclass(slots=True)
class _Row:
    line: int
    part: int
    power: list[float]
    idle: float
    dressed: int
    trued: bool

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
    table = rows_of(text)
    try:
        _, header = next(table)
    except StopIteration:
        raise DressblockError("this log is empty; a line with the names of its columns is wanted first.") from None
    comma = "," not in header.separator
    time = _time_column(header, columns)
    if time is not None:
        return _from_trace(table, header, columns, scale, combine, time, comma=comma)
    rows = list(_rows(table, header, columns, scale, comma=comma))
    if not rows:
        raise DressblockError("this log has names of columns and no rows.")
    parts = tuple(_parts(rows, combine))
    given = columns.idle is not None or scale.idle_kw is not None
    idle_kw = math.fsum(row.idle for row in rows) / len(rows) if given else None
    gone = {one.line: one for one in idle_traces(rows)}
    kept = tuple(_kept(rows, gone, combine)) if gone else parts
    return Log(kept, idle_kw, tuple(_notes(parts)), tuple(gone.values()))


def _rows(
    table: Iterator[tuple[int, Header]], header: Sequence[str], columns: LogColumns, scale: PowerScale, *, comma: bool
) -> Iterator[_Row]:
    part = column_of(header, columns.part, "--part")
    powers = [column_of(header, name, "--power") for name in columns.power]
    dressed = column_of(header, columns.dressed, "--dressed")
    wants_trued = columns.trued or any(cell.casefold() == "trued" for cell in header)
    trued = column_of(header, columns.trued or "trued", "--trued") if wants_trued else None
    idle = None if columns.idle is None else column_of(header, columns.idle, "--idle-column")
    kw, constant = scale.kw, float(scale.idle_kw or 0)
    for line, cells in table:
        if len(cells) != len(header):
            raise DressblockError(f"line {line}: {len(cells)} cells under {len(header)} names of columns.")
        yield _Row(
            line,
            whole_number(cells[part], line, header[part]),
            [power_kw(cells[at], line, header[at], kw, comma=comma) for at in powers],
            constant if idle is None else power_kw(cells[idle], line, header[idle], kw, comma=comma),
            dress_count(cells[dressed], line, header[dressed]),
            trued is not None and is_marked(cells[trued], line, header[trued]),
        )


def _parts(rows: Sequence[_Row], combine: Combine) -> Iterator[LoggedPart]:
    """Rows that follow each other with the same number are one part, unless a mark begins a new count."""
    group: list[_Row] = []
    for row in rows:
        if group and row.part != group[-1].part:
            yield _part(group, combine)
            if row.part < group[-1].part and not (row.dressed or row.trued):
                raise DressblockError(
                    f"line {row.line}: part {row.part} follows part {group[-1].part}; rows must be in the order of "
                    "grinding, and a count may begin anew only with a dress."
                )
            group = []
        group.append(row)
    yield _part(group, combine)


def _part(group: Sequence[_Row], combine: Combine) -> LoggedPart:
    first = group[0]
    for row in group[1:]:
        if (row.dressed and not first.dressed) or (row.trued and not first.trued):
            raise DressblockError(
                f"line {row.line}: part {row.part} is marked in a later row than its first; a dress in the middle of a "
                "part cannot be judged."
            )
    net = [power for row in group for power in row.net]
    power = max(net) if combine == "highest" else math.fsum(net) / len(net)
    marked = bool(first.dressed or first.trued)
    return LoggedPart(first.part, power, marked, first.trued, first.line, len(net), first.dressed or 1)


def _time_column(header: Sequence[str], columns: LogColumns) -> int | None:
    """Where the time of a raw trace is; None for a log of parts."""
    if columns.time:
        return column_of(header, columns.time, "--time")
    known = {cell.casefold(): at for at, cell in enumerate(header)}
    if columns.part.casefold() in known:
        return None
    return next((known[name] for name in TIMES if name in known), None)


def _from_trace(
    table: Iterator[tuple[int, Header]],
    header: Sequence[str],
    columns: LogColumns,
    scale: PowerScale,
    combine: Combine,
    time: int,
    *,
    comma: bool,
) -> Log:
    """The parts of a raw trace; a mark anywhere since the part before is the part's."""
    power = column_of(header, columns.power[0], "--power")
    marked = [_mark_column(header, name) for name in (columns.dressed, columns.trued or "trued")]
    lines: list[int] = []
    times: list[float] = []
    powers: list[float] = []
    marks: list[tuple[int, bool]] = []
    kw, idle = scale.kw, float(scale.idle_kw or 0)
    for line, cells in table:
        if len(cells) != len(header):
            raise DressblockError(f"line {line}: {len(cells)} cells under {len(header)} names of columns.")
        at = seconds(cells[time], line, header[time], comma=comma)
        if times and at < times[-1]:
            raise DressblockError(f"line {line}: {header[time]} goes back; rows must be in the order of time.")
        dressed, trued = (0 if one is None else dress_count(cells[one], line, header[one]) for one in marked)
        lines.append(line)
        times.append(at)
        powers.append(power_kw(cells[power], line, header[power], kw, comma=comma) - idle)
        marks.append((dressed, bool(trued)))
    if not powers:
        raise DressblockError("this log has names of columns and no rows.")
    cut = cut_trace(times, powers)
    parts, aside, number, seen = [], [], 0, 0
    dressed, trued, opened = 0, False, None
    for stretch in cut.stretches:
        own = marks[seen : stretch.last + 1]
        seen = stretch.last + 1
        if any(mark != (0, False) for mark in own):
            dressed, trued, opened = max(mark[0] for mark in own), any(mark[1] for mark in own), None
        value = stretch.peak_kw if combine == "highest" else stretch.mean_kw
        if stretch.flaw is not None:
            aside.append(Aside(lines[stretch.first], "not-cut", value))
            ground = 0 if stretch.flaw == "too-short" else max(1, round(stretch.seconds / cut.usual_seconds))
            if (dressed or trued) and opened is None and ground:
                opened = number + 1
            number += ground
            continue
        number += 1
        mark = bool(dressed or trued)
        parts.append(LoggedPart(number, value, mark, trued, lines[stretch.first], 1, dressed or 1, opened))
        dressed, trued, opened = 0, False, None
    if not parts:
        raise DressblockError("no stretch of this trace is a whole part; log more of it.")
    told = as_said("cut", parts=str(len(parts)), idle=f"{cut.idle_kw:.2f}", line=f"{cut.line_kw:.2f}")
    return Log(tuple(parts), idle or None, (told, *_notes(parts)), tuple(aside), cut)


def _mark_column(header: Sequence[str], name: str) -> int | None:
    return next((at for at, cell in enumerate(header) if cell.casefold() == name.casefold()), None)


def begun_clean(log: Log) -> Log:
    """``log`` with its first part marked as the first one after truing and its opening."""
    first = log.parts[0]
    return replace(log, parts=(replace(first, dressed=True, trued=True), *log.parts[1:]))


def idle_traces(rows: Sequence[_Row]) -> Iterator[Aside]:
    """The rows that were logged while the wheel ground nothing, and what is far from the other traces of its part."""
    # one power column: with several, a low one may be a lighter operation
    if any(len(row.power) > 1 for row in rows):
        return
    powers = [row.net[0] for row in rows]
    idle = idle_rows(powers, [bool(row.dressed or row.trued) for row in rows])
    if len(idle) < LEAST_IDLE:
        idle = set()
    for _, group in itertools.groupby(range(len(rows)), key=lambda at: rows[at].part):
        places = [at for at in group if at not in idle]
        usual = median(powers[at] for at in places) if len(places) >= LEAST_IDLE else 0.0
        for at in places:
            if usual > 0 and not usual / 3 < powers[at] < usual * 3:
                yield Aside(rows[at].line, why_stray(powers[at], usual), powers[at], usual)
    yield from (Aside(rows[at].line, "idle", powers[at]) for at in idle)


def _kept(rows: Sequence[_Row], gone: Mapping[int, Aside], combine: Combine) -> Iterator[LoggedPart]:
    """The parts of the rows that are left; the mark of a part of which none is left goes to the next one."""
    left: list[_Row] = []
    mark: _Row | None = None
    opened: dict[int, int] = {}
    for row in rows:
        if (row.dressed or row.trued) and (mark is None or row.part != mark.part):
            mark = row
        if row.line in gone:
            continue
        if mark is not None:
            if row is not mark:
                opened[row.line] = mark.part
            row = replace(row, dressed=mark.dressed, trued=mark.trued)
            mark = None
        left.append(row)
    for part in _parts(left, combine) if left else ():
        yield replace(part, opened=opened.get(part.line))


def _notes(parts: Sequence[LoggedPart]) -> Iterator[Said]:
    traces = {part.traces for part in parts}
    if len(traces) > 1:
        yield as_said("traces", least=str(min(traces)), most=str(max(traces)))
    missing = [
        (before.number + 1, part.number - 1)
        for before, part in itertools.pairwise(parts)
        if part.number > before.number + 1
    ]
    if missing:
        shown = tuple((str(low), "" if low == high else str(high)) for low, high in missing[:_SHOWN])
        yield as_said("missing" if len(missing) <= _SHOWN else "missing-and-more", spans=shown)
