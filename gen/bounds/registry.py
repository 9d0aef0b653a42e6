"""The rules by name, and what they say together about many cases."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from gen.base.errors import listed
from gen.base.finding import Fault, Finding, Severity
from gen.bounds.case import Case, Intent
from gen.plan.step import Refuse

Scope: TypeAlias = Literal["program", "block"]
Need: TypeAlias = Literal["machine", "recipe", "states"]
Check: TypeAlias = Callable[[Case], Iterator[Fault]]


@dataclass(frozen=True)
class Rule:
    """One bound: its id, its sentence, what it looks at, and what it cannot do without.

    ``always``: it is judged as well where the block refuses, or should, and
    where even the parked stick is not clear, so that every other rule would only repeat it.
    ``intents``: what a block must be meant to do for the rule to apply.
    """

    id: str
    sentence: str
    scope: Scope
    needs: frozenset[Need]
    always: bool
    intents: frozenset[Intent]
    check: Check

    def can_judge(self, case: Case) -> bool:
        if case.dress is None:
            return not self.needs or (case.bare is not None and self.needs == {"machine"})
        return case.state is not None or "states" not in self.needs


RULES: dict[str, Rule] = {}


def rule(
    id: str,
    *,
    scope: Scope = "block",
    needs: Iterable[Need] = ("recipe", "states"),
    always: bool = False,
    intents: Iterable[Intent] = ("dress",),
) -> Callable[[Check], Check]:
    """Registers a check as rule ``id``; its sentence is the first of its file."""

    def register(check: Check) -> Check:
        sentence = " ".join((check.__globals__["__doc__"] or "").strip().split("\n\n")[0].split())
        RULES[id] = Rule(id, sentence, scope, frozenset(needs), always, frozenset(intents), check)
        return check

    return register


def judge(
    cases: Iterable[Case],
    unknown: str = "nothing tells which recipe this program is for",
    *,
    lost: bool = False,
) -> list[Finding]:
    """What the rules say about ``cases``: one finding a rule and line, the worst one, in order of lines.

    Rules that lack what they need are named in one ``unproven`` finding, which begins with what is ``unknown``: a
    warning, but an error where the recipe was told and is ``lost``.
    """
    worst: dict[tuple[str, int | None], Fault] = {}
    judged: set[str] = set()
    silent: dict[str, None] = {}
    for case in cases:
        plain: bool | None = None
        for rule in RULES.values():
            if case.intent not in rule.intents:
                continue
            if not rule.can_judge(case):
                silent[rule.id] = None
                continue
            if not rule.always and plain is None:
                plain = case.parks_clear and not _refuses(case)
            if rule.always or plain:
                judged.add(rule.id)
                for fault in rule.check(case):
                    known = worst.get((rule.id, fault.line))
                    if known is None or _weight(fault) > _weight(known):
                        worst[rule.id, fault.line] = fault
            elif case.dress is None:
                # a block that reads registers refuses where nobody knows what they hold
                silent[rule.id] = None
    findings = [
        Finding(id, line, fault.severity, fault.certainty, fault.message, fault.changes)
        for (id, line), fault in worst.items()
    ]
    silenced = sorted(id for id in silent if id not in judged)
    if silenced:
        severity: Severity = "error" if lost else "warning"
        findings.append(Finding("recipe", None, severity, "unproven", f"{unknown}, so {_silenced(silenced)}"))
    return sorted(findings, key=lambda found: (found.line or 0, found.severity != "error", found.rule))


def _refuses(case: Case) -> bool:
    return not case.accepted or any(True for _ in case.steps(Refuse))


def _weight(fault: Fault) -> tuple[bool, bool, float]:
    return fault.severity == "error", fault.certainty == "broken", fault.amount


def _silenced(rules: list[str]) -> str:
    return f"{listed(rules, 'and')} could not be judged; name it with --recipe."
