"""A plan in a control's words.

The plan decides, the template spells: each kind of node and each operator is a
macro of ``templates/controls/NAME/words.j2``, or where that has none, of
``templates/controls/common.j2``. A macro gets words and written numbers, never
a quantity it would have to work with.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import TemplateError

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.base.sandbox import Sandbox, reason
from gen.control.letters import within
from gen.control.model import Control
from gen.control.numbers import plain_number, whole, written
from gen.plan.expression import Expr, Num, Operation, Rounded, Var
from gen.plan.node import (
    Finish,
    Flood,
    Guard,
    Leave,
    Let,
    Modes,
    Node,
    Pause,
    Plan,
    Press,
    Remark,
    Store,
    Switch,
    Travel,
    Turn,
    Wait,
    Warn,
    When,
    walk,
)
from gen.plan.step import ROTARY


@dataclass(frozen=True, slots=True)
class Resources:
    """What a program may use of its machine: register numbers by name, working variables, labels."""

    registers: Mapping[str, int] = field(default_factory=dict)
    scratch: tuple[int, int] = (1, 0)
    labels: Sequence[int] = ()


_COMMAND = re.compile(r"^(\w+) ?,")


_SHORT, _MANY = 300, 5000
"""How long a text is, at most, whose spelling is kept, and how many are."""


class Words:
    """The macros of one control's folder, the common ones behind them."""

    def __init__(self, folder: Path) -> None:
        self._sandbox = Sandbox(folder, data_folder("templates") / "controls")
        self._modules = [self._module(name) for name in ("words.j2", "common.j2")]
        self.folder = folder
        self._said: dict[tuple[str, str], str] = {}

    def _module(self, name: str) -> Any:
        template = self._sandbox.load(name)
        self._sandbox.refill()
        try:
            return template.module
        except (TemplateError, TypeError, RecursionError) as error:
            raise DressblockError(
                f"this template cannot be used: {reason(error)}.", file=self._sandbox.folder / name
            ) from None

    def say(self, macro: str, **values: Any) -> str:
        """What ``macro`` makes of ``values``, without blank lines.

        It is kept: a macro can do nothing but spell, and most lines are in every program.
        """
        key = macro, repr(values)
        said = self._said.get(key)
        if said is None:
            said = self._spelled(macro, values)
            if len(key[1]) < _SHORT:
                if len(self._said) >= _MANY:
                    self._said.clear()
                self._said[key] = said
        return said

    def _spelled(self, macro: str, values: dict[str, Any]) -> str:
        for module in self._modules:
            if spelled := getattr(module, macro, None):
                self._sandbox.refill()
                try:
                    return _tidy(str(spelled(**values)))
                except RecursionError:
                    why = "it calls itself without end"
                except (TemplateError, TypeError, ValueError) as error:
                    why = reason(error)
                raise DressblockError(f'the macro "{macro}" fails: {why}.', file=self.folder / "words.j2")
        raise DressblockError(f'there is no macro "{macro}"; add one to spell it.', file=self.folder / "words.j2")


@lru_cache(maxsize=32)
def words_in(folder: Path) -> Words:
    """The macros in ``folder``; :class:`DressblockError` where its templates cannot be used."""
    return Words(folder)


def _tidy(text: str) -> str:
    return "\n".join(line.strip() for line in text.splitlines() if line.strip())


def render(plan: Plan, control: Control, words: Words, resources: Resources | None = None) -> list[str]:
    """The lines of ``plan``, without heading and numbering.

    Raises :class:`DressblockError` where the machine's working variables or
    labels do not suffice.
    """
    writer = _Writer(plan, control, words, resources or Resources())
    return writer.all(plan.nodes)


def comment(text: str, control: Control, words: Words) -> str:
    """``text`` as a comment line of the control, cleaned to what its comments may hold."""
    return words.say("comment", text=clean(text, control))


def clean(text: str, control: Control) -> str:
    """``text`` in what a comment of ``control`` may hold; what cannot be spelled with it becomes a space.

    A first word with a comma behind it loses the comma: such comments are commands on some controls.
    """
    return _clean(text, control.lexis.comment_letters, control.lexis.comment_length)


@lru_cache(maxsize=2000)
def _clean(text: str, letters: str, length: int) -> str:
    has_lower = re.match(rf"[{letters}]", "a") is not None
    kept = within(text if has_lower else text.upper(), letters)
    words = _COMMAND.sub(r"\1 ", " ".join(kept.split()))
    return words[:length].rstrip()


class _Writer:
    """One rendering: which scratch variable holds which local, and the lines so far."""

    def __init__(self, plan: Plan, control: Control, words: Words, resources: Resources) -> None:
        self.plan = plan
        self.control = control
        self.words = words
        self.resources = resources
        self.places = control.numbers.mm if plan.mm_per_unit == 1 else control.numbers.inch
        self.locals: dict[str, int] = {}

    def all(self, nodes: Sequence[Node]) -> list[str]:
        return [line for node in nodes for text in self.one(node) for line in text.splitlines()]

    def one(self, node: Node) -> Iterator[str]:
        say, codes = self.words.say, self.control.codes
        match node:
            case Modes():
                yield say("modes", words=[self.control.word(group, meaning) for group, meaning in node.stated])
            case Leave():
                yield say("modes", words=list(node.words))
            case Remark():
                yield comment(node.text, self.control, self.words)
            case Travel():
                yield self.travel(node)
            case Turn(direction="off"):
                yield say("switch", code=codes["spindle_off"])
            case Turn():
                speed = whole(node.rpm.value) if isinstance(node.rpm, Num) else self.word(node.rpm, 0)
                yield say("turn", code=codes[f"spindle_{node.direction}"], speed=speed)
            case Wait():
                yield self.wait(node)
            case Flood():
                yield say("switch", code=codes["coolant_on" if node.on else "coolant_off"])
            case Let():
                value = self.expression(node.value)
                yield say("let", number=self.local(node.name), value=value, remark=self.remark(node.remark))
            case Store():
                value = self.expression(node.value)
                remark = self.remark(node.register.replace("_", " "))
                yield say("let", number=self.resources.registers[node.register], value=value, remark=remark)
            case When():
                yield say("when", **self.decided(node))
            case Guard():
                yield say(
                    "guard",
                    **self.decided(node),
                    message=clean(node.message, self.control),
                    stop=codes["stop"],
                    ending=codes["end"],
                    number=node.number,
                )
            case Press():
                yield from self.press(node)
            case Switch():
                yield say("switch", code=node.word or codes[node.function.replace("-", "_")])
            case Warn():
                if node.shown:
                    opening, closing = self.message_signs()
                    yield say("message", opening=opening, text=clean(node.message, self.control), closing=closing)
                if node.switch:
                    yield say("switch", code=codes[node.meaning.replace("-", "_")])
            case Pause():
                yield say("pause", code=codes["stop"], remark=self.remark(node.look_at))
            case Finish():
                yield say("switch", code=codes.get("end_rewind", codes["end"]))

    def decided(self, node: When | Guard) -> dict[str, object]:
        """A condition, two labels, and what is done only if it holds."""
        left, right = self.expression(node.condition.left), self.expression(node.condition.right)
        compared = self.words.say("compared", op=node.condition.op, left=left, right=right)
        return {"condition": compared, **self.labels(node.label), "body": "\n".join(self.all(node.body))}

    def travel(self, node: Travel) -> str:
        places = self.control.numbers.angle if node.axis in ROTARY else self.places.length
        once = self.control.once["machine_frame"] if self.plan.frame == "machine" and not node.relative else ""
        motion = self.control.groups["motion"]["rapid" if node.rate is None else "feed"]
        rate = "" if node.rate is None else self.word(node.rate, self.places.feed)
        return self.words.say(
            "travel", frame=once, motion=motion, axis=node.axis, target=self.word(node.target, places), rate=rate
        )

    def wait(self, node: Wait) -> str:
        return self.words.say("wait", **self.dwell(node.seconds), remark=self.remark(node.purpose))

    def press(self, node: Press) -> Iterator[str]:
        """The feeder's word, and the dwell that is told as any other, in the same line or in the next."""
        say, on, dwell = self.words.say, self.control.codes["feeder_on"], self.dwell(node.seconds)
        if node.one_line:
            dwell["code"] = f"{on} {dwell['code']}"
        else:
            yield say("switch", code=on)
        yield say("wait", **dwell, remark=self.remark("feeder out"))

    def dwell(self, seconds: Decimal) -> dict[str, str]:
        """The words of a dwell: its code, the letter behind it, and the count."""
        dwell = self.control.dwell
        numbers = self.control.numbers
        count = whole(seconds * 1000) if dwell.unit == "ms" else written(seconds, numbers.seconds, numbers)
        return {"code": self.control.once["dwell"], "letter": dwell.word, "count": count}

    def message_signs(self) -> tuple[str, str]:
        """What stands before and behind a message that the operator is shown."""
        lexis = self.control.lexis
        if lexis.messages:
            return lexis.messages[0]
        opening, closing = lexis.comments[0]
        return f"{opening}{lexis.message_prefix} ", closing

    def remark(self, text: str) -> str:
        """``text`` as a comment to stand behind something; empty where nothing of it can be written."""
        said = clean(text, self.control)
        return self.words.say("comment", text=said) if said else ""

    # -- values

    def word(self, value: Expr, places: int) -> str:
        """What stands behind a word's letter: a number, or what is worked out, an expression in brackets."""
        if isinstance(value, Num):
            return written(value.value, places, self.control.numbers)
        spelled = self.expression(value)
        if not isinstance(value, Var):
            spelled = self.words.say("grouped", value=spelled)
        return self.words.say("worked_out", value=spelled)

    def expression(self, value: Expr) -> str:
        say = self.words.say
        match value:
            case Num():
                return plain_number(value.value)
            case Var(kind="register"):
                return say("variable", number=self.resources.registers[value.name])
            case Var():
                return say("variable", number=self.local(value.name))
            case Rounded():
                return say("rounded", how=value.how, value=self.expression(value.value))
            case Operation():
                return say(value.op, left=self.operand(value.left), right=self.operand(value.right))
        raise TypeError(f"not an expression: {value!r}")

    def operand(self, value: Expr) -> str:
        spelled = self.expression(value)
        negative = isinstance(value, Num) and value.value < 0
        return self.words.say("grouped", value=spelled) if isinstance(value, Operation) or negative else spelled

    def local(self, name: str) -> int:
        first, last = self.resources.scratch
        if name not in self.locals:
            number = first + len(self.locals)
            if number > last:
                wanted = len({node.name for node in walk(self.plan.nodes) if isinstance(node, Let)})
                raise DressblockError(
                    f"this dress needs {wanted} working variables and there are {max(0, last - first + 1)}; "
                    f"widen the range, such as scratch = [{first}, {first + wanted - 1}].",
                    key="registers.scratch",
                )
            self.locals[name] = number
        return self.locals[name]

    def labels(self, number: int) -> dict[str, int]:
        """Two labels of its own for each condition: ``label`` before, ``after`` behind what it decides on."""
        pair = self.resources.labels[2 * number : 2 * number + 2]
        if len(pair) < 2:
            needed = 2 * sum(isinstance(node, (When, Guard)) for node in walk(self.plan.nodes))
            free = len(self.resources.labels)
            raise DressblockError(
                f"this dress needs {needed} labels, two for each condition, and {free} of the range are free; widen it "
                f"by {needed - free} at least.",
                key="registers.labels",
            )
        return {"label": pair[0], "after": pair[1]}
