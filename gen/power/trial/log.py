"""What was written down during a trial: a CSV log with the target of every dress, cut into runs.

A log that is not complete is still read. What cannot be used is left out, and
said with its line.
"""

from __future__ import annotations

import itertools
import re
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.power.log import LoggedPart
from gen.power.runs import Run
from gen.power.said import Said, as_said
from gen.power.table import LogRow, MarkedRow, column_of, in_parts, not_negative, optional_column, table_of, text_of

TRIAL_COLUMNS = ("part", "power_kw", "dressed", "target", "wheel_mm")
"""The columns of a log that is made ready for a trial; ``depth_mm`` and ``trued`` may stand beside them."""
MOST_RUNS = 200
"""Runs of one trial; what is worked out grows faster than their number."""
SKIPPED = "skip"
"""What stands in place of the power of a part that was not ground, since its run ended early or never began."""


@dataclass(frozen=True, slots=True)
class Diameter:
    """The wheel's diameter, mm, measured when ``since`` parts of its run were ground, at a line of the log."""

    diameter_mm: float
    since: int
    line: int


@dataclass(frozen=True)
class TrialRun(Run):
    """The parts from one dress to the next, with what that dress was.

    ``dresses`` are 0 where the log begins in the middle of a run, and before a truing those that are written there.
    ``target`` and ``depth_mm`` are None where nothing is written. ``line`` is its first one, and ``next_part`` the
    number of the first part of the run after it.
    """

    target: float | None = None
    depth_mm: float | None = None
    wheel: Diameter | None = None
    line: int = 0
    next_part: int = 0

    def dresses_by_depth(self, usual_mm: float | None) -> float:
        """The dresses before it, each counted by its depth over the usual one, where both are known."""
        if usual_mm is None or self.depth_mm is None:
            return self.dresses
        return self.dresses * (self.depth_mm / usual_mm)


@dataclass(frozen=True, slots=True)
class TrialLog:
    """The runs of a trial in order, and what is said of them."""

    runs: tuple[TrialRun, ...]
    notes: tuple[Said, ...]


@dataclass(slots=True)
class _Row(MarkedRow):
    power: float | None
    word: str
    target: float | None
    depth: float | None
    wheel: float | None


def read_trial(path: Path) -> TrialLog:
    """The log of a trial in the CSV file ``path``, its columns called as in :data:`TRIAL_COLUMNS`.

    :class:`DressblockError` names the line of whatever makes the order of parts
    and dresses uncertain.
    """
    try:
        return trial_log(text_of(path))
    except DressblockError as error:
        raise error.within(path) from None


def trial_log(text: str) -> TrialLog:
    """The log of a trial in ``text``; as :func:`read_trial`."""
    header, cells = table_of(text, f"this log is empty; its first line names the columns {', '.join(TRIAL_COLUMNS)}.")
    rows = list(_rows(cells, header))
    last = max((at for at, row in enumerate(rows) if row.power is not None or row.wheel is not None), default=None)
    if last is None:
        raise DressblockError("this log has no power in it yet; fill in power_kw for the parts that were ground.")
    not_negative([(row.line, row.power) for row in rows if row.power is not None])
    notes: list[Said] = []
    groups = _cut(rows[: last + 1], notes)
    if len(groups) > MOST_RUNS + 1:
        raise DressblockError(f"this log has more than {MOST_RUNS} runs; keep those of one trial.")
    followed = zip(groups, [*groups[1:], None], strict=True)
    runs = [_run(group, follower, notes) for group, follower in followed if not _is_skipped(group, notes)]
    runs = [replace(run, next_part=after.first) for run, after in itertools.pairwise(runs)] + runs[-1:]
    if prepared := rows[last + 1 :]:
        not_run = sum(1 for row in prepared if row.dresses or row.trued)
        notes.append(as_said("trial-stopped", part=str(rows[last].part), line=str(rows[last].line), runs=str(not_run)))
    return TrialLog(tuple(runs), tuple(notes))


def sizes_within(log: TrialLog, low: float, high: float) -> TrialLog:
    """``log`` without the wheel sizes that no wheel from ``low`` to ``high`` mm has, said in a note."""
    off = [run.wheel for run in log.runs if run.wheel is not None and not low <= run.wheel.diameter_mm <= high]
    if not off:
        return log
    numbers = {"size": f"{off[0].diameter_mm:g}", "low": f"{low:g}", "high": f"{high:g}", "more": str(len(off) - 1)}
    runs = tuple(replace(run, wheel=None) if run.wheel in off else run for run in log.runs)
    return replace(log, runs=runs, notes=(*log.notes, as_said("size-off", line=str(off[0].line), **numbers)))


