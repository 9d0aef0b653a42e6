"""``dressblock rules``: every rule says what it holds, why, what breaks it and what helps."""

from __future__ import annotations

import json

import pytest

from gen.jobs.rules import ALL
from runner import invoke


def run(*words: str) -> tuple[int, str]:
    result = invoke("rules", *words)
    return result.exit_code, result.output


def test_each_says_all_four() -> None:
    code, output = run("--json")
    told = json.loads(output)["rules"]
    assert code == 0
    assert [rule["id"] for rule in told] == list(ALL)
    for rule in told:
        assert rule["scope"] in ("block", "program")
        assert set(rule["needs"]) <= {"machine", "recipe", "states"}
        for check in rule["checks"]:
            assert check["holds"].endswith("."), rule["id"]
            assert all(len(check[name]) > 10 for name in ("holds", "why", "helps")), rule["id"]
            assert check["example"], rule["id"]


def test_no_sentence_is_said_twice() -> None:
    sentences = [check.holds for rule in ALL.values() for check in rule.checks]
    assert len(sentences) == len(set(sentences))


@pytest.mark.parametrize("rule", ["accept-only", "removal", "frame", "host-state"])
def test_one_rule_in_words(rule: str) -> None:
    code, output = run(rule)
    assert code == 0
    assert output.startswith(f"{rule}\n")
    flat = " ".join(output.split())
    for check in ALL[rule].checks:
        for text in (check.holds, check.why, check.example, check.helps):
            assert " ".join(text.split()) in flat


def test_a_name_that_is_nearly_one() -> None:
    code, output = run("plunge-dept")
    assert code == 2
    assert "Did you mean plunge-depth?" in output
