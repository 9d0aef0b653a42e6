"""A grinding program as lines that keep their ends, so that what is not touched stays as it was to the byte."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

_LINE = re.compile(r"[^\n]*\n|[^\n]+")


@dataclass(frozen=True)
class HostLines:
    """The lines of a text, each with its end; line number n is ``items[n - 1]``."""

    items: tuple[str, ...]

    @classmethod
    def of(cls, text: str) -> HostLines:
        return cls(tuple(_LINE.findall(text)))

    @property
    def text(self) -> str:
        return "".join(self.items)

    @cached_property
    def bare(self) -> list[str]:
        """The lines without their ends."""
        return [_without_end(item) for item in self.items]

    @property
    def end(self) -> str:
        """The line end that the text uses most; ``\\n`` where it has none."""
        ends = Counter(item[len(_without_end(item)) :] for item in self.items)
        ends.pop("", None)
        return ends.most_common(1)[0][0] if ends else "\n"

    def without(self, first: int, last: int) -> HostLines:
        """The text without the lines ``first`` to ``last``; before a missing line end nothing is lost."""
        return HostLines((*self.items[: first - 1], *self.items[last:]))

    def with_lines(self, after: int, lines: Sequence[str]) -> HostLines:
        """The text with ``lines`` behind line ``after``, in the text's own line end."""
        end = self.end
        above = list(self.items[:after])
        if above and not above[-1].endswith("\n"):
            above[-1] += end
        return HostLines((*above, *(line + end for line in lines), *self.items[after:]))


def _without_end(line: str) -> str:
    return line.removesuffix("\n").removesuffix("\r")
