"""Plain text set in columns: what the text templates write with tabs between cells."""

from __future__ import annotations

import itertools
import re
import textwrap
from collections.abc import Iterator, Sequence

LINE_WIDTH = 100
"""Characters in a line."""

_GAP = "  "

_MARK = re.compile(r"(- |\[ \] |[0-9]+\. )")


def laid_out(text: str, width: int = LINE_WIDTH) -> str:
    """``text`` with no line longer than ``width``.

    Neighbouring lines with as many tabs each are one table: their cells stand
    below each other, and the last one wraps in its own column. Lines without a
    tab wrap under their own first word, behind a leading mark such as ``- ``
    or ``12. ``. Runs of blank lines become one.
    """
    lines = [line.rstrip(" ") for line in text.splitlines()]
    out: list[str] = []
    for tabs, group in itertools.groupby(lines, key=lambda line: line.count("\t")):
        if tabs:
            out += _table([[cell.strip() for cell in line.split("\t")] for line in group], width)
        else:
            out += [piece for line in group for piece in _wrapped(line, width)]
    tidy = [line for line, before in zip(out, ["", *out], strict=False) if line or before]
    return "\n".join([*tidy, ""])


def _table(rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]) - 1)]
    left = width - sum(widths) - len(_GAP) * len(widths)
    if left < 20:
        widths = [min(wide, (width - 20) // len(widths) - len(_GAP)) for wide in widths]
        left = width - sum(widths) - len(_GAP) * len(widths)
    for row in rows:
        cells = [_broken(cell, max(wide, 1)) for cell, wide in zip(row, [*widths, left], strict=True)]
        for pieces in itertools.zip_longest(*cells, fillvalue=""):
            yield _GAP.join(piece.ljust(wide) for piece, wide in zip(pieces, [*widths, left], strict=True)).rstrip()


def _wrapped(line: str, width: int) -> list[str]:
    mark = _MARK.match(line)
    hanging = " " * (len(mark[0]) if mark else 0)
    return _broken(line, width, hanging)


def _broken(text: str, width: int, hanging: str = "") -> list[str]:
    """``text`` in lines of at most ``width``, ``hanging`` before all but the first."""
    if len(text) <= width and text.isprintable():
        return [text]  # as most are; wrapping takes each apart into its words
    return textwrap.wrap(text, width, subsequent_indent=hanging, break_on_hyphens=False) or [""]
