"""SARIF 2.1.0, the OASIS standard for what checking programs find.

Paths are relative to the folder the command ran in, which a service that shows
the results takes for the top of the repository (``%SRCROOT%``).
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path, PurePath
from typing import Any
from urllib.parse import quote

from gen import __version__
from gen.base.finding import Finding
from gen.bounds import RULES
from gen.jobs.reports.checked import Checked
from gen.jobs.rules import ALL, SCOPES

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

NOT_A_BOUND = {
    "recipe": "Which machine and recipe a program is for is known, so that every rule can be judged.",
    "drift": "A program, and a call of one, is what its recipe and its machine file give now.",
    "unusable": "A program, its machine file and its recipe can be read.",
}
"""What stands behind a finding that no bound makes."""

CERTAINTY = {
    "broken": "does not hold",
    "unproven": "could not be shown to hold",
    "changed": "is not what was generated",
}


def sarif(programs: Sequence[Checked], folder: Path) -> dict[str, Any]:
    """The document about ``programs``, whose paths are seen from ``folder``, as JSON values."""
    named = dict.fromkeys([*RULES, *NOT_A_BOUND])
    named |= dict.fromkeys(finding.rule for program in programs for finding in program.findings)
    places = {rule: index for index, rule in enumerate(named)}
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "dressblock",
                        "version": __version__,
                        "rules": [_rule(rule) for rule in places],
                    }
                },
                "columnKind": "unicodeCodePoints",
                "invocations": [_invocation(programs, folder)],
                "results": [
                    _result(finding, places[finding.rule], _artifact(program.path, folder))
                    for program in programs
                    for finding in program.findings
                ],
            }
        ],
    }


def _rule(rule: str) -> dict[str, Any]:
    sentence = ALL[rule].holds if rule in ALL else NOT_A_BOUND.get(rule, rule)
    held = f" Judged over {SCOPES[ALL[rule].scope]}." if rule in ALL else ""
    return {
        "id": rule,
        "shortDescription": {"text": sentence},
        "help": {
            "text": f"{sentence}{held} Mend the recipe or the machine file and generate the program again; "
            "a program is not mended by hand."
        },
        "defaultConfiguration": {"level": "error"},
    }


def _result(finding: Finding, place: int, artifact: dict[str, Any]) -> dict[str, Any]:
    physical: dict[str, Any] = {"artifactLocation": artifact}
    if finding.line is not None:
        physical["region"] = {"startLine": finding.line}
    return {
        "ruleId": finding.rule,
        "ruleIndex": place,
        "level": finding.severity,
        "message": {"text": _plain(finding.message)},
        "locations": [{"physicalLocation": physical}],
        "properties": {"certainty": finding.certainty, "meaning": CERTAINTY[finding.certainty]},
    }


def _invocation(programs: Sequence[Checked], folder: Path) -> dict[str, Any]:
    def notes(id: str, level: str, told: Callable[[Checked], str]) -> list[dict[str, Any]]:
        return [
            {
                "descriptor": {"id": id},
                "level": level,
                "message": {"text": _plain(told(program))},
                "locations": [{"physicalLocation": {"artifactLocation": _artifact(program.path, folder)}}],
            }
            for program in programs
            if told(program)
        ]

    unusable = notes("unusable", "error", lambda program: program.error)
    left = notes("no-dress", "note", lambda program: program.left)
    return {"executionSuccessful": not unusable, "toolExecutionNotifications": [*unusable, *left]}


def _artifact(path: str, folder: Path) -> dict[str, Any]:
    return artifact(Path(os.path.normpath(folder / path)), folder)


def artifact(whole: PurePath, folder: PurePath) -> dict[str, Any]:
    """Where a program lies: below ``folder`` as seen from there, elsewhere as a whole URI (RFC 8089: file:///C:/...)."""
    if whole.is_relative_to(folder):
        return {"uri": quote(os.fsencode(whole.relative_to(folder).as_posix())), "uriBaseId": "%SRCROOT%"}
    return {"uri": whole.as_uri()}


def _plain(text: str) -> str:
    """``text`` without what UTF-8 cannot hold, and with braces that SARIF does not take for a placeholder's."""
    return text.encode("utf-8", "replace").decode().replace("{", "{{").replace("}", "}}")
