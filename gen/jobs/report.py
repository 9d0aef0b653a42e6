"""Findings and steps as text and as JSON values."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from gen.plan.step import Move, Step, Unclear
from gen.plan.told import step_told

if TYPE_CHECKING:
    from gen.base.finding import Finding


def finding_line(file: str, finding: Finding) -> str:
    """``file:line: severity rule: message``; what is not broken says so."""
    place = file if finding.line is None else f"{file}:{finding.line}"
    certainty = "" if finding.certainty == "broken" else f" ({finding.certainty})"
    return f"{place}: {finding.severity} {finding.rule}{certainty}: {finding.message}"


def finding_json(file: str, finding: Finding) -> dict[str, Any]:
    """A finding as a JSON object; ``change`` is what would help, where something is known to."""
    change = finding.changes[0] if finding.changes else None
    return {
        "file": file,
        "line": finding.line,
        "rule": finding.rule,
        "severity": finding.severity,
        "certainty": finding.certainty,
        "message": finding.message,
        "change": None if change is None else {"file": change.file, "key": change.key, "value": change.value},
    }


def step_json(step: Step) -> dict[str, Any]:
    """A neutral step as a JSON object: ``line``, ``op``, and what the step says."""
    head: dict[str, Any] = {"line": step.line, "op": step.op}
    match step:
        case Move():
            said = {**head, "to": dict(step.to), "rate": step.rate, "frame": step.frame}
            if step.op != "arc":
                return said
            centre, direction, turns = step.circle or (None, None, None)
            return {**said, "centre": centre and dict(centre), "direction": direction, "turns": turns}
        case Unclear(kind="spindle"):
            sense = None if step.detail == "unknown" else step.detail
            return {**head, "op": "spindle", "rpm": None, "direction": sense}
        case Unclear(kind="dwell"):
            return {**head, "op": "dwell", "seconds": None}
        case Unclear():
            register = int(step.detail) if step.detail.isdigit() else step.detail
            return {**head, "op": "write", "register": register, "value": None}
    return {**head, **step._asdict()}


def step_line(step: Step) -> str:
    """A neutral step as one line of text in columns, behind the number of its line in the program."""
    op, _, rest = step_told(step).partition(" ")
    return f"{step.line:>6}  {op:<8} {rest}".rstrip()


WIDTH = 100
"""Characters of a line of text that describes rules or keys."""


def described(parts: Iterable[tuple[str, str]]) -> str:
    """``parts``, each a name and a text, as paragraphs with the names beside them."""
    return "\n".join(
        textwrap.fill(text, WIDTH, initial_indent=f"  {name.ljust(9)}", subsequent_indent=" " * 11)
        for name, text in parts
    )


def as_json(document: object) -> str:
    """``document`` as JSON text, stable and readable; what a screen would obey is written as an escape."""
    text = json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False)
    return re.sub(r"[^\n -~]", lambda one: one[0] if one[0].isprintable() else json.dumps(one[0])[1:-1], text)


def summary(findings: Iterable[Finding]) -> str:
    """How many errors and warnings there are, in words."""
    severities = [finding.severity for finding in findings]
    errors, warnings = severities.count("error"), severities.count("warning")
    if not severities:
        return "all bounds hold"
    return f"{_count(errors, 'error')}, {_count(warnings, 'warning')}"


def _count(many: int, what: str) -> str:
    return f"{many} {what}{'' if many == 1 else 's'}"
