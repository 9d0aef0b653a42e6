"""A recipe and its machine to a program, not judged yet."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, said
from gen.base.finding import errors_in
from gen.base.languages import languages
from gen.control.dialect import Dialect, dialect_for
from gen.control.heading import Heading, read_heading, same_name
from gen.control.messages import messages_in
from gen.control.origin import Origin, digest_of, digest_of_language
from gen.control.program import assemble, wrapped
from gen.control.render import Resources, clean, render
from gen.control.seal import MARKS
from gen.order.compose import compose
from gen.order.counting import can_count
from gen.plan.evaluate import resolve
from gen.plan.node import Plan, State, Telling
from gen.shop.agreement import cross_check
from gen.shop.dress import Dress
from gen.shop.edition import Edition
from gen.shop.family import number_of, recipe_for

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from decimal import Decimal

    from gen.base.finding import Finding
    from gen.base.measure import Measure
    from gen.control.model import Control
    from gen.control.options import Options
    from gen.plan.step import Register
    from gen.shop.machine import Machine
    from gen.shop.recipe import Recipe


@dataclass(frozen=True)
class Program:
    """A program with everything that was decided on the way.

    ``by_registers``: wheel and stick are read when it runs. ``others``: the dresses that stand beside it in a grinding
    program, by number, and the registers that each finds set there.
    """

    dress: Dress
    dialect: Dialect
    plan: Plan
    state: State
    by_registers: bool
    heading: Heading
    text: str
    leaves: Mapping[str, str]
    others: Mapping[int, Mapping[Register, float]] = field(default_factory=dict)
    findings: tuple[Finding, ...] = field(default=())
    measures: tuple[Measure, ...] = field(default=())

    @property
    def edition(self) -> Edition:
        """Which program of its recipe it is."""
        return self.heading.edition

    @property
    def accepted(self) -> bool:
        """Whether nothing is broken; warnings do not count."""
        return not errors_in(self.findings)


def draft(
    recipe: Recipe, machine: Machine, names: tuple[str, str], options: Options, *, to_be_run: bool = True
) -> Program:
    """The program before it is judged; one that is not ``to_be_run`` may have the numbers of one lane of many."""
    edition = options.edition(recipe)
    meant = recipe_for(edition, recipe)
    cross_check(meant, machine)
    dress = Dress(meant, machine)
    dialect = dialect_for(machine, options.control_folders)
    leaves = dialect.leaves if options.leaves is None else options.leaves
    _own_offset(machine, dialect.control)
    _must_obey_feeds(machine, dialect.control)
    _must_keep_registers(machine, dialect.control)
    machine.dresser.check_words(dialect.control.codes, dialect.control.dwell.word)
    if to_be_run:
        _must_count_lanes(dress, dialect, options)
    _must_warn(dress, dialect)
    by_registers = machine.registers is not None and dialect.control.variables is not None and not options.resolve
    edition = replace(edition, counts=can_count(dress, dialect.abilities, edition, registers=by_registers))
    state = dress.state(sizes=options.sizes(dress), length=options.length, slide_position=options.slide_position)
    # the folder of a shop's own language is this machine's affair and no name
    language = options.language if options.language in languages() else "en"
    plan = compose(
        dress,
        dialect.grid,
        dialect.abilities,
        registers=by_registers,
        edition=edition,
        say=messages_in(language, dialect.control),
        ending=options.ending,
    )
    heading = Heading(
        *names,
        {} if by_registers else _stated(dress, options),
        edition,
        language=language,
        origin=Origin(digest_of(machine), digest_of(recipe), dialect.digits, digest_of_language(options.language)),
        begins=options.begins,
    )
    _must_lead_back(heading, dialect.control)
    return Program(
        dress=dress,
        dialect=dialect,
        plan=plan,
        state=state,
        by_registers=by_registers,
        heading=heading,
        text=spell(
            dress,
            dialect,
            plan,
            state,
            heading,
            by_registers=by_registers,
            taken=options.taken,
            labels=options.labels,
            language=options.language,
        ),
        leaves=leaves,
    )


def _must_lead_back(heading: Heading, control: Control) -> None:
    """:class:`DressblockError` where the names cannot be read back from what comments of ``control`` can hold."""
    lines = [part for line in heading.lines() for part in wrapped(line, control.lexis.comment_length)]
    kept = read_heading(clean(line, control) for line in lines)
    for what, attribute in (("folder of this machine", "machine"), ("file of this recipe", "recipe")):
        name = getattr(heading, attribute)
        if kept is None or not same_name(getattr(kept, attribute), name):
            raise DressblockError(
                f"the {what} is called {said(name)}, which the comments of this control cannot hold, so that the "
                "program could not say where it is from; a name of letters A to Z, digits, hyphens and points will do."
            )


def _must_count_lanes(dress: Dress, dialect: Dialect, options: Options) -> None:
    """:class:`DressblockError` where every dress visits the next lane and the program could not count them."""
    if not dress.turns:
        return
    if options.resolve or dialect.control.variables is None:
        said = "numbers worked out once would dress the same lane each time; generate it with registers"
    elif not dialect.abilities.synchronise:
        said = "this control has no word that waits for motion, so that its programs write no register"
    else:
        return
    raise DressblockError(
        f'lanes = "next" counts the lanes in a register, and {said}, or write lanes = "all".', key="dress.lanes"
    )


def _must_warn(dress: Dress, dialect: Dialect) -> None:
    """:class:`DressblockError` where something is to be told while the program goes on, and nothing could tell it."""
    settings, able = dress.settings, dialect.abilities
    asked: tuple[tuple[str, bool, Telling], ...] = (
        ("warn_left", settings.warn_left is not None, "stick-low"),
        ("when_used_up", settings.when_used_up == "go-on", "dress-left-out"),
    )
    for key, wanted, meaning in asked:
        if not wanted or ((able.shows or meaning in able.tells) and able.synchronise):
            continue
        said = "this control has no word that waits for motion, so that its programs do not keep the stick's length"
        if able.synchronise:
            code = f"codes.{meaning.replace('-', '_')}"
            said = f"this control shows no message without stopping; name the word that tells it in {code}"
        raise DressblockError(f"{said}, or take this key out.", key=f"dress.{key}")


def _own_offset(machine: Machine, control: Control) -> None:
    """:class:`DressblockError` unless the dresser's work offset, where it has one, is the control's and its own."""
    offset = machine.dresser.offset
    if offset is None:
        return
    known = set(control.groups.get("work_offset", {})) - {control.usual_offset}
    if offset.word not in known:
        raise DressblockError(
            f'read "{offset.word}"; an offset kept for the dresser alone is wanted, one of {", ".join(sorted(known))}.',
            key="dresser.offset.word",
        )


def _must_obey_feeds(machine: Machine, control: Control) -> None:
    """:class:`DressblockError` where a plunge could run as a rapid, and nobody has said that it does not."""
    if control.frame_feeds or machine.dresser.vouched:
        return
    word = control.once["machine_frame"]
    raise DressblockError(
        f"some controls of this kind obey {word} in a rapid only, and would plunge at full speed. Try a slow feed with "
        f"{word} well clear of the wheel, and write machine_frame_feeds = true if the axis obeys it; or name an offset "
        "kept for the dresser alone in [dresser.offset].",
        key="dresser.machine_frame_feeds",
    )


def _must_keep_registers(machine: Machine, control: Control) -> None:
    """:class:`DressblockError` for a register that the control forgets when a subprogram ends, or that is its own."""
    rules, table = control.variables, machine.registers
    if rules is None or table is None:
        return
    first, last = rules.local or (1, 0)
    for name, number in table.numbered:
        if first <= number <= last:
            raise DressblockError(
                f"register {number} is one of {first} to {last}, which belong to the subprogram that runs on "
                "this control and are forgotten when it ends; use a number that is kept, even with the power off.",
                key=f"registers.{name}",
            )
    for name, (low, high) in [*((name, (one, one)) for name, one in table.numbered), ("scratch", table.scratch)]:
        own = next(((first, last) for first, last in rules.system if low <= last and first <= high), None)
        if own is not None:
            here = f"{low} is one of" if low == high else f"{low} to {high} reach into"
            raise DressblockError(
                f"{here} {own[0]} to {own[1]}, in which this control keeps what it does itself; use free numbers.",
                key=f"registers.{name}",
            )


def _stated(dress: Dress, options: Options) -> dict[str, Decimal]:
    """The state a numeric program is right for, mm, by name."""
    state = dict(zip(dress.sizes, options.sizes(dress), strict=True))
    stands = dress.first_position if options.slide_position is None else options.slide_position
    if dress.first_position is not None and stands is not None:
        state["slide_position"] = stands
    if dress.dresser.needs_length:
        state["stick_length"] = options.length or dress.stick.length
    return state


def spell(
    dress: Dress,
    dialect: Dialect,
    plan: Plan,
    state: State,
    heading: Heading,
    *,
    by_registers: bool,
    taken: frozenset[int] = frozenset(),
    labels: Sequence[int] | None = None,
    language: str = "en",
) -> str:
    """The text of ``plan``; without registers, of the plan at ``state``."""
    from gen.control.prologue import prologue

    spoken = plan if by_registers else resolve(plan, state)
    return assemble(
        render(spoken, dialect.control, dialect.words, resources(dress, labels)),
        number=number_of(heading.edition, dress.recipe),
        kind=MARKS[heading.edition.purpose],
        title=dress.recipe.title,
        heading=[*heading.lines(dress.machine.units), *prologue(dress, heading.edition, language)],
        form=heading.edition.form,
        dialect=dialect,
        taken=taken,
    )


def resources(dress: Dress, labels: Sequence[int] | None = None) -> Resources:
    """The registers, working variables and ``labels`` that a program may use on this machine."""
    table = dress.machine.registers
    if table is None:
        return Resources()
    first, last = table.labels
    return Resources(dress.register_numbers, table.scratch, range(first, last + 1) if labels is None else labels)
