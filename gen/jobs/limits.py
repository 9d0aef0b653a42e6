"""Every quantity of a dress that something limits, as numbers: value, limit, and the margin between the two.

The rows are the measures that the bounds took of the program, so that table and
verdict cannot disagree; a recipe that is refused has its rows too.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import FAILURES, DressblockError, as_told
from gen.base.finding import errors_in
from gen.base.measure import Measure, Side
from gen.base.quantities import System, plain, show
from gen.control.draft import Program
from gen.control.options import Options
from gen.jobs.generate import Job, prepare
from gen.jobs.whatif import WhatIf

_NAMES = {
    "feed": "plunge feed, dresser",
    "axis-feed": "plunge feed, axis {of}",
    "aggressiveness": "aggressiveness",
    "inside-edge": "aggressiveness, inside edge",
    "small-end": "aggressiveness, small end",
    "valve": "timed rate, aggressiveness",
    "wheel-speed": "wheel speed, marking",
    "marking": "spindle speed, marking",
    "spindle": "spindle speed, {stage} wheel",
    "bedding": "plunge, to bed in",
    "depth": "plunge",
    "forward": "travel {of}, {stage}",
    "back": "travel {of}, parked",
    "position": "travel {of}",
    "stick-left": "stick left",
    "overhang": "stick out of its clamp",
    "slot": "slot in the stick",
}
"""The rows' names by quantity; any other quantity goes by its own."""


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity of one recipe, at its tightest over the ends of wear and stick.

    ``value``, ``limit`` and ``margin`` are numbers in ``unit`` (empty: none), the
    shop's own; ``side`` tells whether the limit is the most or the least there may
    be. ``relative`` is the margin as a share of the limit (of the whole way, for a
    position); below 0 the limit is broken. What rounding takes a value past its
    limit is no margin and no breach. ``by_design``: a stick parked at the end of its
    travel has no margin and wants none.
    """

    machine: str
    recipe: str
    quantity: str
    value: float
    limit: float
    margin: float
    unit: str
    side: Side
    relative: float
    by_design: bool = False

    @property
    def holds(self) -> bool:
        return self.relative >= 0


@dataclass(frozen=True, slots=True)
class Broken:
    """A recipe that would be refused, and why, with what would help where something is known to."""

    machine: str
    recipe: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Survey:
    """Every recipe held against its machine: the rows of all, tightest first, and the programs that were accepted.

    ``broken`` are the recipes that would be refused, ``unusable`` what is wrong with the files of others.
    """

    rows: list[Row]
    programs: list[Program]
    broken: list[Broken]
    unusable: list[DressblockError]

    @property
    def holds(self) -> bool:
        return not self.broken and all(row.holds for row in self.rows)


def survey(recipes: Iterable[Path], supposed: WhatIf, control_folders: tuple[Path, ...] = ()) -> Survey:
    """The survey of ``recipes`` with what is ``supposed`` of them.

    :class:`DressblockError` where that is what is wrong with a file, or where it was supposed of none.
    """
    found: list[Row] = []
    programs: list[Program] = []
    broken: list[Broken] = []
    unusable: list[DressblockError] = []
    for path in recipes:
        try:
            for job in prepare(path, Options(control_folders=control_folders), supposed):
                found += rows(job.program)
                if job.refused:
                    broken.append(_broken(job))
                else:
                    programs.append(job.program)
        except FAILURES as failure:
            error = as_told(failure).within(path)
            if supposed.blamed(error.key):
                raise DressblockError(f"--set: {error.key}: {error.args[0]}") from None
            unusable.append(error)
    if not unusable:
        supposed.must_have_been_used()
    return Survey(tightest_first(found), programs, broken, unusable)


def _broken(job: Job) -> Broken:
    errors = dict.fromkeys(one.message for one in errors_in(job.findings))
    return Broken(*_names(job.program), tuple(errors))


def tightest_first(rows: Iterable[Row]) -> list[Row]:
    """``rows`` by relative margin, what is broken first; rows that are equal in that by their names.

    What is tight by design comes last.
    """

    def place(row: Row) -> tuple[bool, float, str, str, str]:
        return row.by_design and row.holds, round(row.relative, 9), row.machine, row.recipe, row.quantity

    return sorted(rows, key=place)


def rows(program: Program) -> list[Row]:
    """The rows of a judged ``program``'s recipe on its machine, tightest first."""
    tightest: dict[str, Measure] = {}
    for measure in program.measures:
        if not measure.told or (measure.quantity == "forward" and not measure.stage):
            continue
        name = _name(measure)
        if name not in tightest or measure.relative < tightest[name].relative:
            tightest[name] = measure
    units = program.dress.machine.units
    return tightest_first(_row(_names(program), name, measure, units) for name, measure in tightest.items())


def _names(program: Program) -> tuple[str, str]:
    return program.heading.machine, f"{program.heading.recipe}{program.edition.suffix}"


def _name(measure: Measure) -> str:
    name = _NAMES.get(measure.quantity, measure.quantity).format(of=measure.of, stage=measure.stage)
    wheel = measure.stage if measure.quantity == "axis-feed" else measure.of
    return f"{name}, wheel {wheel}" if wheel.isdigit() else name


def _row(names: tuple[str, str], name: str, measure: Measure, units: System) -> Row:
    numbers = (measure.value, measure.limit, measure.margin)
    dimension = measure.dimension
    texts = [plain(one, 1, strip=True) if dimension is None else show(one, dimension, units) for one in numbers]
    value, limit, margin = (float(text.partition(" ")[0]) for text in texts)
    return Row(
        *names,
        name,
        value,
        limit,
        margin,
        texts[0].partition(" ")[2],
        measure.side,
        measure.relative,
        measure.quantity == "back",
    )
