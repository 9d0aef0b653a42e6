"""The rows of :mod:`gen.jobs.limits` as text, as comma-separated values, and as a page to hang up."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Any

from gen.base.errors import printable
from gen.base.languages import rendered
from gen.base.quantities import plain
from gen.jobs.limits import Broken, Row
from gen.paper.columns import laid_out
from gen.paper.shown import Shown

COLUMNS = ("machine", "recipe", "quantity", "value", "limit", "margin", "unit", "side", "relative", "holds")

TABLE_WIDTH = 120

_NAMED = re.compile(r"(travel|axis|wheel) ([A-Z]|\d+)")

_FORMULA = "=+-@＝＋－＠"
"""What a spreadsheet takes for the beginning of a formula; control characters, which may hide one, are never kept."""


def as_objects(rows: Iterable[Row]) -> list[dict[str, Any]]:
    """``rows`` as JSON objects; numbers are in ``unit``."""
    return [{name: getattr(row, name) for name in COLUMNS} | {"relative": round(row.relative, 6)} for row in rows]


def as_text(rows: Iterable[Row], language: str = "en") -> str:
    """``rows`` in columns, a line each; what is broken says so."""
    table = [_told(row, language) for row in rows]
    return laid_out(rendered(language, "text", "limits.txt.j2", {"rows": table}), TABLE_WIDTH)


def as_csv(rows: Iterable[Row]) -> str:
    """``rows`` with a line of headings, as RFC 4180 has it; no cell of text can be taken for a formula."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for row in rows:
        names = [_harmless(name) for name in (row.machine, row.recipe, row.quantity)]
        value, limit, margin, share = (
            plain(number, 6, strip=True) for number in (row.value, row.limit, row.margin, row.relative)
        )
        writer.writerow([*names, value, limit, margin, row.unit, row.side, share, "yes" if row.holds else "no"])
    return out.getvalue()


def as_page(
    rows: Sequence[Row], broken: Sequence[Broken], settings: Sequence[str], language: str = "en", *, day: str = ""
) -> str:
    """A whole HTML page of ``rows`` that needs nothing else; ``settings`` are those it supposes, ``day`` its date."""
    table = [_told(row, language) for row in rows]
    values = {"rows": table, "broken": broken, "settings": settings, "day": day}
    return rendered(language, "page", "limits.html.j2", values)


def _told(row: Row, language: str) -> dict[str, Any]:
    """What a person reads: names, the quantity in its parts, and numbers with their unit.

    A limit says on which side it lies.
    """
    value, limit, margin = (_number(number, row.unit, language) for number in (row.value, row.limit, row.margin))
    return {
        "names": (printable(row.machine), printable(row.recipe)),
        "quantity": _parts(printable(row.quantity)),
        "cells": (value, f"{'≤' if row.side == 'most' else '≥'} {limit}", margin),
        "holds": row.holds,
        "by_design": row.by_design and row.holds,
        "share": plain(100 * row.relative, 0).replace("-", "−"),
    }


def _number(number: float, unit: str, language: str) -> str:
    """``number`` with its unit as people write them."""
    if unit == "mm3/min":
        number, unit = number / 1000, "cm³/min"
    return Shown("mm", language).written(f"{plain(number, 4, strip=True)} {unit}".rstrip())


def _parts(quantity: str) -> tuple[tuple[str, ...], ...]:
    """``quantity`` at its commas; behind a name that has one, the axis or the number of the wheel by itself."""
    return tuple(
        (found[1], found[2]) if (found := _NAMED.fullmatch(part)) else (part,) for part in quantity.split(", ")
    )


def _harmless(text: str) -> str:
    text = printable(text)
    return f"'{text}" if text.strip()[:1] in _FORMULA and text.strip() else text
