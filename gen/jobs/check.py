"""A program found in a folder, held against its machine and its recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from gen.base.errors import FAILURES, DressblockError, as_told
from gen.base.finding import Finding
from gen.base.lines import lines_of
from gen.base.together import together
from gen.bounds import RULES, Judgement, judge
from gen.bounds.all_states import parted_in_numbers
from gen.bounds.case import Case, Expected
from gen.bounds.readback import case_of, read_cases, read_state
from gen.bounds.states import when_due
from gen.control.dialect import Dialect
from gen.control.draft import Program
from gen.control.heading import Heading
from gen.control.options import Options
from gen.control.seal import SPLICED, MarkedBlock, blocks
from gen.host.span import Span, by_marks, by_motion
from gen.jobs.generate import BYTE_ORDER_MARK, read_text
from gen.jobs.hosts import called
from gen.jobs.others import OtherDress, found_by, other_dresses, with_called
from gen.jobs.pair import pair_at, spoken_at
from gen.jobs.provenance import Named, Provenance, options_as_made, provenance
from gen.jobs.reports.checked import Checked
from gen.jobs.stale import stale
from gen.plan.step import UNKNOWN
from gen.reader import Lowered, ReadState, Switches, lower, run
from gen.reader.rereading import Rereading
from gen.reader.standing import ACTIVE_SHIFT
from gen.shop.edition import Edition
from gen.shop.machine import Machine

_ANYHOW = {"motion", "cycle", "shift", "retract"}
"""Groups that a block may leave otherwise: they are cancelled, or another rule looks at what depends on them."""


_MARKED = Finding(
    "unread",
    1,
    "warning",
    "unproven",
    "the file begins with a byte-order mark (EF BB BF), which not every control reads over; save it as UTF-8 "
    "without one.",
)


class NoDress(DressblockError):
    """A program in which there is no dress: no marks, no heading, and nothing found by its motion."""


def check_program(path: Path, named: Named) -> list[Finding]:
    """The findings of :func:`checked_program`."""
    return [*checked_program(path, named).findings]


def checked(named: Named, program: tuple[Path, bool]) -> Checked:
    """What is found about the program at a path, whatever is wrong with its file.

    One that was not named itself, but came with its folder, is left alone if it holds no dress.
    """
    path, alone = program
    try:
        return checked_program(path, named, alone=alone)
    except NoDress as none:
        failure = none.within(path)
        return Checked(str(path), failure=failure) if alone else Checked(str(path), left=str(none.args[0]))
    except FAILURES as failed:
        return Checked(str(path), failure=as_told(failed).within(path))


def checked_program(path: Path, named: Named, *, alone: bool = True) -> Checked:
    """What is found about the program at ``path``. :class:`DressblockError` if its machine cannot be found.

    ``alone``: the program was named itself, so that a text without marks is
    taken for one dress; else it is :class:`NoDress`.
    """
    whole_text = read_text(path)
    text = whole_text.removeprefix(BYTE_ORDER_MARK)
    lines = lines_of(text)
    marked = by_marks(lines)
    calls = [provenance(path, lines, one, named) for one in blocks(lines, ("CALL",))]
    for one in calls:
        one.must_know_machine(named.root)
    of_calls = dict.fromkeys(called(calls, named.options))
    if calls and not marked and not named.find:
        elsewhere = "the dress stands in a subprogram, which is another file"
        return Checked(str(path), tuple(of_calls), silent=dict.fromkeys(RULES, elsewhere))
    whole = provenance(path, lines, marked[0].marked if marked else None, named)
    if not alone and whole.heading is None and not marked and not named.find:
        raise NoDress("there is no dress block in this program.", file=path)
    whole.must_know_machine(named.root)
    if whole.machine is None:
        if marked:
            raise DressblockError(
                "nothing in this block says which machine it is for; name it with --machine.", file=path
            )
        raise NoDress(
            "no dress block is marked in this program, and nothing says which machine it is for; name that with "
            "--machine, or leave the program out.",
            file=path,
        )
    told: dict[Finding, None] = of_calls if text is whole_text else {_MARKED: None, **of_calls}
    found: dict[Finding, None] = {}
    judged: set[str] = set()
    silent: dict[str, str] = {}
    if not marked and whole.heading is None and whole.recipe is None and not named.find:
        plain = _moves_alone(text, whole, *spoken_at(whole.machine, named.options.control_folders))
        if plain is not None:
            return replace(plain, findings=tuple(together([*told, *plain.findings])))
    for span in marked or list(_unmarked(text, whole, named)):
        own = whole
        if span.marked is not None:
            own = provenance(path, lines, span.marked, named, whole)
            if own.heading is not None:
                told |= dict.fromkeys(_two_kinds(own.heading, span.marked))
                own = replace(own, heading=_as_called(own.heading, span.marked))
        line = span.first if span.marked else None
        if own.otherwise:
            told[Finding("recipe", line, "warning", "unproven", own.otherwise)] = None
        try:
            gone, said = _held(own, text, span, named)
            told |= dict.fromkeys(gone)
            found |= dict.fromkeys(said.findings)
            judged |= said.judged
            silent |= said.silent
        except DressblockError as error:
            if not own.otherwise:
                raise
            # nobody wonders at this, once told that the files are another dress's
            told[Finding("recipe", line, "error", "unproven", f"it cannot be held against those: {error}")] = None
            silent |= dict.fromkeys(RULES, "it cannot be held against the files that were named")
    ordered = sorted(found, key=lambda one: (one.line or 0, one.severity != "error", one.rule))
    return Checked(str(path), tuple(together([*told, *ordered])), judged=frozenset(judged), silent=silent)


OF_THE_MOVES = ("axis-travel", "axis-feed", "spindle-range", "unread", "unmodelled")
"""The rules that a program without a dress is held to."""


def _moves_alone(text: str, whole: Provenance, machine: Machine, dialect: Dialect) -> Checked | None:
    """What the machine is enough for to say of a program without a dress; None if its motion is that of one."""
    span, lowered = Span(1, len(whole.lines)), lower(text, dialect.control)
    cases = [_without_recipe(lowered, machine, dialect, span, whole, way) for way in lowered.delete_settings]
    if any(by_motion(case.reading, machine, span.last) for case in cases):
        return None
    none = (
        "there is no dress in this program; travel, feeds and spindle speeds were held against the machine, where the "
        "program states its moves in machine coordinates."
    )
    said = judge(cases)
    found = [one for one in said.findings if one.rule in OF_THE_MOVES]
    silent = {
        id: said.silent[id] if id in OF_THE_MOVES else "there is no dress in it"
        for id in RULES
        if id in said.silent or id not in OF_THE_MOVES
    }
    first = Finding("recipe", None, "warning", "unproven", none)
    return Checked(str(whole.path), (first, *found), judged=said.judged & set(OF_THE_MOVES), silent=silent)


def _as_called(heading: Heading, marked: MarkedBlock) -> Heading:
    """``heading`` of what either it or its marks call the block, a dress last: somebody may rely on a prove-out."""
    if not heading.edition.dresses:
        return heading
    return replace(heading, edition=replace(heading.edition, purpose=marked.purpose))


def _two_kinds(heading: Heading, marked: MarkedBlock) -> Iterator[Finding]:
    called = heading.edition
    if called.purpose != marked.purpose:
        one, other = ("its marks call", "its heading does") if called.dresses else ("its heading calls", "its marks do")
        what = marked.purpose if called.dresses else called.purpose
        said = f"{one} this a {what} and {other} not; generate it anew, so that nobody takes it for the other."
        yield Finding("prove-out", marked.first, "error", "broken", said)


def _held(own: Provenance, text: str, span: Span, named: Named) -> tuple[list[Finding], Judgement]:
    """What of the dress in ``span`` its recipe no longer gives, and what the rules say about it."""
    assert own.machine is not None
    machine, dialect = spoken_at(own.machine, named.options.control_folders)
    lowered = lower(text, dialect.control)
    program = _as_given_now(own, lowered, span, machine, named)
    gone = [] if program is None or own.otherwise else list(stale(own, program, named.options))
    cases = (
        (_without_recipe(lowered, machine, dialect, span, own, way) for way in lowered.delete_settings)
        if program is None
        else _cases(own, text, lowered, span, program, named)
    )
    seals = tuple(blocks(own.lines, SPLICED))
    in_program = (_in_program(replace(case, seals=seals), dialect) for case in cases)
    return gone, judge(in_program, own.unknown, lost=own.heading is not None)


def _unmarked(text: str, whole: Provenance, named: Named) -> Iterator[Span]:
    """The dresses that their motion gives away, if they are to be found; else the whole text is taken for one."""
    assert whole.machine is not None
    if not named.find:
        yield Span(1, len(whole.lines))
        return
    machine, dialect = spoken_at(whole.machine, named.options.control_folders)
    lowered = lower(text, dialect.control)
    for start in _starts(whole, named):
        found = by_motion(run(lowered, start), machine, len(whole.lines))
        yield from found
        if found:
            return
    axis = machine.dresser.axis
    hint = "" if whole.recipe else " A dress that reads registers is found with its --recipe only."
    raise NoDress(
        f"no dress was found in this program: nowhere does {axis} feed towards the wheel in the dresser's "
        f"coordinates.{hint}"
        if axis
        else "a timed feeder's dress cannot be found by its motion; put marks around it."
    )


def _starts(whole: Provenance, named: Named) -> Iterator[ReadState]:
    """What a program may find when it begins: wheel and stick that a dress of the recipe accepts; else nothing."""
    if whole.recipe is not None:
        options = Options(form="block", control_folders=named.options.control_folders)
        program = pair_at(whole.recipe, whole.machine).draft(options)
        for state in when_due(program, [program.state, *program.dress.corners()]):
            yield read_state(program, state)
    yield ReadState()


def _as_given_now(own: Provenance, lowered: Lowered, span: Span, machine: Machine, named: Named) -> Program | None:
    """The dress in ``span`` by itself, as recipe and machine give it now; None where no recipe is known."""
    if own.recipe is None:
        return None
    if own.heading is None:
        by_numbers = not _reads_registers(lowered, span, machine)
        options = replace(named.options, form="block", resolve=by_numbers)
    else:
        options = options_as_made(own.heading, named.options.control_folders)
    return pair_at(own.recipe, own.machine).draft(options)


def _cases(own: Provenance, text: str, lowered: Lowered, span: Span, program: Program, named: Named) -> Iterator[Case]:
    """The dress in ``span``, at every state it claims to be right for, with and without the lines marked ``/``."""
    control, ways = program.dialect.control, lowered.delete_settings
    program = replace(program, text=text)
    if own.marked is not None and own.machine is not None:
        folders, number = named.options.control_folders, own.marked.number
        beside = other_dresses(own.path, own.lines, number, own.machine, folders, named.root)
        # one that cannot be read is told of where it is judged itself
        others = [one for one in beside if isinstance(one, OtherDress)]
        whole = with_called(text, (), others, control).text
        program = replace(program, text=whole, others=found_by(others)[0])
        lowered = lowered if whole == text else lower(whole, control)
    for block_delete in ways:
        yield from _at_each_state(program, lowered, span, block_delete, ours=own.heading is not None)


def _reads_registers(lowered: Lowered, span: Span, machine: Machine) -> bool:
    """Whether the dress in ``span`` asks a register of the machine for wheel or stick."""
    table = machine.registers
    if table is None:
        return False
    numbers = {table.stick_length, table.wheel_gauge, *(table.wheel_diameter or ())}
    reads = run(lowered, past_stops=True).reads
    return any(read.register in numbers and span.first <= read.line <= span.last for read in reads)


def _at_each_state(
    program: Program, lowered: Lowered, span: Span, block_delete: Switches, *, ours: bool
) -> Iterator[Case]:
    """The text as it stands, at every state it is said to be right for; ``ours``: it has a heading."""
    extent = span.first, span.last
    if program.by_registers:
        yield from read_cases(program, block_delete=block_delete, lowered=lowered, span=extent, ours=ours)
    else:
        # what was worked out in numbers writes no register, whichever it is
        code = Rereading(lowered, (range(span.first, span.last + 1),)) if ours else lowered
        case = case_of(program, code, program.state, text=program.text, span=extent, block_delete=block_delete)
        yield replace(case, parted=parted_in_numbers(program, case)) if ours and not block_delete else case


def _in_program(case: Case, dialect: Dialect) -> Case:
    """``case`` with the modes that the block must leave: those that the program around it had in force."""
    block = case.block
    if not block.run:
        return case
    before = block.before
    groups = (set(dialect.control.groups) | {"override"}) - _ANYHOW
    said = {group: before.stated(group) for group in before.lines if group in groups}
    stated = {group: value for group, value in said.items() if value not in ("", UNKNOWN)}
    if before.stated("shift") in ACTIVE_SHIFT:
        stated["shift"] = before.stated("shift")
    leaves = {**(case.expected.leaves or {}), **stated}
    return replace(case, expected=replace(case.expected, leaves=leaves))


def _without_recipe(
    lowered: Lowered, machine: Machine, dialect: Dialect, span: Span, own: Provenance, block_delete: Switches
) -> Case:
    """The dress read once, for the rules that the machine is enough for."""
    return Case(
        reading=run(
            lowered,
            ReadState(offsets=machine.dresser.held_offsets, block_delete=block_delete),
            window=(range(span.first, span.last + 1),),
        ),
        first=span.first,
        last=span.last,
        bare=machine,
        expected=Expected(
            edition=Edition("block") if own.heading is None else own.heading.edition,
            leaves=dialect.leaves,
        ),
        words=dialect.abilities,
    )
