"""A program found in a folder, held against its machine and its recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from gen.bounds import judge
from gen.bounds.case import Case, Seal
from gen.bounds.finding import Finding
from gen.controls import folders_of
from gen.dialect import Dialect, cancelled, dialect_for
from gen.draft import Program, draft, host_modes
from gen.errors import DressblockError
from gen.files import load_machine, load_recipe
from gen.heading import Heading, read_heading
from gen.jobs import read_text
from gen.locate import machine_of, names_of, recipe_of
from gen.machine import Machine
from gen.options import Options
from gen.readback import case_of, read_cases
from gen.reader import ReadState, lower, run
from gen.reader.in_force import in_force
from gen.reader.lexis import Lexer
from gen.seal import SPLICED, Block, blocks
from gen.splice.span import Span, by_marks, by_motion

_ANYHOW = {"motion", "cycle", "shift", "retract"}
"""Groups that a block need not leave as they were: what hangs on them has a rule of its own, or they are cancelled."""


@dataclass(frozen=True)
class Named:
    """Machine and recipe as named on the command line, where they were.

    ``find``: a dress without marks is looked for by its motion. ``options``:
    the wheel and stick that numbers are right for, where no heading says so.
    """

    machine: Path | None = None
    recipe: Path | None = None
    root: Path | None = None
    control_folders: tuple[Path, ...] = ()
    find: bool = False
    options: Options = field(default_factory=Options)


def check(path: Path, named: Named) -> list[Finding]:
    """The findings about the program at ``path``. :class:`DressblockError` if its machine cannot be found."""
    text = read_text(path)
    lines = text.splitlines()
    marked = by_marks(lines)
    called = [] if marked or named.find else list(blocks(lines, ("CALL",)))
    if called:
        return [finding for call in called for finding in _called(call)]
    heading = _heading(lines, marked[0].marked if marked else None)
    machine_path = named.machine or _beside(named.recipe)
    if machine_path is None and heading is not None:
        machine_path = machine_of(heading, path, named.root)
    if machine_path is None:
        raise DressblockError(
            "nothing in this program says which machine it is for; name it with --machine.", file=path
        )
    machine = load_machine(machine_path)
    folders = folders_of(machine, machine_path, named.control_folders)
    dialect = dialect_for(machine, folders)
    spans = marked or list(_unmarked(text, lines, machine, dialect, named))
    cases = [case for span in spans for case in _judged(text, span, machine_path, machine, dialect, named)]
    seals = tuple(Seal(one.first, one.number, one.stated, one.computed) for one in blocks(lines, SPLICED))
    return judge(_in_program(replace(case, seals=seals), dialect) for case in cases)


def _called(call: Block) -> Iterator[Finding]:
    """What can be said of a program that only calls a dress."""
    if call.altered:
        said = f"the call of dress {call.number} was changed since it was put here; put it here again."
        yield Finding("altered", call.first, "error", "changed", said)
    said = f"dress {call.number} is called here and stands in a subprogram; check that program."
    yield Finding("recipe", call.first, "warning", "unproven", said)


def _unmarked(text: str, lines: list[str], machine: Machine, dialect: Dialect, named: Named) -> Iterator[Span]:
    """The dresses that their motion gives away, if they are to be found; else the whole text is taken for one."""
    found = by_motion(run(lower(text, dialect.control)), machine, len(lines)) if named.find else []
    if named.find and not found:
        axis = machine.dresser.plunge_axis
        raise DressblockError(
            f"no dress was found in this program: nowhere does {axis} feed towards the wheel in the dresser's "
            "coordinates."
            if axis
            else "a timed feeder's dress cannot be found by its motion; put marks around it."
        )
    yield from found or [Span(1, len(lines))]


def _judged(
    text: str, span: Span, machine_path: Path, machine: Machine, dialect: Dialect, named: Named
) -> Iterator[Case]:
    """The dress in ``span``, at every state it claims to be right for, with and without the lines marked ``/``."""
    heading = _heading(text.splitlines(), span.marked)
    recipe_path = named.recipe
    if recipe_path is None and heading is not None:
        recipe_path = recipe_of(heading, machine_path)
    ways = (False, True) if _deletable(text, dialect) else (False,)
    if recipe_path is None:
        yield from (_without_recipe(text, machine, dialect, span, block_delete) for block_delete in ways)
        return
    folders = folders_of(machine, machine_path, named.control_folders)
    by_numbers = heading is None and not _reads_registers(text, span, machine, dialect)
    options = replace(_options(heading, named, by_numbers), control_folders=folders)
    program = draft(load_recipe(recipe_path), machine, names_of(recipe_path, machine_path), options)
    for block_delete in ways:
        for case in _cases(replace(program, text=text), block_delete):
            yield replace(case, first=span.first, last=span.last)


def _options(heading: Heading | None, named: Named, by_numbers: bool) -> Options:
    """How a dress would be generated, as its heading says; without one, as its text shows and as was named."""
    if heading is None:
        return replace(named.options, form="block", resolve=by_numbers)
    state = heading.state
    return Options(
        form=heading.form,
        variant="after-truing" if heading.after_truing else "dress",
        prove_out=heading.prove_out,
        diameter=state.get("wheel_diameter"),
        gauge=state.get("wheel_gauge"),
        diameters=tuple(value for name, value in state.items() if name.startswith("wheel_diameter_")),
        length=state.get("stick_length"),
        slide_position=state.get("slide_position"),
        resolve=bool(state),
    )


def _reads_registers(text: str, span: Span, machine: Machine, dialect: Dialect) -> bool:
    """Whether the dress in ``span`` asks a register of the machine for wheel or stick."""
    table = machine.registers
    if table is None:
        return False
    numbers = {table.stick_length, table.wheel_gauge, *(table.wheel_diameter or ())}
    reads = run(lower(text, dialect.control), past_stops=True).reads
    return any(read.register in numbers and span.first <= read.line <= span.last for read in reads)


def _deletable(text: str, dialect: Dialect) -> bool:
    mark, lexer = dialect.control.lexis.block_delete, Lexer(dialect.control)
    return bool(mark) and any(mark in line and lexer.source(1, line).deletable for line in text.splitlines())


def _cases(program: Program, block_delete: bool) -> Iterator[Case]:
    """The text as it stands, at every state it claims to be right for."""
    if program.by_registers:
        yield from read_cases(program, block_delete=block_delete)
    else:
        lowered = lower(program.text, program.dialect.control)
        yield case_of(program, lowered, program.state, text=program.text, block_delete=block_delete)


def _in_program(case: Case, dialect: Dialect) -> Case:
    """``case`` with the modes that the block must leave: those that the program around it had in force."""
    if not case.block:
        return case
    positions = {} if case.state is None else case.state.positions
    before = in_force(case.reading, case.block.start, None, positions, lambda line: not case.first <= line <= case.last)
    groups = (set(dialect.control.groups) | {"override"}) - _ANYHOW
    stated = {group: value for group, value in before.modes.items() if group in groups}
    return replace(case, host_modes={**(case.host_modes or {}), **stated})


def _without_recipe(text: str, machine: Machine, dialect: Dialect, span: Span, block_delete: bool) -> Case:
    return Case(
        reading=run(lower(text, dialect.control), ReadState(block_delete=block_delete)),
        first=span.first,
        last=span.last,
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
