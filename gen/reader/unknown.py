"""A value that the reader cannot know, such as a variable that the control itself sets."""

from __future__ import annotations

from gen.base.dataclass import dataclass


@dataclass(frozen=True, eq=False, slots=True)
class Unknown:
    """Takes the place of a number; whatever is worked out from it is unknown too. ``what`` it depends on."""

    what: str

    def __bool__(self) -> bool:
        raise TypeError("an unknown value is neither true nor false")
