"""One program and one recipe: found, read, refused or proven, and written whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field, replace
from functools import partial
from itertools import count, product
from pathlib import Path
from typing import Literal

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.files import write_whole
from gen.base.finding import Finding, errors_in
from gen.base.lines import lines_of
from gen.base.together import together
from gen.bounds import judge
from gen.bounds.all_states import EXPRESSION_TOLERANCE
from gen.bounds.case import Case
from gen.bounds.readback import case_of, read_state
from gen.bounds.states import idle_states, left_out_states, when_due
from gen.control.dialect import Dialect, dialect_for
from gen.control.draft import Program, resources
from gen.control.options import Options
from gen.control.origin import Origin, cause, same_but_origin
from gen.control.program import sealed
from gen.control.render import comment, render
from gen.control.seal import MarkedBlock, blocks
from gen.host.clashes import clashes, free_labels, numbers_in
from gen.host.elsewhere import with_subprogram
from gen.host.onward import asks_for
from gen.host.place import Place, find
from gen.host.point import HostPoint
from gen.host.proof import Proof
from gen.host.refusals import against_place, against_position, against_state, against_stick_moves
from gen.host.restore import ending, leaves
from gen.host.said import broken, unproven
from gen.host.text import HostLines
from gen.host.two_dresses import against_each_other
from gen.host.waits import is_at_speed
from gen.host.way_back import against_return, way_back
from gen.jobs.generate import BYTE_ORDER_MARK, read_program, read_text
from gen.jobs.others import OtherDress, found_by, other_dresses, with_called
from gen.jobs.pair import Pair, pair_at
from gen.jobs.provenance import heading_in
from gen.order.counting import asks, if_due
from gen.plan.differences import differences
from gen.plan.evaluate import at, resolve
from gen.plan.node import Guard, Leave, Node, State, When, walk
from gen.reader import lower
from gen.reader.reading import Budget
from gen.reader.rereading import Rereading
from gen.shop.dress import Dress
from gen.shop.edition import Form
from gen.shop.family import number_of, recipe_for


@dataclass(frozen=True)
class Asked:
    """What the person who splices chooses: the place, ``call`` in place of the block, the way back, the state.

    ``files``: programs that the program calls.
    """

    after: str | None = None
    call: bool = False
    back: bool = False
    files: tuple[Path, ...] = ()
    options: Options = field(default_factory=Options)

    @classmethod
    def as_made(cls, lines: list[str], block: MarkedBlock, options: Options, files: tuple[Path, ...]) -> Asked:
        """What was asked for when ``block`` was put among ``lines`` with ``options``."""
        back = any(one.number == block.number for one in blocks(lines, ("RETURN",)))
        return cls(None, block.kind == "CALL", back, files, replace(options, form=None))


@dataclass(frozen=True)
class Spliced:
    """What became of one program: its new ``text``, the lines of the dress in it, and all that was found.

    ``text`` is None where the dress was refused, and findings are then at the lines of the program as it lies there;
    else at those of ``text``. ``held`` tells whether what stood there was changed by hand, and ``cause`` what that no
    longer follows from. ``same``: nothing changes but what the dress is said to be made from. ``others``: the dresses
    that stand beside it, and how each would be put there again.
    """

    path: Path
    number: int
    form: Literal["block", "call"]
    findings: tuple[Finding, ...]
    text: str | None = None
    lines: range = range(0)
    same: bool = False
    by_registers: bool = False
    held: bool = False
    cause: str = ""
    others: tuple[tuple[OtherDress, Asked], ...] = ()

    @property
    def refused(self) -> bool:
        return bool(errors_in(self.findings))


def prepare_spliced(host: Path, recipe_path: Path, asked: Asked, text: str | None = None) -> Spliced:
    """The program at ``host``, or its ``text``, with the dress of ``recipe_path`` in it; nothing is written.

    :class:`DressblockError` where a file cannot be used, or the program has no place for it.
    """
    pair = pair_at(recipe_path)
    if asked.options.after_truing and pair.recipe.dress.after_truing is None:
        raise DressblockError(
            "this recipe has no first opening of its own after truing; leave out --after-truing, or give it the table.",
            file=recipe_path,
            key="dress.after_truing",
        )
    whole = read_text(host) if text is None else text
    text = whole.removeprefix(BYTE_ORDER_MARK)
    files = [(file, read_program(file)) for file in asked.files]
    if len(text) > Budget().text:
        raise DressblockError(f"this program is longer than the {Budget().text} characters that are read.", file=host)
    try:
        job = _Job(host, text, files, pair, asked)
        said, program = job.run(), job.program
        placed = (program.placed(one, said.text or program.text) for one in said.findings)
        said = replace(said, findings=tuple(together(placed)))
        if said.text is None:
            return said
        return replace(said, text=whole[: len(whole) - len(text)] + program.taken_apart(said.text))
    except DressblockError as error:
        raise (error.where(pair.file_of) if error.key else error.within(host)) from None


def compare_spliced(job: Spliced) -> Spliced:
    """``job`` with a finding where its program is not what would be written now; nothing is written."""
    if job.refused or job.same:
        return job
    rule, what = ("altered", "was changed by hand") if job.held else ("drift", f"no longer follows from {job.cause}")
    reason = f"dress {job.number} in this program {what}; splice it again, and prove it out."
    return replace(job, findings=(*job.findings, Finding(rule, job.lines.start, "error", "changed", reason)))


def write_spliced(job: Spliced, out: Path, *, force: bool = False) -> Spliced:
    """Writes the program of ``job`` to ``out``, whole; what was changed by hand stays unless ``force``."""
    if job.refused or job.text is None:
        return job
    if job.held and not force:
        reason = f"dress {job.number} was changed by hand in this program and is kept; use --force to replace it."
        return replace(job, findings=(Finding("altered", None, "error", "changed", reason),), text=None)
    found = [*job.findings, *_beside(job)]
    if errors_in(found):
        return replace(job, findings=tuple(found), text=None)
    write_whole(out, job.text.encode("utf-8", errors="surrogateescape"))
    return replace(job, findings=tuple(found))


def _beside(job: Spliced) -> Iterator[Finding]:
    """What the dress of ``job`` does to the others in its program: each must be proven with it too."""
    for other, asked in job.others:
        again = prepare_spliced(job.path, other.recipe, asked, job.text)
        number = other.block.number
        for one in errors_in(again.findings):
            yield replace(one, line=other.block.first, message=f"dress {number} beside this one: {one.message}")
        if not again.refused and not again.same:
            said = f"dress {number} in this program is another one beside this; splice it again too."
            yield Finding("drift", again.lines.start, "warning", "changed", said)


class _Job:
    def __init__(self, path: Path, text: str, files: Sequence[tuple[Path, str]], pair: Pair, asked: Asked) -> None:
        self.path = path
        self.pair = pair
        self.machine = pair.machine
        self.asked = asked
        form: Form = "subprogram" if asked.call else "block"
        # whether the spindle was waited for is found anew
        self.options = replace(pair.chosen(asked.options), form=form, at_speed=False)
        self.dialect: Dialect = dialect_for(self.machine, self.options.control_folders)
        self.edition = self.options.edition(pair.recipe)
        self.number = number_of(self.edition, pair.recipe)
        lines = lines_of(text)
        self.beside = list(other_dresses(path, lines, self.number, pair.machine_path, self.options.control_folders))
        others = [one for one in self.beside if isinstance(one, OtherDress)]
        self.others = tuple((one, Asked.as_made(lines, one.block, one.options, asked.files)) for one in others)
        self.program = with_called(text, files, others, self.dialect.control)
        self.text = self.program.text
        self.place: Place = find(self.text, self.dialect.control, self.number, asked.after)
        self.point = HostPoint(self.place, self.dialect.control)
        numbered = self.place.bare.bare if self.dialect.number_step else ()
        self.taken = numbers_in(numbered, self.dialect.control)
        self.of_the_dress: set[Finding] = set()
        self.found = found_by(others)

    def run(self) -> Spliced:
        free = self.pair.build(self.options)
        if not free.accepted:
            return self._told([*free.findings])
        found = list(self._against_others(free))
        if errors_in(found):
            return self._told(found)
        points = list(self._points(free, free.state))
        found += [finding for point in points for finding in against_place(point)]
        if errors_in(found):
            return self._told(found)
        for point in points:
            found += against_state(point, self.dialect, self.machine)
            found += against_position(point, self.machine)
            found += against_stick_moves(point, self.machine)
            found += against_return(point, free.dress) if self.asked.back else ()
        if errors_in(found):
            return self._told(found)
        program = self._drafted(points, free)
        lines = self._lines(points[0], program)
        found += clashes(
            self.place,
            self.dialect.control,
            free.dress,
            registers=program.by_registers,
            calls=self.number if self.asked.call else None,
        )
        found += self._once(program)
        spliced = self.place.bare.with_lines(self.place.after, lines)
        if not self.text.endswith(("\n", "\r")) and self.place.after == len(self.place.bare):
            spliced = HostLines(spliced.text.removesuffix("\n").removesuffix("\r"))
        if not errors_in(found):
            found += self._proven(program, spliced, len(lines))
        if errors_in(found):
            return self._told(found)
        return replace(
            self._told([self._as_written(one, len(lines)) for one in found]),
            text=spliced.text,
            lines=range(self.place.after + 1, self.place.after + 1 + len(lines)),
            same=same_but_origin(self._before(), spliced.part(self.place.after + 1, self.place.after + len(lines))),
            by_registers=program.by_registers,
            held=self.place.altered,
            cause=cause(program.heading.origin, self._origin_before()),
        )

    def _before(self) -> str:
        """What stood at the place."""
        old = self.place.old
        return HostLines(self.text).part(old[0].first, old[-1].last) if old else ""

    def _origin_before(self) -> Origin | None:
        """What the dress that stood here says that it was made from."""
        heading = heading_in(lines_of(self.text), self.place.old[0]) if self.place.old else None
        return None if heading is None else heading.origin

    def _told(self, found: list[Finding]) -> Spliced:
        findings = tuple(sorted(dict.fromkeys(found), key=lambda one: (one.severity != "error", one.line or 0)))
        form: Literal["call", "block"] = "call" if self.asked.call else "block"
        return Spliced(self.path, self.number, form, findings, others=self.others)

    # -- readings without the dress

    def _points(self, program: Program, state: State) -> Iterator[HostPoint]:
        """The place, read with the block-delete switches off and, where that matters, on, in every combination.

        So, too, with other dresses that come, and that the program passes over.
        """
        start = read_state(program, state)
        for held, switches in product(self.found, self.point.lowered.delete_settings):
            yield self.point.at(replace(start, block_delete=switches, others=held))

    def _against_others(self, program: Program) -> Iterator[Finding]:
        """Whether ``program`` can stand beside the other dresses."""
        for other in self.beside:
            if isinstance(other, OtherDress):
                yield from against_each_other(program, other.program, other.block.first)
            elif self.dialect.control.variables is not None:
                yield other

    def _labels(self, program: Program) -> tuple[int, ...]:
        """The labels that the dress of ``program`` may use; what is read along has labels of its own."""
        table = self.machine.registers
        if table is None or self.dialect.control.variables is None:
            return ()
        bare, old = self.place.bare.bare, lines_of(self._before())
        lines = bare[: len(bare) - self.program.added]
        return free_labels(table, lines, old, lines_of(program.text), self.dialect.control)

    def _free_beside(self, program: Program) -> list[int]:
        """Those that the subprogram ``program`` does not have, where a control reads both as one text."""
        own = 2 * sum(isinstance(node, (When, Guard)) for node in walk(program.plan.nodes))
        taken = set(resources(program.dress).labels[:own])
        return [one for one in self._labels(program) if one not in taken]

    # -- the dress in the program's own words

    def _drafted(self, points: Sequence[HostPoint], free: Program) -> Program:
        """The program of the dress: a block that leaves what is in force, or the subprogram as it stands alone."""
        if self.asked.call:
            return self.pair.draft(self.options)
        dress = Dress(recipe_for(self.edition, self.pair.recipe), self.machine)
        chosen = replace(
            self.options,
            ending=ending(points[0], self.dialect, dress),
            leaves=leaves(points[0]),
            at_speed=self.edition.dresses
            # ``check`` proves it anew, and has not those files
            and not self.asked.files
            and all(is_at_speed(point, dress) for point in points),
            taken=self.taken,
            labels=self._labels(free),
        )
        return self.pair.draft(chosen)

    def _lines(self, point: HostPoint, program: Program) -> list[str]:
        """All that is put into the program."""
        lines = self._call(point, program) if self.asked.call else HostLines(program.text).bare
        if not self.asked.back or program.edition.counts:
            return lines
        return [*lines, *self._way_back(point, program, [*self.taken, *numbers_in(lines, self.dialect.control)])]

    def _way_back(self, point: HostPoint, program: Program, taken: Sequence[int], *, within: bool = False) -> list[str]:
        try:
            return way_back(point, self.dialect, program.dress, self.number, taken, within=within)
        except ValueError as error:
            raise DressblockError(f"the way back cannot be written: {error}; leave out --return.") from None

    def _call(self, point: HostPoint, program: Program) -> list[str]:
        """The call, and what puts the program back; where the parts are counted, that only if a dress was due."""
        control, words, due = self.dialect.control, self.dialect.words, program.dress.settings.every_parts
        names = [comment(line, control, words) for line in program.heading.lines(program.dress.machine.units)]
        before: tuple[Node, ...] = ()
        labels, free = count(), self._free_beside(program)
        behind = ending(point, self.dialect, program.dress)
        if program.edition.counts and due is not None:
            back = self._way_back(point, program, (), within=True) if self.asked.back else ()
            before = tuple(asks(due, self.dialect.abilities, labels))
            behind = (if_due(due, labels, (*behind, *(Leave((line,)) for line in back))),)
        said = partial(render, control=control, words=words, resources=resources(program.dress, free))
        first, last = (said(replace(program.plan, nodes=nodes)) for nodes in (before, behind))
        body = [*names, *first, words.say("subprogram_call", number=self.number), *last]
        return sealed(body, kind="CALL", number=self.number, dialect=self.dialect, taken=self.taken)

    def _once(self, program: Program) -> Iterator[Finding]:
        dress = program.dress
        yield from self._every_time(program)
        if program.by_registers or not dress.dresser.needs_length:
            return
        if self.point.routes.comes_again:
            yield broken(
                "host-once",
                self.place.after,
                "the program passes this place more than once in a run, and a dress in numbers is right for one length "
                "of the stick; use registers or a dresser set to a stand-off.",
            )
        else:
            yield unproven(
                "host-once",
                None,
                "this control or machine has no registers, so that the block is right for one length of the stick; put "
                "it in anew, with --stick-length, before the program runs again.",
                "warning",
            )

    def _every_time(self, program: Program) -> Iterator[Finding]:
        """Where a dress is asked for every so many parts, and neither block nor program counts them."""
        parts, table = program.dress.settings.every_parts, program.dress.machine.registers
        counter = None if table is None else table.parts_since_dress
        if parts is None or program.edition.counts or not program.edition.dresses:
            return
        if counter is not None and asks_for(self.point.routes.asking, {counter}):
            return
        helps = "let the program pass over it otherwise"
        if counter is not None and not self.asked.call and self.dialect.abilities.synchronise:
            helps = f"--as call counts them, or let the program read register {counter} and pass over it otherwise"
        yield unproven(
            "host-once",
            None,
            f"dress.every_parts asks for a dress every {parts} parts, and this one comes every time the program passes "
            f"it; {helps}.",
            "warning",
        )

    # -- readings with it

    def _proven(self, program: Program, spliced: HostLines, count: int) -> list[Finding]:
        first = self.place.after + 1
        region = range(first, first + count)
        whole: HostLines = spliced
        ours: tuple[range, ...] = (region,)
        if self.asked.call:
            whole, ours = with_subprogram(spliced, region, program.text, self.dialect.control, self.number)
        lowered = lower(whole.text, self.dialect.control)
        begins = next((at for at, item in enumerate(lowered.code) if first <= item.line), None)
        passages = Rereading(lowered, ours, place=begins)
        marks = list(blocks(spliced.bare))
        dresses = () if self.asked.call else (one for one in marks if one.number == self.number)
        own = next(((one.first, one.last) for one in dresses), None)
        window = ours if own is None else (range(own[0], own[1] + 1),)
        judged = Rereading(lowered, window, set(program.plan.registers.values()), begins)
        found: list[Finding] = []
        apart: list[Finding] = []
        cases: list[Case] = []
        for state in self._states(program):
            for here in self._points(program, state):
                reading = passages.run(here.state)
                proof = Proof(here, whole, reading, program.dress)
                found += proof.findings()
                if own is not None:
                    read = judged.run(here.state)
                    case = case_of(program, lowered, state, text=spliced.text, marks=marks, span=own, reading=read)
                    apart += _as_planned(program, state, case, here)
                    cases.append(case)
        # what follows the dress is proven above, more sharply
        said = (one for one in judge(cases).findings if one.rule != "host-continues") if cases else ()
        # where it parts from its plan at one state, others say the same in other numbers
        return [*found, *apart[:1], *(self._in_host(one, region) for one in said)]

    def _in_host(self, finding: Finding, region: range) -> Finding:
        """``finding`` at the line of the program as it lies there, unless it is about the dress itself."""
        if finding.line is None or finding.line < region.stop:
            self.of_the_dress.add(finding)
            return finding
        return replace(finding, line=self.place.in_file(finding.line - len(region)))

    def _as_written(self, finding: Finding, count: int) -> Finding:
        """``finding`` at the line it has in the written program, into which so many lines were put."""
        line, place = finding.line, self.place
        if line is None or line <= place.after or finding in self.of_the_dress:
            return finding
        return replace(finding, line=line + count - (place.in_file(place.after + 1) - place.after - 1))

    def _states(self, program: Program) -> Iterator[State]:
        if not program.by_registers:
            yield program.state
            return
        yield from when_due(program, [program.state, *program.dress.corners()])
        yield from idle_states(program)
        yield from when_due(program, left_out_states(program))


def _as_planned(program: Program, state: State, case: Case, point: HostPoint) -> Iterator[Finding]:
    """Whether the block does in the program what its plan says it does."""
    known = {axis: one.at for axis, one in point.here.axes.items() if one.at is not None}
    begin = replace(state, positions={**state.positions, **known})
    plan = program.plan if program.by_registers else resolve(program.plan, state)
    steps = [case.reading.steps[index] for index in case.block.run]
    tolerance = EXPRESSION_TOLERANCE if program.by_registers else 0.0
    if parted := differences(at(plan, begin), steps, tolerance=tolerance):
        yield broken("host-unchanged", case.first, f"the block does not read back as planned here: {parted[0]}.")
