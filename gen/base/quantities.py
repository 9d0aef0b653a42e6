"""Quantities: text with a unit in, an exact decimal in one base unit out, and back to text.

========================  ==========  ==========================================
dimension                 base unit   also read
========================  ==========  ==========================================
``length``                mm          um, cm, m, in, ft
``feed``                  mm/min      every linear speed: mm/s, m/min, in/min ...
``peripheral``            m/s         every linear speed: ft/min (sfpm) ...
``rotation``              rpm         rev/min, 1/min, rev/s
``time``                  s           ms, min, h
``power``                 kW          W, hp
``angle``                 deg         °, arcmin
``acceleration``          mm/s2       m/s2, in/s2
``rotary_feed``           deg/min     deg/s, rpm
``rotary_acceleration``   deg/s2
``removal``               mm3/min     mm3/s, cm3/min, in3/min
``share``                 %
========================  ==========  ==========================================

An inch is 25.4 mm exactly. Every conversion is exact, but for a ``peripheral``
given in a unit per minute whose sixtieth does not end; that one has 28 digits.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Context, Decimal, localcontext
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import listed, nearest, said

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
    from pydantic_core import CoreSchema

Dimension = Literal[
    "length",
    "feed",
    "peripheral",
    "rotation",
    "time",
    "power",
    "angle",
    "acceleration",
    "rotary_feed",
    "rotary_acceleration",
    "removal",
    "share",
]
System = Literal["mm", "inch"]

MAX_TEXT = 40
"""Characters a quantity may have; more is a mistake or mischief."""
MAX_DIGITS = 30
"""Digits a number may have, so that every conversion stays exact."""
_WIDE = Context(prec=60)


QUANTITY_KEYWORD = "x-quantity"
"""The word of a JSON Schema under which a quantity's base unit, what it is, and its limits stand."""


class QuantityError(ValueError):
    """Text that is not a quantity of the dimension asked for; ``str()`` is a sentence."""


@dataclass(frozen=True, slots=True)
class _Shown:
    """How one system writes a dimension: its unit, and the places it needs at most."""

    unit: str
    places: int


@dataclass(frozen=True, slots=True)
class _Kind:
    noun: str
    units: Mapping[str, Fraction]
    mm: _Shown
    inch: _Shown

    def shown(self, system: System) -> _Shown:
        return self.mm if system == "mm" else self.inch

    def names(self) -> list[str]:
        """Every way in which one of its units may be written."""
        return [name for name in (*self.units, *_ALIASES) if _ALIASES.get(name, name) in self.units]

    def examples(self, number: str | None = None) -> str:
        """How the unit is written: with ``number``, or with an everyday one where there is none."""
        units = dict.fromkeys((self.mm.unit, self.inch.unit))
        return listed(f'"{number or _EVERYDAY[unit]} {unit}"' for unit in units)


_INCH, _FOOT = Fraction(254, 10), Fraction(3048, 10)
_LENGTHS = {
    "mm": Fraction(1),
    "um": Fraction(1, 1000),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": _INCH,
    "ft": _FOOT,
}
_SPEEDS = {
    f"{length}/{time}": _LENGTHS[length] * per_minute
    for length in ("mm", "m", "in", "ft")
    for time, per_minute in (("min", 1), ("s", 60))
}
_EVERYDAY = {
    "mm": "5",
    "in": "0.5",
    "mm/min": "300",
    "in/min": "11.8",
    "m/s": "20",
    "ft/min": "4000",
    "rpm": "1500",
    "s": "2",
    "kW": "2",
    "deg": "3",
    "mm/s2": "500",
    "in/s2": "20",
    "deg/min": "720",
    "deg/s2": "90",
    "mm3/min": "60000",
    "in3/min": "3.5",
    "%": "5",
}
_ALIASES = {
    "µm": "um",
    "μm": "um",
    "inch": "in",
    "inches": "in",
    "inch/min": "in/min",
    "ipm": "in/min",
    "sfpm": "ft/min",
    "SFPM": "ft/min",
    "sfm": "ft/min",
    "SFM": "ft/min",
    "RPM": "rpm",
    "rev/min": "rpm",
    "r/min": "rpm",
    "1/min": "rpm",
    "sec": "s",
    "°": "deg",
    "mm/s²": "mm/s2",
    "mm/s^2": "mm/s2",
    "m/s²": "m/s2",
    "m/s^2": "m/s2",
    "in/s²": "in/s2",
    "in/s^2": "in/s2",
    "deg/s²": "deg/s2",
    "deg/s^2": "deg/s2",
    "mm³/min": "mm3/min",
    "mm^3/min": "mm3/min",
    "mm³/s": "mm3/s",
    "mm^3/s": "mm3/s",
    "cm³/min": "cm3/min",
    "in³/min": "in3/min",
}


def _one(unit: str, places: int) -> tuple[_Shown, _Shown]:
    return _Shown(unit, places), _Shown(unit, places)


