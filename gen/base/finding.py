"""What a rule says when it does not hold, and what would help."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field
from typing import Any, Literal, TypeAlias

from gen.base.dataclass import dataclass

Severity: TypeAlias = Literal["error", "warning"]
Certainty: TypeAlias = Literal["broken", "unproven", "changed"]


@dataclass(frozen=True)
class Change:
    """One key that could be changed: ``key`` dotted, ``value`` as TOML gives it, a list as the whole list.

    ``text`` says so in a sentence, for whoever has tried the change and found it good.
    """

    file: Literal["recipe", "machine"]
    key: str
    value: Any = field(hash=False)
    text: str


@dataclass(frozen=True)
class Fault:
    """What one check found at one state. ``line`` None: recipe and machine, not a line of the program.

    ``changes`` are candidates, the best first, none of them tried out.
    ``amount`` orders the faults of one rule on one line: the worst one is shown.
    """

    line: int | None
    message: str
    changes: tuple[Change, ...] = ()
    severity: Severity = "error"
    certainty: Certainty = "broken"
    amount: float = 0.0


@dataclass(frozen=True)
class Finding:
    """A :class:`Fault` with the rule that found it, the worst over all states."""

    rule: str
    line: int | None
    severity: Severity
    certainty: Certainty
    message: str
    changes: tuple[Change, ...] = ()


def errors_in(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those of ``findings`` that forbid a program; the others are warnings."""
    return tuple(finding for finding in findings if finding.severity == "error")
