"""Jumps: ``GOTO n``, ``IF [..] GOTO n``, ``IF [..] THEN #1=2``, and to labels ``IF .. GOTOF DRESS_1``."""

from __future__ import annotations

import re
from collections.abc import Callable

from gen.control.tables import Jumps as Rules
from gen.reader.builder import Builder
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import Block, GoTo, JumpDirection, JumpIf


class JumpLowering:
    """Lowers jumps to line numbers, or to labels; ``call`` lowers a block that calls or returns, and says so."""

    def __init__(self, rules: Rules, builder: Builder, call: Callable[[Source, Block], bool]) -> None:
        self._rules = rules
        self._call = call
        self._builder = builder
        self._directions: dict[str, JumpDirection] = {
            **dict.fromkeys(rules.goto, "either"),
            **dict.fromkeys(rules.forward, "forward"),
            **dict.fromkeys(rules.backward, "backward"),
        }
        self._words = sorted(self._directions, key=lambda word: -len(word))
        choice = "|".join(re.escape(word) for word in self._words)
        self._to_label = re.compile(rf"(?<![A-Z0-9_])({choice})\s+(N\s*[0-9]+|[A-Z_]{{2}}[A-Z0-9_]*)$")

    def take(self, source: Source) -> bool:
        code = source.code
        if code.startswith(self._rules.condition):
            self._conditional(source, code[len(self._rules.condition) :])
            return True
        if not self._word(code):
            return False
        self._builder.emit(self._jump(source, code))
        return True

    def finish(self) -> None:
        lowered = self._builder.lowered
        for at, jump in lowered.jumps_to_labels():
            label = int(jump.label) if isinstance(jump.label, float) else jump.label
            if not isinstance(label, tuple) and lowered.find_label(label, at, jump.direction) is None:
                self._builder.complain(jump.line, lowered.text_of(jump.line), nowhere(label))

    def _conditional(self, source: Source, code: str) -> None:
        scanner = self._builder.scanner(code)
        condition = scanner.expression() if self._rules.bare_condition else scanner.value()
        over = JumpIf(source.line, condition, when=False)
        rest = scanner.rest()
        then = bool(self._rules.then) and rest.startswith(self._rules.then)
        behind = rest[len(self._rules.then) :] if then else rest
        if self._word(behind):
            jump = self._jump(source, behind)
            self._builder.emit(over)
            self._builder.emit(jump)
        elif then:
            self._then(source, over, behind)
        else:
            raise NotUnderstood(f"a jump or an assignment is wanted after the condition, not {rest[:20]!r}")
        over.target = self._builder.here()

    def _then(self, source: Source, over: JumpIf, code: str) -> None:
        """What is done only if the condition holds: an assignment, words, or a call."""
        block = self._builder.block(source, code)
        if not block.words and not block.assignments:
            raise NotUnderstood(f"something is wanted after {self._rules.then}")
        self._builder.emit(over)
        if not self._call(source, block):
            self._builder.emit(block)

    def _word(self, code: str) -> str:
        return next((word for word in self._words if code.startswith(word)), "")

    def _jump(self, source: Source, code: str) -> GoTo:
        """The jump that ``code``, the end of ``source``, is."""
        if self._rules.target == "label":
            return self._named(source, code)
        word = self._word(code)
        scanner = self._builder.scanner(code[len(word) :].removeprefix("N"))
        target = scanner.value()
        scanner.nothing("follow the line number of a jump")
        return GoTo(source.line, target, self._directions[word])

    def _named(self, source: Source, code: str) -> GoTo:
        # a word and a label need the space between them: GOTO FIRST is not GOTOF IRST
        found = self._to_label.search(source.spaced)
        if found is None or "".join(found[0].split()) != code:
            raise NotUnderstood(f"a label is wanted after the jump, and nothing behind it, not {code[:20]!r}")
        label = "".join(found[2].split())
        number = re.fullmatch(r"N([0-9]{1,9})", label)
        return GoTo(source.line, float(number[1]) if number else label, self._directions[found[1]])


def nowhere(label: int | str) -> str:
    """What is wrong with a jump whose target does not exist."""
    return f"there is no line N{label} to jump to" if isinstance(label, int) else f"there is no label {label} there"
