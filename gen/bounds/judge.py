"""What all rules say together about the cases of a program."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet

from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.base.finding import Fault, Finding, Severity
from gen.base.measure import Measure
from gen.bounds.case import Case, Intent
from gen.bounds.registry import NEEDS, RULES, Check, Rule
from gen.plan.step import Refuse
from gen.shop.dress import Dress


@dataclass(frozen=True)
class Judgement:
    """``findings`` in order of lines, and of every quantity that a bound limits the tightest of its ``measures``.

    ``judged`` are the ids of the rules that were judged, and ``silent`` those that were not, or in part only, with why.
    """

    findings: tuple[Finding, ...]
    measures: tuple[Measure, ...]
    judged: frozenset[str]
    silent: Mapping[str, str]


def judge(
    cases: Iterable[Case],
    unknown: str = "nothing tells which recipe this program is for",
    *,
    lost: bool = False,
) -> Judgement:
    """What the rules say about ``cases``: one finding a rule and line, the worst one, in order of lines.

    Rules that lack what they need are named in one ``unproven`` finding, which begins with what is ``unknown``: a
    warning, but an error where the recipe was told and is ``lost``.
    """
    every = [check for rule in RULES.values() for check in rule.checks]
    applicable: dict[tuple[Intent, bool, int], list[Check]] = {}
    dresses: list[Dress | None] = []  # kept, so that no other one gets the id of one that was judged
    worst: dict[tuple[str, int | None], Fault] = {}
    judged: set[str] = set()
    silent: dict[str, None] = {}
    tightest: dict[tuple[str, ...], tuple[float, Measure]] = {}
    meant: set[Intent] = set()
    for case in cases:
        intent, all_known = case.expected.intent, case.dress is not None and case.state is not None
        meant.add(intent)
        plain = case.parks_clear and not _refuses(case)
        only_always = all_known and not plain
        key = intent, only_always, id(case.dress)
        checks = applicable.get(key)
        if checks is None:
            checks = [check for check in every if intent in check.intents and (check.always or not only_always)]
            # what depends on the dress alone is judged at its first state
            applicable[key] = [check for check in checks if not check.of_the_dress_alone]
            dresses.append(case.dress)
        for check in checks:
            if not all_known and not check.can_judge(case):
                silent[check.rule] = None
                continue
            if check.always or plain:
                judged.add(check.rule)
                for found in check.found(case):
                    if isinstance(found, Measure):
                        what, relative = found.key, found.relative
                        if what not in tightest or relative < tightest[what][0]:
                            tightest[what] = relative, found
                        if relative >= 0 or found.holds:
                            continue
                        fault = found.fault()
                    else:
                        fault = found
                    known = worst.get((check.rule, fault.line))
                    if known is None or _weight(fault) > _weight(known):
                        worst[check.rule, fault.line] = fault
            elif case.dress is None:
                # a block that reads registers refuses where nobody knows what they hold
                silent[check.rule] = None
    findings = [
        Finding(id, line, fault.severity, fault.certainty, fault.message, fault.changes)
        for (id, line), fault in worst.items()
    ]
    if any(found.severity == "error" and not RULES[found.rule].last for found in findings):
        findings = [found for found in findings if not RULES[found.rule].last]
    silenced = sorted(id for id in silent if id not in judged)
    if silenced:
        severity: Severity = "error" if lost else "warning"
        findings.append(Finding("recipe", None, severity, "unproven", f"{unknown}, so {_silenced(silenced)}"))
    ordered = sorted(findings, key=lambda found: (found.line or 0, found.severity != "error", found.rule))
    why = {
        id: f"{'in part: ' if id in judged else ''}{_why(rule, meant, unknown if id in silent else '')}"
        for id, rule in RULES.items()
        if id in silent or id not in judged
    }
    return Judgement(tuple(ordered), tuple(measure for _, measure in tightest.values()), frozenset(judged), why)


def _why(rule: Rule, meant: AbstractSet[Intent], unknown: str) -> str:
    """Why ``rule`` was not judged of blocks that are ``meant`` to do this; ``unknown``: what it lacks, if anything."""
    if unknown:
        needs = sorted({need for check in rule.checks for need in check.needs})
        return f"it needs {listed((NEEDS[need] for need in needs), 'and')}, and {unknown}"
    if not any(check.intents & meant for check in rule.checks):
        return f"it does not apply to a {listed(sorted(meant - {'idle', 'left-out'}))}"
    return "wherever this was read, it refuses to move, or the parked stick is not clear of the wheel"


def _refuses(case: Case) -> bool:
    return not case.expected.accepted or any(True for _ in case.block.steps(Refuse))


def _weight(fault: Fault) -> tuple[bool, bool, float]:
    return fault.severity == "error", fault.certainty == "broken", fault.amount


MOST_NAMED = 3
"""Rules that a sentence names."""


def _silenced(rules: list[str]) -> str:
    some = listed(rules, "and") if len(rules) <= MOST_NAMED else f"{len(rules)} rules, {rules[0]} the first of them,"
    return f"{some} could not be judged; name it with --recipe."
