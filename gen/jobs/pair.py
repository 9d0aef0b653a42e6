"""A recipe and its machine: where their files lie, what those describe, and the program of the two."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import field, replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.files import read_toml
from gen.bounds.build import build
from gen.control.dialect import Dialect, dialect_for
from gen.control.draft import Program, draft
from gen.control.folders import folders_of
from gen.control.options import Options
from gen.shop.load import load_machine, load_recipe, machine_file_for
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

if TYPE_CHECKING:
    from gen.jobs.advice import Tables

    Alter: TypeAlias = Callable[[Tables, Tables], tuple[Tables, Tables]]


@dataclass(frozen=True)
class Pair:
    """The two files, what they describe, and the tables that this was read from."""

    recipe_path: Path
    recipe: Recipe
    machine_path: Path
    machine: Machine
    recipe_tables: Tables = field(repr=False)
    machine_tables: Tables = field(repr=False)

    @property
    def names(self) -> tuple[str, str]:
        """The names by which a heading refers to the two: the machine's folder, the recipe's stem."""
        return self.machine_path.resolve().parent.name, self.recipe_path.stem

    def file_of(self, key: str) -> Path:
        """Which of the two files has ``key``; what both could have, or neither, is said of the recipe."""
        table = key.partition(".")[0]
        of_machine = table in Machine.model_fields and table not in Recipe.model_fields
        return self.machine_path if of_machine else self.recipe_path

    def chosen(self, options: Options) -> Options:
        """``options`` with the folder of controls that the machine file names, behind those named already."""
        folders = folders_of(self.machine, self.machine_path, options.control_folders)
        return replace(options, control_folders=folders)

    def draft(self, options: Options | None = None) -> Program:
        """The program as it would be, not judged."""
        with self._told():
            return draft(self.recipe, self.machine, self.names, self.chosen(options or Options()))

    def build(self, options: Options) -> Program:
        """The program, judged."""
        with self._told():
            return build(self.recipe, self.machine, self.names, self.chosen(options))

    @contextmanager
    def _told(self) -> Iterator[None]:
        """What cannot be used is said of the file that has its key."""
        try:
            yield
        except DressblockError as error:
            raise error.where(self.file_of) from None


def pair_at(recipe_path: Path, machine_path: Path | None = None, alter: Alter | None = None) -> Pair:
    """The recipe in the file ``recipe_path`` and its machine, or the one at ``machine_path``.

    ``alter`` makes other tables of those in the two files, for this once.
    :class:`DressblockError` where one of them cannot be used.
    """
    tables = read_toml(recipe_path)
    recipe = load_recipe(recipe_path, tables)
    file = machine_file_for(recipe_path, recipe) if machine_path is None else machine_path
    machine_tables = read_toml(file)
    if alter is not None:
        tables, machine_tables = alter(tables, machine_tables)
        recipe = load_recipe(recipe_path, tables)
    return Pair(recipe_path, recipe, file, load_machine(file, machine_tables), tables, machine_tables)


def spoken_at(machine_path: Path, control_folders: tuple[Path, ...] = ()) -> tuple[Machine, Dialect]:
    """The machine in the file ``machine_path``, and the dialect that it speaks."""
    machine = load_machine(machine_path)
    return machine, dialect_for(machine, folders_of(machine, machine_path, control_folders))
