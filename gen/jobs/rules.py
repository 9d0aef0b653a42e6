"""The rules as the checks themselves describe them, for reading and as data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from gen.base.errors import not_found
from gen.bounds import RULES, Check, Rule
from gen.bounds.registry import NEEDS
from gen.host.said import HOST_RULES, HostRule
from gen.jobs.report import WIDTH, described

SCOPES = {"block": "the dress block", "program": "the whole program"}


ALL: dict[str, Rule | HostRule] = {**RULES, **{rule.id: rule for rule in HOST_RULES}}
"""The bounds, and what splicing asks of a grinding program."""


def rules_named(id: str | None) -> list[Rule | HostRule]:
    """The rule ``id``, or all of them; :class:`DressblockError` if there is none of that name."""
    if id is None:
        return list(ALL.values())
    if id not in ALL:
        raise not_found("rule", id, ALL, "dressblock rules")
    return [ALL[id]]


def rules_as_objects(rules: Sequence[Rule | HostRule]) -> list[dict[str, Any]]:
    """``rules`` as JSON objects; what several checks of a rule say stands in ``checks`` one by one."""
    return [
        {
            "id": rule.id,
            **{name: " ".join(getattr(check, name) for check in rule.checks) for name in _TEXTS},
            "scope": rule.scope,
            "needs": sorted(rule.needs),
            "checks": [{name: getattr(check, name) for name in _TEXTS} for check in rule.checks],
        }
        for rule in rules
    ]


_TEXTS = ("holds", "why", "example", "helps")


def rules_as_text(rules: Sequence[Rule | HostRule], *, whole: bool) -> str:
    """``rules`` for reading: what each holds, and where they are to be told ``whole`` the rest as well."""
    if not whole:
        width = max(len(rule.id) for rule in rules) + 2
        return "\n".join(
            textwrap.fill(check.holds, WIDTH, initial_indent=first, subsequent_indent=" " * width)
            for rule in rules
            for check, first in _margins(rule, width)
        )
    return "\n\n".join(map(_described, rules))


def _margins(rule: Rule | HostRule, width: int) -> Iterator[tuple[Check | HostRule, str]]:
    checks: Sequence[Check | HostRule] = rule.checks
    for index, check in enumerate(checks):
        yield check, (" " * width if index else rule.id.ljust(width))


def _described(rule: Rule | HostRule) -> str:
    needs = ", ".join(words for name, words in NEEDS.items() if name in rule.needs) or "nothing beside the program"
    head = f"{rule.id}\n  looks at {SCOPES[rule.scope]}; needs {needs}"
    told = (described((name, getattr(check, name)) for name in _TEXTS) for check in rule.checks)
    return "\n\n".join([head, *told])
