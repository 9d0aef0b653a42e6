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
    able: dict[tuple[object, ...], list[Check]] = {}
    dresses: list[Dress | None] = []  # kept, so that no other one gets the id of one that was judged
    worst: dict[tuple[str, int | None], Fault] = {}
    judged: set[str] = set()
    silent: set[str] = set()
    tightest: dict[tuple[str, ...], tuple[float, Measure]] = {}
    meant: set[Intent] = set()
    for case in cases:
        intent, plain = case.expected.intent, case.parks_clear and not _refuses(case)
        kind = intent, plain, id(case.dress), case.state is None, case.bare is None
        checks = able.get(kind)
        if checks is None:
            meant.add(intent)
            dresses.append(case.dress)
            checks, unable = _sorted(case, plain)
            judged |= {check.rule for check in checks}
            silent |= {check.rule for check in unable}
            # what depends on the dress alone is judged at its first state
            able[kind] = [check for check in checks if not check.of_the_dress_alone]
        for check in checks:
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


def _sorted(case: Case, plain: bool) -> tuple[list[Check], list[Check]]:
    """The checks that judge ``case``, and those that would but cannot; ``plain``: it moves, its stick parks clear."""
    able: list[Check] = []
    unable: list[Check] = []
    for check in (check for rule in RULES.values() for check in rule.checks if case.expected.intent in check.intents):
        if not check.can_judge(case):
            unable.append(check)
        elif check.always or plain:
            able.append(check)
        elif case.dress is None:
            # a block that reads registers refuses where nobody knows what they hold
            unable.append(check)
    return able, unable


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
