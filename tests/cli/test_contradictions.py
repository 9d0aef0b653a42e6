"""Options that contradict each other, or that another one makes void: named, and nothing is done."""

from __future__ import annotations

import json

import pytest

from runner import Shop, invoke

RECIPE, MACHINE = "machines/north-bench/dress/flute-rough.toml", "machines/north-bench/machine.toml"
HOST, LOG = "machines/north-bench/hosts/drill-flutes.ngc", "machines/north-bench/logs/flute-rough-good.csv"

VOID = {
    "two programs": ("generate", RECIPE, "--prove-out", "--gap-check"),
    "in the other order": ("generate", RECIPE, "--gap-check", "--prove-out"),
    "compared and written over": ("generate", RECIPE, "--check", "--force"),
    "a place to write to, and nothing written": ("splice", HOST, RECIPE, "--check", "--out", "spliced.ngc"),
    "written over, and nothing written": ("splice", HOST, RECIPE, "--check", "--force"),
    "a place where each has its own": ("splice", HOST, "--check", "--after", "N120"),
    "a way back where each has its own": ("splice", HOST, "--check", "--return"),
    "a register where each has its own": ("splice", HOST, "--check", "--set", "503=6"),
    "a call where each has its own form": ("splice", HOST, "--check", "--as", "call"),
    "a stick where each has its own": ("splice", HOST, "--check", "--stick-length", "100 mm"),
    "a prove-out where each is what it is": ("splice", HOST, "--check", "--prove-out"),
    "two formats": ("check", "programs", "--json", "--format", "sarif"),
    "two machines": ("check", "programs", "--machine", MACHINE, "--machines", "machines"),
    "two machines to show": ("show", HOST, "--machine", MACHINE, "--machines", "machines"),
    "two controls": ("show", HOST, "--machine", MACHINE, "--control", "iso6983"),
    "two controls to trace": ("trace", HOST, "--machine", MACHINE, "--control", "iso6983"),
    "reach and rows": ("limits", "--reach", MACHINE, "--tightest", "3"),
    "reach and costs": ("limits", "--reach", MACHINE, "--cost"),
    "reach and values": ("limits", "--reach", MACHINE, "--csv"),
    "reach and a folder": ("limits", "machines", "--reach", MACHINE),
    "costs and rows": ("limits", "machines", "--cost", "--tightest", "3"),
    "a dresser for a recipe": ("new", "recipe", "bench", "--kind", "timed"),
    "sticks without prices": ("interval", LOG, "--limit", "2 kW", "--parts-a-day", "40"),
    "a target and a feed": ("feed", "--wheel-speed", "20 m/s", "--aggressiveness", "250", "--feed", "5 mm/s"),
}


@pytest.mark.parametrize("words", VOID.values(), ids=VOID)
def test_what_cannot_both_hold_is_a_mistake(
    words: tuple[str, ...], shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(shop.root)
    before = sorted(shop.root.rglob("*"))
    outcome = invoke(*words)
    given = [word for word in words if word.startswith("--") and word not in ("--check", "--limit", "--wheel-speed")]
    assert (outcome.exit_code, outcome.stdout if "--json" not in words else "") == (2, "")
    assert any(option in outcome.stderr for option in given)
    assert "Traceback" not in outcome.stderr
    assert sorted(shop.root.rglob("*")) == before


def test_whoever_asked_for_json_is_told_in_json(shop: Shop) -> None:
    outcome = invoke("generate", shop.recipe, "--prove-out", "--gap-check", "--json")
    (error,) = json.loads(outcome.stdout)["errors"]
    assert error["message"] == "--prove-out and --gap-check are two programs; generate one after the other."
