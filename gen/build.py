"""The main job: a recipe and its machine to a program that is read back and judged, all in memory."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from gen.compose import Form, compose
from gen.control import Control
from gen.crosscheck import cross_check
from gen.dialect import Dialect, cancelled, dialect_for
from gen.errors import DressblockError
from gen.facts import Facts
from gen.family import Variant, number_of, variant_of
from gen.feeder import check_words
from gen.grid import INCH
from gen.heading import Heading
from gen.plan import Let, Node, Plan, State, at, resolve
from gen.program import assemble
from gen.render import Resources, render
from gen.seal import Block, blocks
from gen.steps import Step, differences

if TYPE_CHECKING:
    from pathlib import Path

    from gen.bounds.case import Case
    from gen.bounds.finding import Finding
    from gen.machine import Machine
    from gen.reader import Lowered, ReadState
    from gen.recipe import Recipe

EXPRESSION_TOLERANCE = 1e-6
"""How far a number worked out by an expression may differ between plan and reading, in its own unit."""


@dataclass(frozen=True, slots=True)
class Options:
    """What the person who generates may choose beside the recipe; lengths mm.

    ``diameters`` are those of a pack's wheels, in the recipe's order.
    ``resolve`` asks for numbers on a control that has variables, ``prove_out``
    for the dress with the stick held off. ``ending`` and ``leaves``: the nodes
    with which a block ends within a grinding program, and the modes it leaves
    there; ``taken``: the line numbers which that program has already.
    """

    form: Form | None = None
    diameter: Decimal | None = None
    gauge: Decimal | None = None
    diameters: tuple[Decimal, ...] = ()
    length: Decimal | None = None
    slide_position: Decimal | None = None
    resolve: bool = False
    prove_out: bool = False
    variant: Variant = "dress"
    control_folders: tuple[Path, ...] = ()
    ending: tuple[Node, ...] | None = None
    leaves: Mapping[str, str] | None = None
    taken: frozenset[int] = frozenset()

    def sizes(self, facts: Facts) -> tuple[Decimal, ...]:
        """The size of each wheel that the contact depends on: as chosen, else new.

        :class:`DressblockError` if the other size was given, or not one for each wheel.
        """
        count = len(facts.pack)
        given = self.diameters or (() if self.diameter is None else (self.diameter,))
        if count == 1:
            if len(given) > 1:
                raise DressblockError("this recipe has one wheel; give its size once.")
            return (replace(self, diameter=next(iter(given), None))._size(facts),)
        if self.gauge is not None or (given and len(given) != count):
            raise DressblockError(
                f"this recipe has {count} wheels; give --wheel-diameter {count} times, in the recipe's order."
            )
        return given or tuple(new for _, new in facts.sizes.values())

    def _size(self, facts: Facts) -> Decimal:
        chosen, other, name = (
            (self.gauge, self.diameter, "--wheel-gauge")
            if facts.face
            else (self.diameter, self.gauge, "--wheel-diameter")
        )
        if other is not None:
            raise DressblockError(f"this wheel's contact depends on its {facts.size_name.split('_')[1]}; give {name}.")
        return facts.size_range[1] if chosen is None else chosen


@dataclass(frozen=True)
class Program:
    """A program with everything that was decided on the way.

    ``by_registers``: wheel and stick are read when it runs. ``counts``: it
    counts the parts by itself, and dresses when a dress is due.
    """

    facts: Facts
    dialect: Dialect
    plan: Plan
    form: Form
    state: State
    by_registers: bool
    counts: bool
    heading: Heading
    text: str
    leaves: Mapping[str, str]
    findings: tuple[Finding, ...] = field(default=())

    @property
    def accepted(self) -> bool:
        """Whether nothing is broken; warnings do not count."""
        return all(finding.severity != "error" for finding in self.findings)


def build(recipe: Recipe, machine: Machine, names: tuple[str, str], options: Options | None = None) -> Program:
    """The program of ``recipe`` on ``machine``, judged. ``names`` are those of machine folder and recipe file.

    :class:`DressblockError` where the two do not fit together or the control cannot spell it.
    """
    from gen.bounds import judge

    chosen = options or Options()
    program = draft(recipe, machine, names, chosen)
    judged = (
        program if _some_stick_fits(program.facts) else draft(recipe, machine, names, replace(chosen, resolve=True))
    )
    return replace(program, findings=tuple(judge(cases(judged))))


def _some_stick_fits(facts: Facts) -> bool:
    """Whether any stick passes the guards; where none does, they would hide what is wrong with the numbers."""
    low, high = facts.length_range
    return facts.incremental or low <= high


def draft(recipe: Recipe, machine: Machine, names: tuple[str, str], options: Options) -> Program:
    """The program before it is judged."""
    meant = variant_of(recipe, options.variant)
    cross_check(meant, machine)
    facts = Facts(meant, machine)
    dialect = dialect_for(machine, options.control_folders)
    leaves = host_modes(dialect.control, dialect.host) if options.leaves is None else options.leaves
    _own_offset(machine, dialect.control)
    check_words(machine, dialect.control)
    form: Form = options.form or recipe.form
    by_registers = machine.registers is not None and dialect.control.variables is not None and not options.resolve
    state = facts.state(sizes=options.sizes(facts), length=options.length, slide_position=options.slide_position)
    plan = compose(
        facts,
        dialect.grid,
        dialect.abilities,
        registers=by_registers,
        form=form,
        prove_out=options.prove_out,
        ending=options.ending,
    )
    heading = Heading(
        *names,
        {} if by_registers else stated(facts, options),
        form=form,
        after_truing=options.variant == "after-truing",
        prove_out=options.prove_out,
    )
    return Program(
        facts=facts,
        dialect=dialect,
        plan=plan,
        form=form,
        state=state,
        by_registers=by_registers,
        counts=any(isinstance(node, Let) and node.name == "due" for node in plan.nodes),
        heading=heading,
        text=spell(facts, dialect, plan, state, heading, form, by_registers=by_registers, taken=options.taken),
        leaves=leaves,
    )


def _own_offset(machine: Machine, control: Control) -> None:
    """:class:`DressblockError` unless the dresser's work offset, where it has one, is the control's and its own."""
    offset = machine.dresser.offset
    if offset is None:
        return
    known = set(control.groups.get("work_offset", {})) - {control.defaults.get("work_offset", "")}
    if offset.word not in known:
        raise DressblockError(
            f'read "{offset.word}"; an offset kept for the dresser alone is wanted, one of {", ".join(sorted(known))}.',
            key="dresser.offset.word",
        )


def stated(facts: Facts, options: Options) -> dict[str, Decimal]:
    """The state a numeric program is right for, mm, by name."""
    state = dict(zip(facts.sizes, options.sizes(facts), strict=True))
    if facts.timed:
        return state
    if facts.incremental:
        return {**state, "slide_position": options.slide_position or facts.first_position}
    return {**state, "stick_length": options.length or facts.stick.length}


def spell(
    facts: Facts,
    dialect: Dialect,
    plan: Plan,
    state: State,
    heading: Heading,
    form: Form,
    *,
    by_registers: bool,
    taken: frozenset[int] = frozenset(),
) -> str:
    """The text of ``plan``; without registers, of the plan at ``state``."""
    from gen.prologue import prologue

    spoken = plan if by_registers else resolve(plan, state)
    return assemble(
        render(spoken, dialect.control, dialect.words, resources(facts)),
        number=number_of(facts.recipe, prove_out=heading.prove_out),
        kind="PROVE-OUT" if heading.prove_out else "DRESS",
        title=facts.recipe.title,
        heading=[*heading.lines(facts.machine.units), *prologue(facts)],
        form=form,
        dialect=dialect,
        taken=taken,
    )


def resources(facts: Facts) -> Resources:
    """The registers, working variables and labels that a program may use on this machine."""
    table = facts.machine.registers
    return Resources() if table is None else Resources(facts.register_numbers, table.scratch, table.labels)


def host_modes(control: Control, words: Iterable[str]) -> dict[str, str]:
    """The modes that ``words`` set on ``control``, meaning by group. :class:`DressblockError` for an unknown word."""
    known = {word: (group, meaning) for group, table in control.groups.items() for meaning, word in table.items()}
    modes: dict[str, str] = {}
    for word in words:
        if word not in known:
            raise DressblockError(
                f'this control knows no mode "{word}"; use words such as {", ".join(sorted(known)[:6])}.',
                key="host.modes",
            )
        group, meaning = known[word]
        modes[group] = meaning
    return modes


# -- reading back


def cases(program: Program) -> Iterator[Case]:
    """The program read at every state that matters: wear, stick, and where there are guards, states it must refuse."""
    from gen.reader import lower

    facts, control = program.facts, program.dialect.control
    if not program.by_registers:
        for state in _unique([program.state, *facts.corners()]):
            text = program.text if state == program.state else _respelled(program, state)
            yield case_of(program, lower(text, control), state, text=text, agree=True)
        return
    yield from read_cases(program, agree=True)


def read_cases(program: Program, *, agree: bool = False, block_delete: bool = False) -> Iterator[Case]:
    """A register program at every state: those with which it must run, and those it must refuse."""
    from gen.reader import lower

    def case_at(state: State, **more: bool) -> Case:
        return case_of(program, lowered, state, text=program.text, marks=marks, block_delete=block_delete, **more)

    marks = list(blocks(program.text.splitlines()))
    lowered = lower(program.text, program.dialect.control)
    for state in _unique(_when_due(program, [program.state, *program.facts.corners()])):
        yield case_at(state, agree=agree)
    for state in _when_due(program, refused_states(program)):
        for past_stops in (False, True):
            yield case_at(state, accepted=False, past_stops=past_stops)
    for state in idle_states(program):
        yield replace(case_at(state, agree=agree), intent="idle")


def _when_due(program: Program, states: Iterable[State]) -> Iterator[State]:
    """``states`` with the count of parts at which a dress is due, where the program counts them."""
    due = program.facts.dress.every_parts if program.counts else None
    for state in states:
        yield state if due is None else replace(state, values={**state.values, "parts_since_dress": float(due)})


def idle_states(program: Program) -> Iterator[State]:
    """The states in which a program that counts parts only counts: after a dress, and before the last part."""
    due = program.facts.dress.every_parts
    if program.counts and due:
        for parts in sorted({0, due - 1}):
            state = program.facts.state()
            yield replace(state, values={**state.values, "parts_since_dress": float(parts)})


def _unique(states: Iterable[State]) -> Iterator[State]:
    seen: list[State] = []
    for state in states:
        if state not in seen:
            seen.append(state)
            yield state


def _respelled(program: Program, state: State) -> str:
    return spell(program.facts, program.dialect, program.plan, state, program.heading, program.form, by_registers=False)


def case_of(
    program: Program,
    lowered: Lowered,
    state: State,
    *,
    text: str,
    marks: list[Block] | None = None,
    accepted: bool = True,
    past_stops: bool = False,
    agree: bool = False,
    block_delete: bool = False,
) -> Case:
    """One reading of the program, with what the bounds hold it against.

    ``marks``: the marked blocks of ``text``, where they are known already. With ``agree``
    the reading must be what the plan says; :class:`DressblockError` if it is not.
    """
    from gen.bounds.case import Case, Seal
    from gen.reader import run

    facts, control = program.facts, program.dialect.control
    registers = set(program.plan.registers.values())
    start = replace(read_state(program, state), block_delete=block_delete)
    reading = run(lowered, start, registers=registers, past_stops=past_stops)
    if agree:
        _must_agree(program, state, reading.steps)
    marks = list(blocks(text.splitlines())) if marks is None else marks
    first, last = (marks[0].first, marks[0].last) if marks else (1, len(text.splitlines()))
    return Case(
        reading=reading,
        first=first,
        last=last,
        facts=facts,
        state=state,
        accepted=accepted,
        past_stops=past_stops,
        seals=tuple(Seal(mark.first, mark.number, mark.stated, mark.computed) for mark in marks),
        host_modes=program.leaves,
        override_lock="override_lock" in control.codes,
        synchronise=program.dialect.abilities.synchronise,
        cancels=tuple(cancelled(control)),
        intent="prove-out" if program.heading.prove_out else "dress",
        counts=program.counts,
        form=program.form,
        mist=control.codes.get("mist_on", ""),
    )


def _must_agree(program: Program, state: State, read: Iterable[Step]) -> None:
    tolerance = EXPRESSION_TOLERANCE if program.by_registers else 0.0
    parted = differences(at(program.plan, state), read, tolerance=tolerance)
    if parted:
        raise DressblockError(
            f"what this control's templates wrote does not read back as planned: {parted[0]}.",
            file=program.dialect.words.folder,
        )


def read_state(program: Program, state: State) -> ReadState:
    """``state`` as the control would know it: register numbers, known positions, the dresser's own offset."""
    from gen.reader import ReadState

    table = program.plan.registers
    values: Mapping[str, float] = state.values
    offset = program.facts.machine.dresser.offset
    return ReadState(
        registers={number: values[name] for name, number in table.items() if name in values},
        positions=state.positions,
        offsets={} if offset is None else {offset.word: dict(program.plan.offsets)},
    )


def refused_states(program: Program) -> Iterator[State]:
    """States that a register program must refuse: nothing set, each value just outside, a dress under way."""
    facts = program.facts
    unit = facts.register_unit
    good = facts.state()
    nudge = Decimal("0.01")
    yield State({}, good.positions)
    ranges = dict(facts.sizes)
    if not facts.incremental:
        ranges = {**ranges, "stick_length": facts.length_range}
    for name, (low, high) in ranges.items():
        yield replace(good, values={key: value for key, value in good.values.items() if key != name})
        # the last two are the same length typed in the other unit
        for value in (Decimal(0), low - nudge, high + nudge, -high, low / INCH, high * INCH):
            yield replace(good, values={**good.values, name: float(value / unit)})
    for flag in (1.0, 2.0, -1.0, 0.5):
        yield replace(good, values={**good.values, "in_progress": flag})
