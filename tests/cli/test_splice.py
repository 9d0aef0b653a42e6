"""What ``splice`` tells the programmer: lines of the file that was written, other dresses' places, calls, variants."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from runner import Command, Shop


@pytest.fixture
def host(shop: Shop) -> Path:
    path = shop.root / "drill-flutes.ngc"
    shutil.copy(shop.root / "machines/north-bench/hosts/drill-flutes.ngc", path)
    return path


def test_a_warning_names_a_line_of_what_was_written(command: Command, shop: Shop, host: Path) -> None:
    out = shop.root / "spliced.ngc"
    for target, words in ((out, ("--out", out)), (host, ()), (host, ("--as", "call")), (host, ())):
        outcome = command("splice", host, shop.recipe, *words)
        warned = next(row for row in outcome.out.splitlines() if ": warning host-path" in row)
        file, _, line = warned.partition(": warning host-path")[0].rpartition(":")
        assert outcome.code == 0
        assert file == str(target)
        assert target.read_text().splitlines()[int(line) - 1] == "N120 G0 A180."


def test_a_refusal_names_a_line_of_the_program_as_it_is(command: Command, shop: Shop, host: Path) -> None:
    shop.change(host, "N120 G0 A180.", "N120 G1 A180.")
    command("splice", host, shop.recipe, "--return")
    shop.change(host, "N120 G1 A180.\n", "\nN120 G1 A180.\n")
    outcome = command("splice", host, shop.recipe)
    line = next(number for number, text in enumerate(host.read_text().splitlines(), 1) if text == "N120 G1 A180.")
    assert outcome.code == 1
    assert f"{host}:{line}: error host-path" in outcome.err


def test_a_place_for_another_dress_is_named(command: Command, shop: Shop, host: Path) -> None:
    shop.change(host, "(DRESS HERE)", "(DRESS HERE 7102)")
    outcome = command("splice", host, shop.recipe)
    assert outcome.code == 2
    assert all(said in outcome.err for said in ("7101", "DRESS HERE 7102 (line 26)", "DRESS HERE 7101"))


def test_a_call_put_there_twice_says_twice_what_it_needs(command: Command, shop: Shop, host: Path) -> None:
    first = command("splice", host, shop.recipe, "--as", "call").out
    once = host.read_bytes()
    second = command("splice", host, shop.recipe, "--as", "call").out
    assert host.read_bytes() == once
    assert "as it was" in second
    assert "as it was" not in first
    assert all("call of dress 7101" in said and "--form subprogram" in said for said in (first, second))


def test_the_first_opening_after_truing_where_the_recipe_has_one(command: Command, shop: Shop, host: Path) -> None:
    south = shop.root / "machines/south-bench"
    path = south / "hosts/gash-cup.nc"
    outcome = command("splice", path, south / "dress/gash-cup.toml", "--after-truing")
    assert (outcome.code, "dress 7211" in outcome.out) == (0, True)
    assert "(FIRST OPENING AFTER TRUING)" in path.read_text()
    assert command("check", path, "--machines", shop.root / "machines").code == 0
    before = host.read_bytes()
    outcome = command("splice", host, shop.recipe, "--after-truing")
    assert (outcome.code, "dress.after_truing" in outcome.err) == (2, True)
    assert host.read_bytes() == before


def test_a_wheel_that_no_register_block_takes_in_is_said(command: Command, shop: Shop, host: Path) -> None:
    spliced = command("splice", host, shop.recipe, "--wheel-diameter", "110 mm")
    generated = command("generate", shop.recipe, "--out", shop.out, "--wheel-diameter", "110 mm")
    resolved = command("generate", shop.recipe, "--out", shop.out, "--wheel-diameter", "110 mm", "--resolve")
    for outcome in (spliced, generated):
        assert outcome.code == 0
        assert "--wheel-diameter" in outcome.err
        assert "--resolve" in outcome.err
    assert resolved.err == ""
