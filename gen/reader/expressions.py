"""Expressions: parsed once into postfix operations, then worked out on a stack.

Postfix, because an expression of ten thousand terms then needs no recursion;
only brackets do, and their depth is bounded.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import TypeAlias

from gen.control.tables import Variables as Rules
from gen.plan.step import Register
from gen.reader.failure import NotUnderstood
from gen.reader.operators import ATAN_PAIR, EXISTS, BinaryOperation, Value, angle_of, function, negative, operator
from gen.reader.unknown import Unknown
from gen.reader.variables import Memory, as_number

StackOperation: TypeAlias = Callable[[list[Value], Memory], None]
Code: TypeAlias = float | tuple[StackOperation, ...]
"""A number, or the operations that leave one value on an empty stack."""

MAX_NESTING = 30
_OWN = re.compile(r"[A-Z_][A-Z0-9_]*(?:\[[^\[\]]*\])?")
NUMBER = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")


def value_of(code: Code, variables: Memory) -> Value:
    """What ``code`` comes to. :class:`Alarm` where the control would stop."""
    if isinstance(code, float):
        return code
    stack: list[Value] = []
    for operation in code:
        operation(stack, variables)
    return stack.pop()


def numeric_value(code: Code, variables: Memory) -> float | Unknown:
    """What ``code`` comes to, an empty value counting as 0."""
    value = value_of(code, variables)
    return 0.0 if value is None else value


def load(register: Register) -> StackOperation:
    """Puts the value of ``register`` on the stack."""
    return lambda stack, variables: stack.append(variables.get(register))


class Constant:
    """Puts ``number`` on the stack."""

    __slots__ = ("number",)

    def __init__(self, number: float) -> None:
        self.number = number

    def __call__(self, stack: list[Value], variables: Memory) -> None:
        stack.append(self.number)


MARK, MARK_WHOLE, MARK_END = "\x01", "\x02", "\x03"
"""Enclose the name of a variable that the program has declared; a program itself can hold none of them."""


def parts_of(code: Code) -> tuple[StackOperation, ...]:
    """``code`` as operations, to build a longer one of."""
    return (Constant(code),) if isinstance(code, float) else code


def whole_or_unknown(code: Code) -> Code:
    """``code`` if it is a whole number; how a control rounds another one is not known."""

    def operation(stack: list[Value], memory: Memory) -> None:
        value = stack.pop()
        known = value is None or isinstance(value, Unknown) or value == int(value)
        stack.append(value if known else Unknown("how a whole variable is rounded"))

    return (*parts_of(code), operation)


def unknown_value(what: str) -> Code:
    """A value that depends on ``what``, which is not known."""
    value = Unknown(what)
    return (lambda stack, variables: stack.append(value),)


def combine(apply: BinaryOperation) -> StackOperation:
    """Puts ``apply`` of the two topmost values in their place."""

    def operation(stack: list[Value], variables: Memory) -> None:
        right = stack.pop()
        stack.append(apply(stack.pop(), right))

    return operation


class Grammar:
    """The spelling of expressions in one control."""

    def __init__(self, rules: Rules | None) -> None:
        self.rules = rules
        self.brackets = ("[", "]") if rules is None else rules.brackets
        self.operators: list[tuple[str, int, BinaryOperation]] = []
        self.functions: list[tuple[str, str]] = []
        if rules is not None:
            for level, words in enumerate(rules.operators):
                for word, meaning in words.items():
                    self.operators.append((word.upper(), level, operator(meaning, float(rules.equal_within))))
            self.functions = [(word.upper(), meaning) for word, meaning in rules.functions.items()]
        self.operators.sort(key=lambda entry: -len(entry[0]))
        self.functions.sort(key=lambda entry: -len(entry[0]))
        self.like_sigil = tuple(word for word, _ in self.functions if rules and word.startswith(rules.sigil))


class Scanner:
    """Reads values from ``text`` (no spaces, capitals) at ``at``, which it moves on."""

    def __init__(self, grammar: Grammar, text: str, at: int = 0) -> None:
        self.grammar = grammar
        self.text = text
        self.at = at
        self._depth = 0

    def value(self) -> Code:
        """A number, a variable, a function or an expression in brackets."""
        found = NUMBER.match(self.text, self.at)
        if found and found.end() - self.at < 16:
            self.at = found.end()
            return float(found.group())
        out: list[StackOperation | float] = []
        self._value(out)
        return _finished(out)

    def expression(self) -> Code:
        """An expression, with or without brackets around it."""
        out: list[StackOperation | float] = []
        self._binary(out, 0)
        return _finished(out)

    def register(self) -> Register | Code:
        """What stands after the sigil: a register, or the code of its number."""
        if self.take(MARK) or self.take(MARK_WHOLE):
            end = self.text.index(MARK_END, self.at)
            name, self.at = self.text[self.at : end].lower(), end + 1
            return name
        if self.grammar.rules is not None and self.grammar.rules.named and self.take("<"):
            end = self.text.find(">", self.at)
            if end <= self.at:
                raise NotUnderstood("the name of a variable does not end")
            name, self.at = self.text[self.at : end].lower(), end + 1
            return name
        number = self.value()
        if isinstance(number, float):
            if number != int(number) or number < 0:
                raise NotUnderstood("the number of a variable must be whole")
            return int(number)
        return number

    def sigil(self) -> bool:
        """Whether a variable stands here, and not a function that begins with the same letter."""
        rules = self.grammar.rules
        if rules is None or self.text.startswith(self.grammar.like_sigil, self.at):
            return False
        if self.text.startswith((MARK, MARK_WHOLE), self.at):
            return True
        return self.take(rules.sigil)

    def of_the_control(self) -> str:
        """The name of a variable of the control's own that stands here, behind which it moves on; empty if none."""
        rules = self.grammar.rules
        if rules is None or not rules.system_sigil or not self.text.startswith(rules.system_sigil, self.at):
            return ""
        found = _OWN.match(self.text, self.at + len(rules.system_sigil))
        if found is None:
            raise NotUnderstood("a name is wanted for a variable of the control's own")
        begin, self.at = self.at, found.end()
        return self.text[begin : self.at]

    def done(self) -> bool:
        return self.at >= len(self.text)

    def rest(self) -> str:
        return self.text[self.at :]

    def nothing(self, where: str) -> None:
        """:class:`NotUnderstood` unless the text ends here, as nothing may ``where``."""
        if not self.done():
            raise NotUnderstood(f"nothing may {where}, but {self.rest()[:20]!r} does")

    def take(self, word: str) -> bool:
        """Whether ``word`` stands here; if so, moves on behind it."""
        if not self.text.startswith(word, self.at):
            return False
        self.at += len(word)
        return True

    def _value(self, out: list[StackOperation | float]) -> None:
        found = NUMBER.match(self.text, self.at)
        if found:
            self.at = found.end()
            number = float(found.group())
            if not math.isfinite(number):
                raise NotUnderstood("this number is larger than any control's")
            out.append(number)
        elif self.take("-"):
            self._one_sign()
            self._nested(self._value, out)
            if isinstance(out[-1], float):
                out[-1] = 0.0 - out[-1]
            else:
                out.append(_negate)
        elif self.take("+"):
            self._one_sign()
            self._nested(self._value, out)
        elif self.sigil():
            self._variable(out)
        elif name := self.of_the_control():
            out.append(lambda stack, memory: stack.append(memory.of_the_control(name)))
        elif self.grammar.rules is not None and self.take(self.grammar.rules.brackets[0]):
            self._inside(out)
        else:
            self._function(out)

    def _one_sign(self) -> None:
        if self.text.startswith(("+", "-"), self.at):
            raise NotUnderstood("two signs stand in a row")

    def _deeper(self, what: str) -> None:
        self._depth += 1
        if self._depth > MAX_NESTING:
            raise NotUnderstood(f"{what} are nested more than {MAX_NESTING} deep")

    def _nested(self, parse: Callable[[list[StackOperation | float]], None], out: list[StackOperation | float]) -> None:
        self._deeper("brackets")
        parse(out)
        self._depth -= 1

    def _inside(self, out: list[StackOperation | float]) -> None:
        """An expression and the bracket behind it."""
        self._nested(lambda inner: self._binary(inner, 0), out)
        self._close()

    def _close(self) -> None:
        if self.grammar.rules is None or not self.take(self.grammar.rules.brackets[1]):
            raise NotUnderstood("a bracket is not closed")

    def _variable(self, out: list[StackOperation | float]) -> None:
        self._deeper("variables")
        register = self.register()
        self._depth -= 1
        if isinstance(register, tuple):
            out.extend(register)
            out.append(load_indirect)
        else:
            out.append(load(register if isinstance(register, str) else int(register)))

    def _function(self, out: list[StackOperation | float]) -> None:
        word, meaning = next((entry for entry in self.grammar.functions if self.take(entry[0])), ("", ""))
        if not word:
            instead = f", not {self.rest()[:20]!r}" if self.rest() else ""
            raise NotUnderstood(f"a number is wanted{instead}")
        rules = self.grammar.rules
        if rules is None or not self.take(rules.brackets[0]):
            raise NotUnderstood(f"{word} wants brackets after it")
        if meaning == EXISTS:
            self._exists(out)
            return
        self._nested(lambda inner: self._binary(inner, 0), out)
        if meaning == ATAN_PAIR and rules.atan_comma:
            if not self.take(","):
                raise NotUnderstood(f"{word} wants two values, (y,x)")
            self._inside(out)
            out.append(combine(angle_of))
            return
        self._close()
        if meaning == ATAN_PAIR:
            if self.take("/" + rules.brackets[0]):
                self._inside(out)
                out.append(combine(angle_of))
                return
            if not rules.single_atan:
                raise NotUnderstood(f"{word} wants two values, [y]/[x]")
            meaning = "atan"
        apply = function(meaning)
        out.append(lambda stack, variables: stack.append(apply(stack.pop())))

    def _exists(self, out: list[StackOperation | float]) -> None:
        register = self.register() if self.sigil() else 0.0
        if not isinstance(register, str):
            raise NotUnderstood("only a named variable can be asked after")
        self._close()
        out.append(lambda stack, variables: stack.append(float(variables.exists(register))))

    def _binary(self, out: list[StackOperation | float], lowest: int) -> None:
        self._value(out)
        while True:
            found = next((entry for entry in self.grammar.operators if self.text.startswith(entry[0], self.at)), None)
            if found is None or found[1] < lowest:
                return
            word, level, apply = found
            self.at += len(word)
            self._binary(out, level + 1)
            out.append(combine(apply))


def _finished(out: list[StackOperation | float]) -> Code:
    if len(out) == 1 and isinstance(out[0], float):
        return out[0]
    return tuple(Constant(item) if isinstance(item, float) else item for item in out)


def _negate(stack: list[Value], variables: Memory) -> None:
    stack.append(negative(stack.pop()))


def load_indirect(stack: list[Value], variables: Memory) -> None:
    number = stack.pop()
    stack.append(number if isinstance(number, Unknown) else variables.get(as_number(number)))
