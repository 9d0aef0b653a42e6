"""Numbers as a control writes them.

Nothing is rounded here: a number that does not fit the decimals a control
writes is a mistake in the plan, and raises.
"""

from __future__ import annotations

from decimal import Decimal

from gen.control.tables import Numbers


def written(value: Decimal, places: int, numbers: Numbers) -> str:
    """``value`` with at most ``places`` decimals, never in exponent form, never as minus nought.

    ``ValueError`` if a digit would be lost.
    """
    digits = f"{value:f}" if value else "0"
    whole, _, fraction = digits.partition(".")
    fraction = fraction.rstrip("0")
    if len(fraction) > places:
        raise ValueError(f"{digits} does not fit {places} decimals")
    if numbers.point == "scaled":
        scaled = whole + fraction.ljust(places, "0")
        return str(int(scaled))
    if numbers.point == "always" or fraction:
        return f"{whole}.{fraction}"
    return whole


def whole(value: Decimal) -> str:
    """``value`` as a count, such as rpm or milliseconds: controls want those without a point.

    ``ValueError`` if it is no whole number.
    """
    if value != int(value):
        raise ValueError(f"{value:f} is not a whole number")
    return str(int(value))


def plain_number(value: Decimal) -> str:
    """``value`` as a constant of an expression: every digit, a point only where it is needed."""
    digits = f"{value:f}" if value else "0"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits
