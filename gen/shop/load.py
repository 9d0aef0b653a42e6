"""Machine and recipe files read into their models, and where the machine of a recipe lies."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from gen.base.errors import DressblockError, explain, said
from gen.base.files import read_toml

if TYPE_CHECKING:
    from pydantic import BaseModel

    from gen.shop.machine import Machine
    from gen.shop.recipe import Recipe

    Model = TypeVar("Model", bound=BaseModel)


EXAMPLE = "example"
"""The key of a file to begin with, until somebody has put their own values into it."""


def load_machine(path: Path, tables: dict[str, Any] | None = None) -> Machine:
    """The machine that the file ``path`` describes, or ``tables`` in place of what it holds.

    :class:`DressblockError` lists all that is wrong with it.
    """
    from gen.shop.machine import Machine

    return _load(path, Machine, tables)


def load_recipe(path: Path, tables: dict[str, Any] | None = None) -> Recipe:
    """The recipe that the file ``path`` describes, or ``tables`` in place of what it holds.

    :class:`DressblockError` lists all that is wrong with it.
    """
    from gen.shop.recipe import Recipe

    return _load(path, Recipe, tables)


def _load(path: Path, model: type[Model], tables: dict[str, Any] | None) -> Model:
    from pydantic import ValidationError

    tables = read_toml(path) if tables is None else tables
    if EXAMPLE in tables:
        raise DressblockError(
            "every value in this file is an example's; put in your own, then delete this line.", file=path, key=EXAMPLE
        )
    try:
        return model.model_validate(tables)
    except ValidationError as error:
        raise explain(error, model, file=path) from None


def machine_path_for(recipe_path: Path, recipe: Recipe) -> Path:
    """The machine file of ``recipe``, read from ``recipe_path``: ``../machine.toml`` unless the recipe names one."""
    named = recipe_path.parent / (recipe.machine or "../machine.toml")
    tidy = Path(os.path.normpath(named))
    with contextlib.suppress(OSError):
        if named.exists() and not (tidy.exists() and named.samefile(tidy)):
            return named
    return tidy


def machine_file_for(recipe_path: Path, recipe: Recipe) -> Path:
    """:func:`machine_path_for`, which must be there; :class:`DressblockError` tells why it was looked for."""
    path = machine_path_for(recipe_path, recipe)
    if not path.exists():
        why = (
            'the recipe has no key machine, so that it was looked for at "../machine.toml"; put it there, or name it '
            "with that key."
            if recipe.machine is None
            else f"the recipe's key machine names it, as {said(recipe.machine)}; name the file that is meant."
        )
        raise DressblockError(f"there is no such file. It would be the machine of {recipe_path}: {why}", file=path)
    return path
