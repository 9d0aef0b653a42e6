"""What each recipe's dressing costs a part: ``limits --cost``. What is not known is named, with what would tell it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, printable
from gen.base.languages import language as known
from gen.base.languages import rendered
from gen.control.draft import Program
from gen.jobs.dress_costs import due_as_object, missing_prices, part_as_object, prices_as_object, prices_of
from gen.jobs.interval_costs import due_of
from gen.paper.columns import laid_out
from gen.power.answer import answer
from gen.power.cost import WORKING_DAYS, DressPrices, PartCost, TruingDue, part_cost, sticks_a_month
from gen.power.log import read_log
from gen.power.telling import rounded

CostItem: TypeAlias = Literal["stick", "time", "wheel", "truing", "every"]

_WIDTH = 132
_WANTED: dict[CostItem, tuple[str, ...]] = {
    "stick": ("stick",),
    "time": ("machine_hour",),
    "wheel": ("wheel_mm", "dress_mm"),
    "truing": ("machine_hour", "wheel_mm", "truing_time", "truing_mm"),
}
"""The keys of ``[costs]`` that each cost is worked out from."""


@dataclass(frozen=True, slots=True)
class CostRow:
    """The costs of one recipe with ``every`` parts between dresses; None is what is not known.

    ``unknown`` has each cost that is not known, with the keys that would tell it.
    ``due`` is when truing pays, where a log says so.
    """

    machine: str
    recipe: str
    every: int | None
    prices: DressPrices
    part: PartCost | None
    unknown: tuple[tuple[CostItem, tuple[str, ...]], ...]
    sticks: float | None
    due: TruingDue | None


def cost_rows(
    programs: Iterable[Program], parts_a_day: float | None, logs: Iterable[tuple[str, Path]], limit_kw: float | None
) -> list[CostRow]:
    """The costs of the recipes of ``programs``, in order; a dress after truing is part of the truing.

    ``logs`` are power logs, each with the recipe's name, or machine/recipe, and ``limit_kw``
    their limit. :class:`DressblockError` where a name is no recipe's, more than one's, or one's that has a log.
    """
    dresses = [one for one in programs if not one.edition.after_truing]
    named: dict[int, Path] = {}
    for name, log in logs:
        places = [at for at, one in enumerate(dresses) if name in _names(one)]
        if len(places) != 1:
            many = "no recipe here is" if not places else f"{len(places)} recipes here are"
            raise DressblockError(f"--log: {many} called {name}; name it machine/recipe, as the table does.")
        if places[0] in named:
            raise DressblockError(f"--log: {name} has a log already; give one for each recipe.")
        named[places[0]] = log
    return [_row(one, parts_a_day, named.get(at), limit_kw) for at, one in enumerate(dresses)]


def _names(program: Program) -> tuple[str, str]:
    return program.heading.recipe, f"{program.heading.machine}/{program.heading.recipe}"


def _row(program: Program, parts_a_day: float | None, log: Path | None, limit_kw: float | None) -> CostRow:
    every, prices, due = program.dress.settings.every_parts, prices_of(program), None
    if log is not None and limit_kw is not None:
        due = due_of(answer(read_log(log), limit_kw), prices)
    part = monthly = None
    if every is not None:
        cost = part_cost(prices, every, None if due is None else due.parts)
        part = None if cost.known is None else cost
        monthly = sticks_a_month(prices, every, parts_a_day)
    unknown = tuple(_unknown(program, prices, due))
    return CostRow(program.heading.machine, program.heading.recipe, every, prices, part, unknown, monthly, due)


def _unknown(
    program: Program, prices: DressPrices, due: TruingDue | None
) -> Iterator[tuple[CostItem, tuple[str, ...]]]:
    for item, keys in _WANTED.items():
        missing = [f"costs.{name}" for name in missing_prices(program.dress, keys)]
        if item == "truing" and due is None and prices.dresses_per_truing is None:
            missing.append("costs.dresses_per_truing")
        if missing:
            yield item, tuple(missing)
    if program.dress.settings.every_parts is None:
        yield "every", ("dress.every_parts",)


def costs_as_objects(rows: Iterable[CostRow]) -> list[dict[str, Any]]:
    """``rows`` as JSON objects; null is what is not known."""
    return [
        {
            "machine": row.machine,
            "recipe": row.recipe,
            "every_parts": row.every,
            **prices_as_object(row.prices),
            "per_part": row.part and part_as_object(row.part),
            "unknown": [{"cost": item, "keys": list(keys)} for item, keys in row.unknown],
            "sticks_a_month": rounded(row.sticks, 2),
            "true_after": row.due and due_as_object(row.due),
        }
        for row in rows
    ]


def costs_as_text(rows: Sequence[CostRow], language: str = "en") -> str:
    """``rows`` in columns, a line each, and below them what is not known."""
    mark = known(language).marked
    lacking: dict[Any, list[str]] = {}
    for row in (row for row in rows if row.unknown):
        lacking.setdefault(row.unknown, []).append(_name(row))
    values = {
        "rows": [_told(row, mark) for row in rows],
        "lacking": [
            {"names": names, "unknown": [{"cost": item, "wanted": list(keys)} for item, keys in unknown]}
            for unknown, names in lacking.items()
        ],
        "days": WORKING_DAYS,
    }
    return laid_out(rendered(language, "text", "costs.txt.j2", values), _WIDTH)


def _name(row: CostRow) -> str:
    return printable(f"{row.machine}/{row.recipe}")


def _told(row: CostRow, mark: Callable[[str], str]) -> dict[str, Any]:
    part = row.part

    def money(value: float | None) -> str:
        return "" if value is None else mark(f"{value:.3f}")

    total = "" if part is None else money(part.known)
    return {
        "name": _name(row),
        "every": "" if row.every is None else str(row.every),
        "costs": [""] * 4 if part is None else [*map(money, part.each)],
        "total": total and f"{total} {printable(row.prices.currency)}".strip(),
        "whole": part is not None and part.is_whole,
        "sticks": "" if row.sticks is None else mark(f"{row.sticks:.1f}"),
        "due": row.due and {"dresses": row.due.dresses},
    }
