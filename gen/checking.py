"""A program found in a folder, held against its machine and its recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from gen.bounds import judge
from gen.bounds.case import Case, Seal
from gen.bounds.finding import Finding
from gen.build import Options, Program, case_of, draft, host_modes, read_cases
from gen.controls import folders_of
from gen.dialect import Dialect, cancelled, dialect_for
from gen.errors import DressblockError
from gen.files import load_machine, load_recipe
from gen.heading import Heading, read_heading
from gen.jobs import read_text
from gen.locate import machine_of, names_of, recipe_of
from gen.machine import Machine
from gen.reader import ReadState, lower, run
from gen.seal import Block, blocks


@dataclass(frozen=True)
class Named:
    """Machine and recipe as named on the command line, where they were."""

    machine: Path | None = None
    recipe: Path | None = None
    root: Path | None = None
    control_folders: tuple[Path, ...] = ()


def check(path: Path, named: Named) -> list[Finding]:
    """The findings about the program at ``path``. :class:`DressblockError` if its machine cannot be found."""
    text = read_text(path)
    lines = text.splitlines()
    marked = next(blocks(lines), None)
    heading = _heading(lines, marked)
    machine_path = named.machine or _beside(named.recipe)
    if machine_path is None and heading is not None:
        machine_path = machine_of(heading, path, named.root)
    if machine_path is None:
        raise DressblockError(
            "nothing in this program says which machine it is for; name it with --machine.", file=path
        )
    machine = load_machine(machine_path)
    folders = folders_of(machine, machine_path, named.control_folders)
    recipe_path = named.recipe
    if recipe_path is None and heading is not None:
        recipe_path = recipe_of(heading, machine_path)
    if recipe_path is None:
        return judge([_without_recipe(text, machine, dialect_for(machine, folders), marked)])
    recipe = load_recipe(recipe_path)
    heading = heading or Heading("", "")
    state = heading.state
    options = Options(
        form=heading.form,
        variant="after-truing" if heading.after_truing else "dress",
        prove_out=heading.prove_out,
        diameter=state.get("wheel_diameter"),
        gauge=state.get("wheel_gauge"),
        diameters=tuple(value for name, value in state.items() if name.startswith("wheel_diameter_")),
        length=state.get("stick_length"),
        slide_position=state.get("slide_position"),
        resolve=bool(state),
        control_folders=folders,
    )
    program = draft(recipe, machine, names_of(recipe_path, machine_path), options)
    return judge(_cases(replace(program, text=text)))


def _cases(program: Program) -> Iterator[Case]:
    """The text as it stands, at every state it claims to be right for."""
    if program.by_registers:
        yield from read_cases(program)
    else:
        yield case_of(program, lower(program.text, program.dialect.control), program.state, text=program.text)


def _without_recipe(text: str, machine: Machine, dialect: Dialect, marked: Block | None) -> Case:
    reading = run(lower(text, dialect.control), ReadState())
    first, last = (marked.first, marked.last) if marked else (1, text.count("\n") + 1)
    return Case(
        reading=reading,
        first=first,
        last=last,
        seals=(Seal(marked.first, marked.number, marked.stated, marked.computed),) if marked else (),
        host_modes=host_modes(dialect.control, dialect.host),
        override_lock="override_lock" in dialect.control.codes,
        synchronise=dialect.abilities.synchronise,
        cancels=tuple(cancelled(dialect.control)),
    )


def _heading(lines: list[str], marked: Block | None) -> Heading | None:
    """The heading inside the block, or anywhere in the first hundred lines of a program without marks."""
    first, last = (marked.first, marked.last) if marked else (1, 100)
    comments = [(number, line.strip().strip("();{} ")) for number, line in enumerate(lines[first - 1 : last], first)]
    return read_heading(comments, first, last)


def _beside(recipe: Path | None) -> Path | None:
    if recipe is None:
        return None
    from gen.files import machine_path_for

    return machine_path_for(recipe, load_recipe(recipe))
