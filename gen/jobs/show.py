"""The page that plays a program: the dress read with every wheel and stick that can be chosen, and told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.base.languages import told
from gen.base.lines import lines_of
from gen.bounds.block import DressBlock
from gen.bounds.readback import read_state
from gen.bounds.states import when_due
from gen.control.draft import Program
from gen.control.seal import SPLICED, blocks
from gen.host.span import Span, by_marks
from gen.jobs.check import NoDress, check_program
from gen.jobs.generate import read_program
from gen.jobs.pair import pair_at
from gen.jobs.provenance import Named, Provenance, options_as_made, provenance
from gen.jobs.trace import control_of
from gen.paper.page import halted, page
from gen.paper.page.play import Play, dress_play, plain_play
from gen.paper.shown import Shown
from gen.reader import Lowered, Reading, ReadState, lower, run
from gen.shop.dress import Dress
from gen.shop.load import load_machine

BESIDE = Decimal(1)
"""mm past the ends of a range, for the choices that show the refusal."""


@dataclass(frozen=True, slots=True)
class _Choice:
    """One value that can be chosen, as a label, and what it makes of the state."""

    label: str
    sizes: tuple[Decimal, ...] = ()
    length: Decimal | None = None
    slide_position: Decimal | None = None
    in_progress: float = 0.0
    next_lane: float = 1.0


def program_page(path: Path, named: Named, control: str = "", language: str = "en") -> str:
    """The page of the program at ``path``, as HTML.

    Machine and recipe are those that ``named`` or the program's heading names; without them the moves
    alone are shown, read as ``control`` writes them. :class:`DressblockError` where neither is known.
    """
    text = read_program(path)
    lines = lines_of(text)
    marked = by_marks(lines)
    whole = provenance(path, lines, marked[0].marked if marked else None, named)
    whole.must_know_machine(named.root)
    if whole.recipe is None:
        return _moves(text, whole, named, control, language)
    return _dress(text, marked[0] if marked else Span(1, len(lines)), whole, named, language)


def _moves(text: str, whole: Provenance, named: Named, control: str, language: str) -> str:
    """The page of a program without a dress that anything is known of."""
    path, machine = whole.path, None if whole.machine is None else load_machine(whole.machine)
    if machine is None and not control:
        raise DressblockError(
            "nothing in this program says which machine it is for; name it with --machine, or its control with "
            "--control.",
            file=path,
        )
    spoken = control_of(control, whole.machine, named.options.control_folders)
    reading = run(lower(text, spoken), ReadState())
    play = plain_play(reading, {} if machine is None else machine.axes, _halt(reading, language))
    return page(
        text,
        [play],
        [["–"]] * 3,
        _findings(path, named) if machine is not None else [],
        title=path.name,
        about=spoken.title,
        system="mm" if machine is None else machine.units,
        axis="",
        names={},
        language=language,
    )


def _dress(text: str, span: Span, whole: Provenance, named: Named, language: str) -> str:
    path, heading = whole.path, whole.heading
    assert whole.recipe is not None
    folders = named.options.control_folders
    made = replace(named.options, form="block") if heading is None else options_as_made(heading, folders)
    program = pair_at(whole.recipe, whole.machine).draft(replace(made, language="en"))
    machine = program.dress.machine
    until = _changed_line(text, program, span)
    shown = replace(program, text=text)
    sizes, seconds, flags = _choices(program, language)
    lowered = lower(text, program.dialect.control)
    plays = [
        _play(shown, lowered, span, (one, two, three), (i, j, k), until, language)
        for i, one in enumerate(sizes)
        for j, two in enumerate(seconds)
        for k, three in enumerate(flags)
    ]
    return page(
        text,
        plays,
        [[choice.label for choice in some] for some in (sizes, seconds, flags)],
        _findings(path, named),
        title=f"{program.dress.recipe.title} – {path.name}",
        about=f"{machine.title} · {program.dialect.control.title}",
        system=machine.units,
        axis=machine.dresser.axis or "",
        names={number: name for name, number in program.plan.registers.items()},
        language=language,
    )


def _play(
    program: Program,
    lowered: Lowered,
    span: Span,
    choices: tuple[_Choice, _Choice, _Choice],
    chosen: tuple[int, int, int],
    until: int | None,
    language: str,
) -> Play:
    size, second, flag = choices
    state = program.state
    if program.by_registers or second.slide_position is not None:
        state = program.dress.state(
            sizes=size.sizes,
            length=second.length,
            slide_position=second.slide_position,
            in_progress=flag.in_progress,
            next_lane=second.next_lane,
        )
    state = next(iter(when_due(program, [state])))
    start = read_state(program, state)
    registers = set(program.plan.registers.values())
    reading = run(lowered, start, registers=registers, window=(range(span.first, span.last + 1),))
    halt = _halt(reading, language) if until is None else halted(language, "altered", until)
    numbers = {number: state.values.get(name) for name, number in program.plan.registers.items()}
    return dress_play(
        reading,
        DressBlock(reading, span.first, span.last).run,
        program.dress,
        state,
        numbers if program.by_registers else {},
        chosen=chosen,
        until=until,
        halt=halt,
    )


def _halt(reading: Reading, language: str) -> str:
    """Why the program is not played to its end, in words; empty if it is."""
    if reading.unread:
        return halted(language, "unread", min(one.line for one in reading.unread))
    return halted(language, "budget", 0) if reading.end == "budget" else ""


def _changed_line(text: str, program: Program, span: Span) -> int | None:
    """The first line that is not as it was generated; None where the body has the digest that it states."""
    lines = lines_of(text)
    altered = [block for block in blocks(lines, SPLICED) if block.altered]
    if not altered:
        return None
    ours = lines_of(program.text)
    if span.first == 1 or len(ours) == len(lines):
        for number, (there, here) in enumerate(zip(lines, ours, strict=False), 1):
            if there != here:
                return max(number, altered[0].first)
    return altered[0].first


def _findings(path: Path, named: Named) -> list[Finding]:
    try:
        return check_program(path, named)
    except NoDress:
        return []


def _choices(program: Program, language: str) -> tuple[list[_Choice], list[_Choice], list[_Choice]]:
    """What can be chosen: wheel sizes, stick lengths or places of the slide, and whether a dress is in progress."""
    dress = program.dress
    shown = Shown(dress.machine.units, language)
    places = sorted({Decimal(repr(value)) for state in dress.corners() for value in state.positions.values()})
    if not program.by_registers:
        sizes = [Decimal(repr(program.state.values[one.size_name])) * dress.register_unit for one in dress.wheels]
        stated = [_Choice(" / ".join(map(shown.length, sizes)))]
        return stated, [_Choice(_word("as-stated", shown))], [_Choice(_word("no", shown))]
    seconds = [_Choice(shown.length(place), slide_position=place) for place in places]
    flags = [_Choice(_word("no", shown)), _Choice(_word("yes", shown), in_progress=1.0)]
    progress = flags if "in_progress" in program.plan.registers else flags[:1]
    return list(_sizes(dress, shown)), seconds or list(_lengths(program, shown)), progress


def _word(word: str, shown: Shown) -> str:
    return told(shown.language, "page_choice", word, template="page.j2")


def _sizes(dress: Dress, shown: Shown) -> Iterator[_Choice]:
    ends = [wheel.size_range for wheel in dress.wheels]
    rows: Sequence[tuple[str, tuple[Decimal, ...]]] = (
        ("new", tuple(new for _, new in ends)),
        ("middle", tuple((worn + new) / 2 for worn, new in ends)),
        ("worn", tuple(worn for worn, _ in ends)),
        ("too-small", tuple(worn - BESIDE for worn, _ in ends)),
        ("too-large", tuple(new + BESIDE for _, new in ends)),
    )
    for word, sizes in rows:
        yield _Choice(f"{' / '.join(map(shown.length, sizes))} ({_word(word, shown)})", sizes=sizes)


def _lengths(program: Program, shown: Shown) -> Iterator[_Choice]:
    dress = program.dress
    least, full = dress.length_range
    for word, length in (
        ("full", full),
        ("middle", (least + full) / 2),
        ("last", least),
        ("left-out" if dress.leaves_out(program.edition) else "too-short", least - BESIDE),
        ("too-long", full + BESIDE),
    ):
        yield _Choice(f"{shown.length(length)} ({_word(word, shown)})", length=length)
    for number in range(2, len(dress.turns) + 1):
        lane = f"{_word('lane', shown)} {number}"
        yield _Choice(f"{shown.length(full)} ({lane})", length=full, next_lane=number)
