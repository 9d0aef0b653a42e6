"""What a program has to tell the operator, by number; a language words it, and the control shows it."""

from __future__ import annotations

from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass

Kind: TypeAlias = Literal[
    "interrupted", "wheel-below", "wheel-above", "stick-below", "stick-above", "lane-below", "lane-above",
    "lane-fraction", "stick-low", "stick-used-up",
]  # fmt: skip

_NUMBERS: dict[Kind, int] = {
    "interrupted": 11, "wheel-below": 21, "wheel-above": 22, "stick-below": 31, "stick-above": 32, "stick-low": 33,
    "stick-used-up": 34,
    "lane-below": 41, "lane-above": 42, "lane-fraction": 43,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Notice:
    """One message of ``kind``: the ``limit`` that is broken, ``wheel`` in a pack (0: the only one), its ``gauge``."""

    kind: Kind
    limit: str = ""
    wheel: int = 0
    gauge: bool = False

    @property
    def number(self) -> int:
        """The same in every language; of the third wheel of a pack 231 and 232."""
        number = _NUMBERS[self.kind]
        return number // 10 * 100 + self.wheel * 10 + number % 10 if self.wheel else number
