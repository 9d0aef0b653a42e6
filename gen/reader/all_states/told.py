"""Steps, formulas and states in words, with numbers at a state at which they can be tried."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice, product
from typing import NamedTuple

from gen.base.errors import listed
from gen.plan.expression import Condition, names
from gen.plan.node import Guard, Plan, walk
from gen.plan.step import Aux, Coolant, Dwell, End, Move, Refuse, Register, Spindle, Step, Stop, Write
from gen.reader.all_states.formulas import Terms, terms_of, value_at
from gen.reader.all_states.paths import Path
from gen.reader.all_states.reals import Cut, Exact, Reals, has

_TRIES = 300


class _Where(NamedTuple):
    """A state on the path, in words; ``sure`` that there is one."""

    text: str
    sure: bool


class Told:
    """Says what happens on ``path``, with the names that ``plan`` has for registers."""

    def __init__(self, path: Path, plan: Plan) -> None:
        self._path = path
        self._names = {number: name.replace("_", " ") for name, number in plan.registers.items()}
        self._numbers = dict(plan.registers)
        self._plan = plan

    @property
    def registers(self) -> set[Register]:
        """The machine's own registers."""
        return set(self._names)

    @property
    def messages(self) -> set[str]:
        """What the plan's guards say."""
        return {node.message for node in walk(self._plan.nodes) if isinstance(node, Guard)}

    def register(self, register: Register) -> str:
        name = self._names.get(register)
        return f"register {register} ({name})" if name else f"register {register}"

    # -- steps

    def does(self, step: Step) -> str:
        """What the program does, as a sentence without its end."""
        match step:
            case Refuse():
                return f'the program refuses with "{step.message}"'
            case End():
                return "the program ends"
            case Move() if step.op == "arc":
                return "this moves along an arc"
        return f"the program is to {self.step(step)} here"

    def step(self, step: Step) -> str:
        """What ``step`` is, behind "to"."""
        match step:
            case Move():
                how = {"rapid": "move at rapid", "feed": "move at a feed"}.get(step.op, "move along an arc")
                steps = " by a step" if step.frame == "incremental" else ""
                frame = "" if step.frame in ("machine", "incremental") else f" in {step.frame} coordinates"
                return f"{how} {listed(step.axes, 'and')}{steps}{frame}"
            case Dwell():
                return f"wait{self._number(step.seconds, ' s')}"
            case Spindle(direction="off"):
                return "stop the spindle"
            case Spindle():
                return f"turn the spindle {step.direction}{self._number(step.rpm, ' rpm')}"
            case Coolant():
                return f"switch the coolant {'on' if step.on else 'off'}"
            case Write():
                return f"write {self.register(step.register)}"
            case Aux():
                known = {"synchronise": "wait for all motion to end"}
                return known.get(step.function, f"do {step.code or step.function}")
            case Refuse():
                return f'refuse with "{step.message}"'
            case Stop():
                return "stop"
        return "end"

    def mode(self, group: str, ours: str | None, theirs: str | None) -> str:
        """Which mode is stated and which is wanted."""
        name = group.replace("_", " ")
        if theirs is None:
            return f"{name} is stated as {ours}; the recipe does not state it"
        return f"{name} is {'not stated' if ours is None else f'stated as {ours}'}; the recipe wants {theirs}"

    def _number(self, value: float | None, unit: str) -> str:
        return f" {value:g}{unit}" if isinstance(value, float) else ""

    # -- lines

    def decided_before(self, line: int) -> int:
        """The line of the last condition that the program met, or ``line``."""
        decided = self._path.decided
        return decided[-1].line if decided else line

    def last_asked(self, asked: Sequence[Condition], line: int) -> int:
        """The line at which the program asked what the plan asked last of ``asked``; ``line`` if it never did.

        Of several conditions on a register, those of the plan and of the program are taken in their order.
        """
        wanted = [self._about(condition) for condition in asked[-1:]]
        count = sum(self._about(condition) == wanted[0] for condition in asked) if wanted else 0
        kinds = self._path.unknowns.names
        lines = [
            decided.line
            for decided in self._path.decided
            if count and wanted[0] & {kinds[number] for product_, _ in decided.key for number, _ in product_}
        ]
        lines = list(dict.fromkeys(lines))
        return lines[min(count, len(lines)) - 1] if lines else line

    def _about(self, condition: Condition) -> set[tuple[str, object]]:
        """The registers that ``condition`` compares, as unknowns."""
        wanted = names(condition.left) | names(condition.right)
        return {("register", self._numbers[name]) for name in wanted if name in self._numbers}

    # -- states

    def where(self) -> _Where:
        """A state on this path."""
        for state in self._states([]):
            return _Where(self._said(state), True)
        return _Where(" at some state", False)

    def values(self, apart: Terms, ours: float, theirs: float) -> str:
        """What two formulas that are ``apart`` come to where they differ; empty if no such state is found."""
        unknowns = self._path.unknowns
        for state in self._states([apart, terms_of(ours), terms_of(theirs)]):
            if value_at(apart, unknowns, state):
                one, other = (value_at(terms_of(value), unknowns, state) for value in (ours, theirs))
                if one is not None and other is not None:
                    return f"{_plain(one)}{self._said(state)}; the recipe wants {_plain(other)}"
        return ""

    def _states(self, more: list[Terms]) -> Iterator[dict[int, Exact]]:
        """States on this path, by unknown: within what is left of each, and of all formulas that were decided on."""
        path, unknowns = self._path, self._path.unknowns
        used: dict[int, None] = {}
        for terms in [*map(dict, path.domains), *more]:
            self._note(terms, used)
        places = []
        for number in used:
            places.append(list(_places(path.domains.get(((((number, 1),), 1),), None))))
        for values in islice(product(*places), _TRIES):
            state = dict(zip(used, values, strict=True))
            if all(
                (value := value_at(dict(key), unknowns, state)) is not None and has(left, value)
                for key, left in path.domains.items()
            ):
                yield state

    def _note(self, terms: Terms, used: dict[int, None]) -> None:
        """Adds the unknowns that ``terms`` depend on, and that are not worked out themselves, to ``used``."""
        for product_ in terms:
            for number, _ in product_:
                inside = self._path.unknowns.insides.get(number)
                if inside is None:
                    used[number] = None
                else:
                    self._note(inside, used)

    def _said(self, state: dict[int, Exact]) -> str:
        said = []
        for number, value in state.items():
            kind, what = self._path.unknowns.names[number]
            if kind == "register" and isinstance(what, int | str):
                name = self._names.get(what, f"register {what}")
                said.append(f"{name} {_plain(value)}")
            elif kind == "position":
                said.append(f"{what} at {_plain(value)}")
        for what, chosen in self._path.free.items():
            if chosen and isinstance(what, tuple):
                kind, which = what
                said.append(
                    f"{self._names.get(which, f'register {which}')} empty"
                    if kind == "empty"
                    else f"block delete {which} on"
                )
        return f" (with {listed(said, 'and')})" if said else ""


def _places(left: Reals | None) -> Iterator[Exact]:
    """A few numbers of ``left``: in the middle of each interval, then at its ends."""
    if left is None:
        yield from (100, 7, 0)
        return
    for first, last in left:
        yield from _inside(first, last)


def _inside(first: Cut, last: Cut) -> Iterator[Exact]:
    low, high = first[0], last[0]
    if isinstance(low, float) and isinstance(high, float):
        yield from (100, 0)
    elif isinstance(low, float):
        yield from (high - 1, high * 2 - 100) if not isinstance(high, float) else ()
    elif isinstance(high, float):
        yield from (low + 1, low * 2 + 100)
    else:
        middle = (low + high) * Fraction(1, 2)
        whole = math.floor(middle)
        yield whole if low < whole < high else middle
        if low < high:
            yield from (low + (high - low) * Fraction(1, 7), high - (high - low) * Fraction(1, 11))
        if not first[1]:
            yield low
        if last[1]:
            yield high


def _plain(value: Exact) -> str:
    return f"{float(value):.8g}"
