"""From text to instructions, once; the flow constructs are those the control has."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from itertools import groupby

from gen.control.model import Control
from gen.reader.alike import patterns_of
from gen.reader.builder import Builder, Construct
from gen.reader.declared import CallsByName, Declared
from gen.reader.failure import NotUnderstood
from gen.reader.fast import Shapes, shapes_of
from gen.reader.jumps import JumpLowering
from gen.reader.keyword_flow import KeywordFlow
from gen.reader.lexis import Source, lexer_of
from gen.reader.loops import NumberedLoops
from gen.reader.o_words import OWordFlow
from gen.reader.program import MANY_SWITCHES, Block, Comment, EndOfText, Jump, JumpIfDeleted, Lowered, PlainLines
from gen.reader.reading import Budget
from gen.reader.subprograms import NumberedPrograms
from gen.reader.targets import target_lines
from gen.reader.word import spelled

_ALIKE = 4
"""Lines of one shape in a row from which on it pays to take them apart together."""

_TOGETHER = 4000
"""As many of them at a time, so that their parts do not pile up."""

_SLICE = 1_000_000
"""Characters."""


def lower(text: str, control: Control, *, budget: Budget | None = None, fast: bool = True) -> Lowered:
    """``text`` made ready to run. Never raises: what is not understood stands in ``unread``.

    ``fast`` false leaves out the tier for plain lines; the result of a run is the same.
    """
    if len(text) > (budget or Budget()).text:
        return Lowered(control, too_long=True)
    return _Lowering(control).lower(text, fast)


class _Lowering:
    def __init__(self, control: Control) -> None:
        self._builder = Builder(control)
        self._lexer = lexer_of(control)
        self._patterns = patterns_of(control)
        self._constructs: list[Construct] = []
        flow = control.flow
        self._programs = None
        if flow.subprograms or flow.program_letter:
            self._programs = NumberedPrograms(flow, self._builder)
            self._constructs.append(self._programs)
        if flow.declarations:
            self._constructs.append(Declared(flow.declarations, self._builder))
        if flow.subprograms and flow.subprograms.by_name:
            # before the words of blocks and jumps, with which a name may begin
            self._constructs.append(CallsByName(self._builder))
        if flow.blocks:
            self._constructs.append(KeywordFlow(flow.blocks, self._builder))
        if flow.o_words:
            self._constructs.append(OWordFlow(flow.o_words, self._builder))
        if flow.jumps:
            call = self._programs.emit if self._programs is not None else lambda source, block: False
            self._constructs.append(JumpLowering(flow.jumps, self._builder, call))
        if flow.loops:
            self._constructs.append(NumberedLoops(flow.loops, self._builder))
        self._begun = False
        self._ended = False
        self._targets: list[int] = []

    def lower(self, text: str, fast: bool) -> Lowered:
        builder, lowered = self._builder, self._builder.lowered
        if "\r" in text:
            text = text.replace("\r\n", "\n")
        lowered.text = text
        self._targets = target_lines(text, builder.control)
        shapes = shapes_of(builder.control)
        done = 0
        for slice_ in _slices(text):
            done = self._slice(slice_.encode(errors="replace"), done, shapes, fast)
        for construct in self._constructs:
            construct.finish()
        lowered.entry = _entry(lowered)
        if len(lowered.delete_switches) > MANY_SWITCHES:
            line = next(item.line for item in lowered.code if isinstance(item, JumpIfDeleted))
            why = f"of more than {MANY_SWITCHES} block-delete switches, not every combination is read"
            builder.complain(line, "", why)
        return lowered

    def _slice(self, data: bytes, done: int, shapes: Shapes, fast: bool) -> int:
        """Lowers the lines of ``data``, before which ``done`` are done already; the number done then."""
        lines, before = data.split(b"\n"), done
        at = done = 0
        for letters, same in groupby(data.translate(None, shapes.filling).split(b"\n") if fast else ()):
            end = at + len(list(same))
            for first, last in self._between_targets(at, end, before):
                if last - first >= _ALIKE:
                    self._one_by_one(lines[done:first], before + done + 1, shapes)
                    for done in range(first, last, _TOGETHER):
                        self._alike(lines[done : min(done + _TOGETHER, last)], letters, before + done + 1, shapes)
                    done = last
            at = end
        self._one_by_one(lines[done:], before + done + 1, shapes if fast else None)
        return before + len(lines)

    def _between_targets(self, at: int, end: int, before: int) -> Iterator[tuple[int, int]]:
        """The stretches of lines from ``at`` to ``end`` that no jump leads into; ``before`` lines come before 0."""
        targets = self._targets
        for place in range(bisect_left(targets, before + at + 1), bisect_right(targets, before + end)):
            target = targets[place] - before - 1
            yield at, target
            at = target + 1
        yield at, end

    def _alike(self, lines: list[bytes], letters: bytes, first: int, shapes: Shapes) -> None:
        """As :meth:`_one_by_one`, for lines of one shape."""
        found = None if self._ended else shapes.find_all(letters, lines, first)
        if found is None:
            self._one_by_one(lines, first, shapes)
        else:
            self._builder.emit(found)
            self._begun = True

    def _one_by_one(self, lines: list[bytes], first: int, shapes: Shapes | None) -> None:
        """Lowers ``lines``, the plain ones that follow each other as one."""
        run: PlainLines | None = None
        low, high = bisect_left(self._targets, first), bisect_right(self._targets, first + len(lines))
        targets = frozenset(self._targets[low:high])
        for number, raw in enumerate(lines, first):
            found = None if shapes is None or self._ended or number in targets else shapes.find(raw)
            if found is not None:
                if run is None:
                    run = PlainLines([])
                    self._builder.emit(run)
                    self._begun = True
                run.items.append((number, *found))
            elif raw:
                text = raw.decode(errors="replace")
                known = shapes is not None and self._again(number, text)
                run = None if known or self._line(number, text, learn=shapes is not None) else run

    def _again(self, number: int, text: str) -> bool:
        """Lowers a line that is an earlier one with other numbers; False if it is none."""
        found = None if self._ended else self._patterns.block(number, text)
        if found is None:
            return False
        block, label = found
        lowered = self._builder.lowered
        if label is not None:
            lowered.labels.setdefault(label, []).append(self._builder.here())
        self._builder.emit(block)
        self._begun = True
        return True

    def _line(self, number: int, text: str, *, learn: bool) -> bool:
        """Lowers one line; False if it did nothing at all, so that plain lines around it stay together."""
        if self._lexer.is_tape_mark(text):
            self._ended = self._ended or self._begun
            self._begun = True
            return False
        source = self._lexer.source(number, text)
        builder = self._builder
        if self._ended:
            if source.code:
                builder.unread(source, "this stands after the end of the tape")
            return True
        if source.refused:
            builder.unread(source, source.refused)
            self._begun = True
            return True
        before = builder.here()
        if source.label is not None:
            builder.lowered.labels.setdefault(source.label, []).append(before)
        if source.name:
            builder.lowered.labels.setdefault(source.name, []).append(before)
        labelled = source.label is not None or bool(source.name)
        acting = bool(source.messages or source.acts) or source.stops is not None
        if not source.code and not acting and not source.deletable:
            return labelled
        self._begun = self._begun or bool(source.code)
        skip = JumpIfDeleted(number, source.switch) if source.deletable else None
        if skip is not None:
            builder.emit(skip)
        if source.acts or source.stops is not None:
            builder.emit(Comment(number, source.acts, source.stops))
        try:
            block = self._code(source)
            if learn and block is not None and builder.here() == before + 1:
                self._patterns.learn(text, source, block)
        except NotUnderstood as error:
            builder.unread(source, f"{error}")
        if skip is not None:
            skip.target = builder.here()
        return bool(source.code) or labelled or builder.here() != before

    def _code(self, source: Source) -> Block | None:
        """Lowers the code of a line; the block that it is, if it directs no flow."""
        builder, code = self._builder, source.code
        if any(construct.take(source) for construct in self._constructs):
            return None
        block = builder.block(source, source.code)
        if self._programs is not None and self._programs.emit(source, block):
            return None
        if block.words or block.assignments or block.messages:
            builder.emit(block)
            return block if source.code is code else None
        return None


def _slices(text: str) -> Iterator[str]:
    """``text`` in pieces of whole lines, so that a long one is never held in parts as a whole."""
    begin = 0
    while (end := text.find("\n", begin + _SLICE)) >= 0:
        yield text[begin:end]
        begin = end + 1
    yield text[begin:]


def _entry(lowered: Lowered) -> int:
    """Where a run begins: at the top, or inside the first of the subprograms if there is nothing else."""
    at = 0
    while at < len(lowered.code):
        item = lowered.code[at]
        if isinstance(item, Jump) and at + 1 in lowered.programs.values() and item.target > at:
            at = item.target
        elif isinstance(item, EndOfText) or _only_ends(item, lowered):
            at += 1
        else:
            return 0
    first = min(lowered.programs.values(), default=0)
    return first if lowered.control.flow.o_words else 0


def _only_ends(item: object, lowered: Lowered) -> bool:
    codes = lowered.control.codes
    ends = {codes.get("end"), codes.get("end_rewind")}
    if isinstance(item, Block) and not item.assignments and len(item.words) == 1:
        word = item.words[0]
        return isinstance(word.value, float) and spelled(word.letter, word.value) in ends
    return False