_KINDS: dict[Dimension, _Kind] = {
    "length": _Kind("a length", _LENGTHS, _Shown("mm", 3), _Shown("in", 4)),
    "feed": _Kind("a feed", _SPEEDS, _Shown("mm/min", 2), _Shown("in/min", 2)),
    "peripheral": _Kind(
        "a wheel speed", {unit: size / 60000 for unit, size in _SPEEDS.items()}, _Shown("m/s", 2), _Shown("ft/min", 0)
    ),
    "rotation": _Kind("a spindle speed", {"rpm": Fraction(1), "rev/s": Fraction(60)}, *_one("rpm", 1)),
    "time": _Kind(
        "a time", {"s": Fraction(1), "ms": Fraction(1, 1000), "min": Fraction(60), "h": Fraction(3600)}, *_one("s", 2)
    ),
    # 550 ft·lbf/s, with the pound-force of 4.4482216152605 N
    "power": _Kind(
        "a power",
        {"kW": Fraction(1), "W": Fraction(1, 1000), "hp": Fraction("0.74569987158227022")},
        *_one("kW", 3),
    ),
    "angle": _Kind("an angle", {"deg": Fraction(1), "arcmin": Fraction(1, 60)}, *_one("deg", 3)),
    "acceleration": _Kind(
        "an acceleration",
        {"mm/s2": Fraction(1), "m/s2": Fraction(1000), "in/s2": _INCH},
        _Shown("mm/s2", 1),
        _Shown("in/s2", 2),
    ),
    "rotary_feed": _Kind(
        "a rotary feed", {"deg/min": Fraction(1), "deg/s": Fraction(60), "rpm": Fraction(360)}, *_one("deg/min", 2)
    ),
    "rotary_acceleration": _Kind("a rotary acceleration", {"deg/s2": Fraction(1)}, *_one("deg/s2", 1)),
    "removal": _Kind(
        "a removal rate",
        {"mm3/min": Fraction(1), "mm3/s": Fraction(60), "cm3/min": Fraction(1000), "in3/min": _INCH**3},
        _Shown("mm3/min", 0),
        _Shown("in3/min", 3),
    ),
    "share": _Kind("a share", {"%": Fraction(1)}, *_one("%", 2)),
}

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_QUANTITY = re.compile(rf"({_NUMBER})\s*([^\s0-9.,+-].*|1/min)?", re.DOTALL)
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)\b", re.IGNORECASE)


def units(dimension: Dimension) -> tuple[str, ...]:
    """The units ``dimension`` is read in, the base unit first where it has one of its own."""
    return tuple(_KINDS[dimension].units)


def unit(dimension: Dimension, system: System = "mm") -> str:
    """The unit :func:`show` writes ``dimension`` in."""
    return _KINDS[dimension].shown(system).unit


def parse(text: object, dimension: Dimension) -> Decimal:
    """The quantity ``text`` in the base unit of ``dimension``.

    :class:`QuantityError`, with a sentence that says what was read and which
    units would do, for a bare number, another dimension, an unknown unit, NaN,
    infinity, and anything that is not one number and one unit.
    """
    kind = _KINDS[dimension]
    if isinstance(text, bool) or not isinstance(text, (str, int, float, Decimal)):
        raise QuantityError(
            f"read {said(text)}; {kind.noun} is wanted, in quotes and with its unit: {kind.examples()}."
        )
    read = text.strip() if isinstance(text, str) else said(text)
    if len(read) > MAX_TEXT:
        raise QuantityError(f"read {said(read)}, which is too long for {kind.noun}; write it like {kind.examples()}.")
    shown = said(read) if isinstance(text, str) else read
    if _NOT_FINITE.match(read):
        raise QuantityError(f"read {shown}, which is not a finite number; write {kind.noun} like {kind.examples()}.")
    found = _QUANTITY.fullmatch(read)
    if not isinstance(text, str) or (found and not found[2]):
        number = found[1] if found else None
        raise QuantityError(f"read {shown}, a bare number; {kind.noun} needs its unit: {kind.examples(number)}.")
    if not found:
        hint = " with a point, not a comma," if re.match(r"[+-]?[0-9]*,[0-9]", read) else ""
        raise QuantityError(
            f"read {shown}, which is not a number and a unit; write {kind.noun}{hint} like {kind.examples()}."
        )
    if sum(character.isdigit() for character in found[1]) > MAX_DIGITS:
        raise QuantityError(f"read {shown}; a number may have at most {MAX_DIGITS} digits, as in {kind.examples()}.")
    factor = kind.units.get(_ALIASES.get(found[2], found[2]))
    if factor is None:
        raise QuantityError(_wrong_unit(shown, found[2], kind))
    return _times(Decimal(found[1]), factor)


def system_of(text: str) -> System:
    """The system whose unit ``text``, a quantity that :func:`parse` reads, has; mm where both write it alike."""
    found = _QUANTITY.fullmatch(text.strip())
    name = "" if found is None else _ALIASES.get(found[2], found[2])
    return "inch" if name.startswith(("in", "ft")) else "mm"


def _times(number: Decimal, factor: Fraction) -> Decimal:
    with localcontext(prec=60):
        product = number * factor.numerator / factor.denominator
    if len(product.as_tuple().digits) < 60:
        return product
    with localcontext(prec=28):
        return +product


