"""One finding for what one rule has on many lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import islice

from gen.base.finding import Finding

MANY, _SHOWN = 10, 5
"""Lines of one rule that are told each by itself, and those that are named where there are more."""


def together(findings: Iterable[Finding]) -> list[Finding]:
    """``findings``, with one in place of all that one rule has on more than ``MANY`` lines: the first, and where else.

    The order is that of the first lines.
    """
    findings = list(findings)
    lines: dict[tuple[str, str, str], dict[int, None]] = {}
    for one in findings:
        if one.line is not None:
            lines.setdefault((one.rule, one.severity, one.certainty), {})[one.line] = None
    told: dict[Finding, None] = {}
    seen: set[tuple[str, str, str]] = set()
    for one in findings:
        kind = one.rule, one.severity, one.certainty
        where = lines.get(kind, {})
        if one.line is None or len(where) <= MANY:
            told[one] = None
        elif kind not in seen:
            seen.add(kind)
            first = ", ".join(map(str, islice(where, _SHOWN)))
            said = f"{one.message} So on {len(where)} lines: {first} and {len(where) - _SHOWN} more."
            told[replace(one, message=said)] = None
    return list(told)
