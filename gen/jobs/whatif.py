"""What if a key said something else: settings from the command line, made in the tables and nowhere on disk."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Literal

from gen.base.errors import DressblockError, listed, said
from gen.base.finding import Change
from gen.jobs.advice import Tables, applied

RECIPE, MACHINE = "recipe:", "machine:"


def setting(text: str) -> Change:
    """The change that ``text``, such as ``axes.U.max_feed=240 mm/min`` or ``recipe:dress.plunge=6 mm``, asks for.

    The value is TOML, or text where it is no TOML, so that a quantity needs no
    quotes of its own. :class:`DressblockError` if there is no key or no value.
    """
    key, equals, value = text.partition("=")
    key = key.strip()
    file: Literal["recipe", "machine"] = "recipe" if key.startswith(RECIPE) else "machine"
    key = key.removeprefix(RECIPE).removeprefix(MACHINE).strip()
    if not equals or not all(key.split(".")) or not value.strip():
        raise DressblockError(
            f'--set: read {said(text)}; a key and a value are wanted, such as axes.U.max_feed="240 mm/min" '
            'of the machine, or recipe:dress.plunge="6 mm" of the recipe.'
        )
    return Change(file, key, _value(value.strip()), f"{file} {key} = {value.strip()}")


def _value(text: str) -> Any:
    try:
        return tomllib.loads(f"value = {text}", parse_float=Decimal)["value"]
    except (ValueError, ArithmeticError, RecursionError):
        return text


class WhatIf:
    """Makes the settings in one pair of tables after another, each where its table is, and knows which were used."""

    def __init__(self, settings: Iterable[str]) -> None:
        self.changes = tuple(setting(text) for text in settings)
        self._used: set[str] = set()

    def __call__(self, recipe: Tables, machine: Tables) -> tuple[Tables, Tables]:
        for change in self.changes:
            tables = recipe if change.file == "recipe" else machine
            if not _has_table(tables, change.key):
                continue
            self._used.add(change.text)
            recipe, machine = applied(change, recipe, machine)
        return recipe, machine

    def blamed(self, key: str) -> bool:
        """Whether what is wrong with ``key`` is what was set, and so is wrong in every file."""
        return any(key == change.key for change in self.changes)

    def must_have_been_used(self) -> None:
        """:class:`DressblockError` if a setting found no file to be made in."""
        idle = [f'"{change.key}"' for change in self.changes if change.text not in self._used]
        if idle:
            raise DressblockError(
                f"--set: no file here has the table that {listed(idle, 'and')} "
                f"{'belongs' if len(idle) == 1 else 'belong'} to; look at the key, and at the folder."
            )


def _has_table(tables: Tables, key: str) -> bool:
    """Whether the table that the last part of ``key`` stands in is there; a table of the top level always is."""
    place: Any = tables
    for part in key.split(".")[:-1]:
        name, _, number = part.rstrip("]").partition("[")
        place = place.get(name) if isinstance(place, dict) else None
        if isinstance(place, list):
            index = int(number) if re.fullmatch("[0-9]{1,4}", number) else 0
            place = place[index] if index < len(place) else None
    return isinstance(place, dict)
