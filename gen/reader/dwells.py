"""How long a dwell lasts."""

from __future__ import annotations

from gen.control.model import Control


def dwell_seconds(letter: str, value: float, control: Control, *, pointless: bool) -> float | None:
    """The time in s of a dwell by the word ``letter`` of this ``value``; ``pointless``: written without its point.

    None where some controls of this kind count it in seconds, and others in thousandths of them.
    """
    numbers, unit = control.numbers, control.dwell.units[letter]
    if unit == "ms":
        return value / 1000
    if not pointless:
        return value
    if numbers.point == "always" and value:
        return None
    return value / 10.0**numbers.seconds if numbers.point == "scaled" else value
