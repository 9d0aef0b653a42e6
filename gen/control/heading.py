"""The comments at the head of a block that say what it is and for which wheel and stick it is right.

They are written for a person and read back by ``check``, so that a program
found in a folder leads to its machine, its recipe and its state. That is why
they are the same in every language.
"""

from __future__ import annotations

import math
import os
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import field
from decimal import Decimal
from urllib.parse import quote, unquote_to_bytes

from gen.base.dataclass import dataclass
from gen.base.languages import languages
from gen.base.quantities import QuantityError, parse, plain
from gen.control.origin import Origin, read_origin
from gen.plan.grid import INCH
from gen.plan.step import Register
from gen.shop.edition import Edition, Form, Purpose

PURPOSES: dict[Purpose, str] = {
    "prove-out": "PROVE-OUT ONLY, STICK HELD OFF, DOES NOT DRESS",
    "gap-check": "GAP CHECK ONLY, SPINDLE OFF, DOES NOT DRESS",
}
"""What a heading says of a program that does not dress."""

AFTER_TRUING = "FIRST OPENING AFTER TRUING"
AT_SPEED = "ONLY WHERE THE SPINDLE IS AT DRESS SPEED"

_NAME = re.compile(r"^(MACHINE|RECIPE|FORM|LANGUAGE|CONTINUED) (\S+)$", re.IGNORECASE)
_SIGNS = re.compile(r"^\W+|\W+$")
_FORMS: dict[str, Form] = {"program": "program", "block": "block", "subprogram": "subprogram"}
_VALUE = re.compile(
    r"^RIGHT ONLY FOR (WHEEL DIAMETER(?: [1-9])?|WHEEL GAUGE|STICK LENGTH|SLIDE POSITION) (-?[\d.]+) (MM|IN)$",
    re.IGNORECASE,
)
_BEGINS = re.compile(r"^BEGINS WITH REGISTER (\S+) AT ([-+.\dE]+)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """What a block says of itself: machine folder, recipe file, the state in mm (empty: registers), which edition.

    ``begins``: the registers that the grinding program around it is taken to find set, and their values.
    """

    machine: str
    recipe: str
    state: Mapping[str, Decimal] = field(default_factory=dict)
    edition: Edition = field(default_factory=Edition)
    language: str = "en"
    origin: Origin | None = None
    begins: Mapping[Register, float] = field(default_factory=dict)

    def lines(self, system: str = "mm") -> list[str]:
        names = [
            *(said for purpose, said in PURPOSES.items() if purpose == self.edition.purpose),
            *([AFTER_TRUING] if self.edition.after_truing else []),
            *([AT_SPEED] if self.edition.at_speed else []),
            *_named("MACHINE", self.machine),
            *_named("RECIPE", self.recipe),
            f"FORM {self.edition.form}".upper(),
            *(_named("LANGUAGE", self.language) if self.language != "en" else []),
            *(f"BEGINS WITH REGISTER {_spelled(f'{name}')} AT {value:.12g}" for name, value in self.begins.items()),
            *([] if self.origin is None else [str(self.origin)]),
        ]
        if not self.state:
            return [*names, "WHEEL AND STICK ARE READ FROM REGISTERS"]
        per_unit, unit = (INCH, "IN") if system == "inch" else (Decimal(1), "MM")
        return names + [
            f"RIGHT ONLY FOR {name.replace('_', ' ').upper()} {plain(value / per_unit, 6, strip=True)} {unit}"
            for name, value in self.state.items()
        ]


PIECE = 45
"""Characters of a name in one comment; a longer one is CONTINUED in the next."""

_SIGN = re.compile(r"=..|.", re.DOTALL)


def _named(what: str, name: str) -> Iterator[str]:
    """The lines that tell ``name`` of a folder or file."""
    piece = ""
    for sign in _SIGN.findall(_spelled(name)):
        if len(piece) + len(sign) > PIECE:
            yield f"{what} {_closed(piece)}"
            what, piece = "CONTINUED", ""
        piece += sign
    yield f"{what} {_closed(piece)}"


def _spelled(name: str) -> str:
    """``name`` in letters that every control's comments hold: others as ``=C3=A4``.

    The bytes of a name in UTF-8, as quoted-printable text has them (RFC 2045, 6.7).
    """
    return quote(os.fsencode(name), safe=".-").replace("_", "%5F").replace("~", "%7E").replace("%", "=")


def _closed(piece: str) -> str:
    """``piece`` with a letter or digit at its end, since the signs around a comment are taken off."""
    return f"{piece[:-1]}={ord(piece[-1]):02X}" if piece.endswith((".", "-")) else piece


def _unspelled(text: str) -> str:
    return os.fsdecode(unquote_to_bytes(text.replace("%", "%25").replace("=", "%")))


def same_name(one: str, other: str) -> bool:
    """Whether two names are one to a control with capitals only, and to a file system that takes accents apart."""
    return _folded(one) == _folded(other)


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", name).lower()


def _shipped(language: str) -> str:
    """The language as it ships, whose name a control may have put in capitals; English for one that does not."""
    return next((name for name in languages() if same_name(name, language)), "en")


def is_reserved(line: str) -> bool:
    """Whether :func:`read_heading` would take ``line`` for something that it looks for."""
    text = _SIGNS.sub("", line)
    if _NAME.match(text) or _VALUE.match(text) or _BEGINS.match(text) or read_origin(f"({text})"):
        return True
    return text.upper() in (*PURPOSES.values(), AFTER_TRUING, AT_SPEED)


def read_heading(lines: Iterable[str]) -> Heading | None:
    """The heading among ``lines``; None if there is none.

    Which control a program is for follows from its heading, so that whatever
    signs enclose its comments are taken off.
    """
    names: dict[str, str] = {}
    last_named = ""
    said: set[str] = set()
    state: dict[str, Decimal] = {}
    begins: dict[Register, float] = {}
    origin: Origin | None = None
    for text in lines:
        bare = _SIGNS.sub("", text)
        said.add(bare.upper())
        origin = origin or read_origin(text)
        if match := _NAME.match(bare):
            what = match[1].lower()
            if what != "continued":
                last_named = what if what not in names else ""
                names.setdefault(what, match[2])
            elif last_named:
                names[last_named] += match[2]
        elif match := _BEGINS.match(bare):
            name = _unspelled(match[1])
            with suppress(ValueError):
                value = float(match[2])
                if math.isfinite(value):
                    begins[int(name) if name.isascii() and name.isdigit() else name] = value
        elif match := _VALUE.match(bare):
            try:
                state[match[1].lower().replace(" ", "_")] = parse(f"{match[2]} {match[3].lower()}", "length")
            except QuantityError:
                continue
    if "machine" not in names or "recipe" not in names:
        return None
    form = _FORMS.get(names.get("form", "").lower(), "program")
    purpose: Purpose = next((one for one, says in PURPOSES.items() if says in said), "dress")
    return Heading(
        _unspelled(names["machine"]),
        _unspelled(names["recipe"]),
        state,
        Edition(form, AFTER_TRUING in said, purpose, at_speed=AT_SPEED in said),
        _shipped(_unspelled(names["language"])) if "language" in names else "en",
        origin,
        begins,
    )