def _wrong_unit(shown: str, unit_read: str, kind: _Kind) -> str:
    canonical = _ALIASES.get(unit_read, unit_read)
    others = [other.noun for other in _KINDS.values() if canonical in other.units]
    if others:
        return f"read {shown}, {others[0]}; {kind.noun} is wanted, such as {kind.examples()}."
    if re.match(r"[eE][-+]?[0-9]", unit_read):
        return f"read {shown}, with an exponent; write {kind.noun} out in digits, like {kind.examples()}."
    near = nearest(unit_read.lower(), kind.names())
    hint = f' (did you mean "{near}"?)' if near else ""
    return (
        f"read {shown}, with a unit that is not known{hint}; "
        f"{kind.noun} is written in {listed(kind.units)}, such as {kind.examples()}."
    )


def show(value: Decimal | float, dimension: Dimension, system: System = "mm", places: int | None = None) -> str:
    """``value``, in the base unit of ``dimension``, as text with the unit of ``system``.

    With ``places`` exactly so many decimals are written; without, as many as
    the dimension is read with on a shop floor, and no zeros at the end.
    Halves round away from zero. Never an exponent, never "-0".
    """
    kind = _KINDS[dimension]
    shown = kind.shown(system)
    number, size = _finite(value), kind.units[shown.unit]
    converted = number if size == 1 else _times(number, 1 / size)
    return f"{plain(converted, shown.places if places is None else places, strip=places is None)} {shown.unit}"


def plain(value: Decimal | float, places: int, *, strip: bool = False) -> str:
    """``value`` with ``places`` decimals, halves away from zero; ``strip`` drops zeros at the end."""
    rounded = _finite(value).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP, _WIDE)
    text = f"{abs(rounded) if rounded.is_zero() else rounded:f}"
    return text.rstrip("0").rstrip(".") if strip and "." in text else text


def _finite(value: Decimal | float) -> Decimal:
    number = value if isinstance(value, Decimal) else Decimal(str(value))
    if not number.is_finite():
        raise ValueError(f"{value!r} is not a finite number")
    return number


@dataclass(frozen=True, slots=True)
class Quantity:
    """Makes a model field of :class:`~decimal.Decimal` read a quantity, within limits in its base unit.

    ``least`` and ``most`` are allowed themselves, ``above`` is not.
    """

    dimension: Dimension
    above: int | None = None
    least: int | None = None
    most: int | None = None

    def read(self, text: object) -> Decimal:
        """``text`` in base units; :class:`QuantityError` if it is none, or outside the limits."""
        value = parse(text, self.dimension)
        noun, base = _KINDS[self.dimension].noun, unit(self.dimension)
        if self.above is not None and value <= self.above:
            raise QuantityError(f"read {said(text)}; {noun} of more than {self.above} {base} is wanted here.")
        if self.least is not None and value < self.least:
            raise QuantityError(f"read {said(text)}; {noun} of at least {self.least} {base} is wanted here.")
        if self.most is not None and value > self.most:
            raise QuantityError(f"read {said(text)}; {noun} of at most {self.most} {base} is wanted here.")
        return value

    def write(self, value: Decimal) -> str:
        """``value`` the way a file gives it, with every digit."""
        places = max(0, -int(value.normalize().as_tuple().exponent))
        return show(value, self.dimension, places=places)

    def pattern(self) -> str:
        """A regular expression (ECMA 262) of the text that is read, for editors."""
        names = (name.replace("^", "[^]") for name in _KINDS[self.dimension].names())
        return rf"^\s*{_NUMBER}\s*({'|'.join(names)})\s*$".replace("[^]", r"\^")

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        from pydantic_core import core_schema

        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(self.write, when_used="json")
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        limits = {"above": self.above, "least": self.least, "most": self.most}
        stated = {name: limit for name, limit in limits.items() if limit is not None}
        return {
            "type": "string",
            "pattern": self.pattern(),
            QUANTITY_KEYWORD: {"unit": unit(self.dimension), "noun": _KINDS[self.dimension].noun, **stated},
        }


Length: TypeAlias = Annotated[Decimal, Quantity("length")]
Size: TypeAlias = Annotated[Decimal, Quantity("length", above=0)]
Gap: TypeAlias = Annotated[Decimal, Quantity("length", least=0)]
Speed: TypeAlias = Annotated[Decimal, Quantity("feed", above=0)]
Peripheral: TypeAlias = Annotated[Decimal, Quantity("peripheral", above=0)]
Rotation: TypeAlias = Annotated[Decimal, Quantity("rotation", above=0)]
Time: TypeAlias = Annotated[Decimal, Quantity("time", least=0, most=600)]
Power: TypeAlias = Annotated[Decimal, Quantity("power", above=0)]
Angle: TypeAlias = Annotated[Decimal, Quantity("angle")]
Acceleration: TypeAlias = Annotated[Decimal, Quantity("acceleration", above=0)]
Removal: TypeAlias = Annotated[Decimal, Quantity("removal", above=0)]