def _rows(rows: Iterator[LogRow], header: Sequence[str]) -> Iterator[_Row]:
    part, power, dressed, target = (column_of(header, name) for name in TRIAL_COLUMNS[:4])
    wheel, depth, trued = (optional_column(header, name) for name in ("wheel_mm", "depth_mm", "trued"))

    def maybe(row: LogRow, at: int | None) -> float | None:
        if at is None or not row.cells[at]:
            return None
        found = row.number(at)
        if found <= 0:
            raise DressblockError(
                f"line {row.line}: {header[at]} is {row.cells[at]}; it must be more than 0, or empty."
            )
        return found

    for row in rows:
        is_number = re.fullmatch(r"[-+0-9.,eE]+", row.cells[power]) is not None
        yield _Row(
            row.line,
            row.whole_number(part),
            row.dresses(dressed),
            row.is_marked(trued),
            row.power_kw(power, 1.0) if is_number else None,
            "" if is_number else row.cells[power],
            maybe(row, target),
            maybe(row, depth),
            maybe(row, wheel),
        )


def _cut(rows: Sequence[_Row], notes: list[Said]) -> list[list[_Row]]:
    """The rows from one dress or truing to the next, averaged where one part has several."""
    groups: list[list[_Row]] = []
    for first, *others in in_parts(rows):
        row = first
        if others:
            powers = [one.power for one in (first, *others) if one.power is not None]
            wheel = next((one.wheel for one in (first, *others) if one.wheel is not None), None)
            row = replace(first, power=statistics.fmean(powers) if powers else None, wheel=wheel)
            notes += (as_said("same-part", line=str(one.line), part=str(one.part)) for one in others)
        if row.dresses or row.trued or not groups:
            groups.append([row])
        else:
            groups[-1].append(row)
    return groups


def _is_skipped(group: Sequence[_Row], notes: list[Said]) -> bool:
    """Whether nothing of a run was ground, and so nothing dressed for it."""
    if any(row.word.casefold() != SKIPPED for row in group):
        return False
    notes.append(as_said("run-skipped", line=str(group[0].line)))
    return True


def _ended(group: Sequence[_Row], notes: list[Said]) -> list[_Row]:
    """``group`` without the parts at its end that were not ground."""
    kept = list(group)
    while kept[-1].word.casefold() == SKIPPED:
        kept.pop()
    if len(kept) < len(group):
        notes.append(as_said("run-ended", line=str(group[len(kept)].line), part=str(kept[-1].part)))
    return kept


def _run(whole: Sequence[_Row], follower: Sequence[_Row] | None, notes: list[Said]) -> TrialRun:
    head, group = whole[0], _ended(whole, notes)
    counted = len(group) == len(whole) and follower is not None and follower[0].part > group[-1].part
    beyond = follower[0].part if follower is not None and counted else group[-1].part + 1
    seen = head.part - 1
    for row in group:
        if row.part > seen + 1:
            notes.append(as_said("rows-missing", line=str(row.line), first=str(seen + 1), last=str(row.part - 1)))
        if row.power is None:
            notes.append(as_said("no-power", line=str(row.line), part=str(row.part), word=row.word))
        if row is not head and row.target is not None and row.target != head.target:
            notes.append(as_said("target-without-dress", line=str(row.line), target=f"{row.target:g}"))
        seen = row.part
    if counted and beyond > seen + 1:
        notes.append(as_said("rows-missing", line=str(group[-1].line), first=str(seen + 1), last=str(beyond - 1)))
    if head.trued:
        notes.append(as_said("trued", line=str(head.line), part=str(head.part)))
    elif head.dresses and head.target is None:
        notes.append(as_said("no-target", line=str(head.line), part=str(head.part)))
    measured = next((row for row in group if row.wheel is not None), None)
    return TrialRun(
        opening="truing" if head.trued else "dress" if head.dresses else "log",
        parts=tuple(
            LoggedPart(row.part, row.power, row is head and head.dresses > 0, head.trued and row is head, row.line)
            for row in group
            if row.power is not None
        ),
        first=head.part,
        dresses=head.dresses,
        until=beyond,
        target=head.target,
        depth_mm=head.depth,
        wheel=None
        if measured is None or measured.wheel is None
        else Diameter(measured.wheel, measured.part - head.part, measured.line),
        line=head.line,
    )
