"""The rules by id, each with the checks that serve it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import field
from functools import cached_property
from operator import attrgetter
from typing import Any, Literal, TypeAlias, TypeVar

from gen.base.dataclass import dataclass
from gen.base.finding import Fault
from gen.base.measure import Measure
from gen.bounds.case import Case, Intent

Scope: TypeAlias = Literal["program", "block"]
Need: TypeAlias = Literal["machine", "recipe", "states"]

NEEDS: dict[Need, str] = {
    "machine": "the machine",
    "recipe": "the recipe",
    "states": "a state of wheel and stick",
}
"""What a rule may need, in words."""

_PARTLY: dict[str, Need] = {
    "machine": "machine", "dress": "recipe", "wear": "states", "contacts": "states", "parted": "states",
}  # fmt: skip
"""What has to be known for a part of a case to be there, which includes the recipe for a state; others always are."""

_PARTS = (*_PARTLY, "reading", "block", "marks", "expected", "words", "units")

_TOLD = re.compile(r"(.+?)\n\nWhy: (.+?)\nExample: (.+?)\nHelps: (.+?)(?:\n\n|\s*\Z)", re.DOTALL)
"""What the file of a rule begins with."""

Found: TypeAlias = Iterator[Fault | Measure]
F = TypeVar("F", bound=Callable[..., Iterator[Any]])


@dataclass(frozen=True, eq=False)
class Check:
    """One idea of a rule: what it holds, why, an example of what breaks it, and what helps.

    ``takes`` names the parts of a case that ``function`` has as parameters, ``needs``
    what has to be known. ``always``: it is judged as well where the block
    refuses, or should, and where even the parked stick is not clear, so that every
    other check would only repeat it. ``intents``: what a block must be meant to do
    for the check to apply.
    """

    rule: str
    holds: str
    why: str
    example: str
    helps: str
    takes: tuple[str, ...]
    needs: frozenset[Need]
    always: bool
    intents: frozenset[Intent]
    function: Callable[..., Found]

    @cached_property
    def of_the_dress_alone(self) -> bool:
        """Whether it finds the same at every state, since it looks at recipe and machine only."""
        return "dress" in self.takes and set(self.takes) <= {"dress", "units"}

    def can_judge(self, case: Case) -> bool:
        """Whether the case has all that the check needs."""
        if case.dress is None:
            return not self.needs or (case.bare is not None and self.needs == {"machine"})
        return case.state is not None or "states" not in self.needs

    @cached_property
    def found(self) -> Callable[[Case], Found]:
        """What the check finds in a case, which it must be able to judge: faults, and measures that may hold."""
        function, parts = self.function, attrgetter(*self.takes)
        if len(self.takes) == 1:
            return lambda case: function(parts(case))
        return lambda case: function(*parts(case))


@dataclass(frozen=True)
class Rule:
    """What a finding names, with the checks that serve it, and whether it looks at the block or the whole program.

    ``last``: it is told only where no other rule has found an error, as those say it plainer.
    """

    id: str
    scope: Scope
    last: bool = False
    checks: list[Check] = field(default_factory=list)

    @property
    def holds(self) -> str:
        """What all of its checks hold, a sentence each."""
        return " ".join(check.holds for check in self.checks)

    @property
    def needs(self) -> frozenset[Need]:
        """What it cannot be judged without, not even in part."""
        return frozenset.intersection(*(check.needs for check in self.checks))


RULES: dict[str, Rule] = {}


def bound(
    rule: str,
    *,
    scope: Scope = "block",
    always: bool = False,
    last: bool = False,
    intents: Iterable[Intent] = ("dress",),
    needs: Need | None = None,
) -> Callable[[F], F]:
    """Registers a check of ``rule``, one idea; several checks may serve one rule.

    What it holds is the first paragraph of its file; the second says why, gives an
    example of what breaks it, and what helps. The check's parameters name the parts
    of a case that it takes, and so what has to be known for it; one that may be None is
    annotated so, and is not needed. ``needs``: what has to be known though it takes no part that tells.
    """

    def register(function: F) -> F:
        told = _TOLD.match(function.__globals__["__doc__"] or "")
        assert told, f"{function.__module__}: it begins with what it holds, and then Why, Example and Helps"
        holds, why, example, helps = (" ".join(text.split()) for text in told.groups())
        takes = {name: str(annotation) for name, annotation in function.__annotations__.items() if name != "return"}
        unknown = set(takes) - set(_PARTS)
        assert not unknown, f"{function.__module__}: a case has no {', '.join(sorted(unknown))}"
        wanted = {_PARTLY[name] for name, annotation in takes.items() if name in _PARTLY and "None" not in annotation}
        if needs:
            wanted.add(needs)
        if "states" in wanted:
            wanted.add("recipe")
        served = RULES.setdefault(rule, Rule(rule, scope, last))
        assert served.scope == scope, f"{rule} looks at the {served.scope} elsewhere"
        needed, meant = frozenset(wanted), frozenset(intents)
        served.checks.append(Check(rule, holds, why, example, helps, tuple(takes), needed, always, meant, function))
        return function

    return register
