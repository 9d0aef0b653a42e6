"""What ``check`` tells of a grinding program that calls its dress: of the call, and of the subprogram."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from gen.control.seal import blocks
from runner import Command, Shop

CALL = "O7101 call"


@pytest.fixture
def host(command: Command, shop: Shop) -> Path:
    """A drill's program that calls the dress of its wheel, with the subprogram generated beside the machines."""
    path = shop.root / "machines/north-bench/hosts/drill-flutes.ngc"
    assert command("splice", path, shop.recipe, "--as", "call", "--return").code == 0
    assert command("generate", shop.recipe, "--form", "subprogram", "--out", shop.out).code == 0
    return path


def told(command: Command, path: Path) -> list[tuple[str, str, str, int | None]]:
    findings = command("check", path, "--json").document["findings"]
    return [(one["severity"], one["rule"], one["certainty"], one["line"]) for one in findings]


def said(command: Command, path: Path) -> str:
    (one,) = command("check", path, "--json").document["findings"]
    return str(one["message"])


def begin(path: Path) -> int:
    return next(blocks(path.read_text().splitlines(), ("CALL",))).first


def sealed(path: Path) -> None:
    """Writes the digests of the call and of what stands in it anew, as somebody could who knows how."""
    for kind in ("RETURN", "CALL"):
        (one,) = blocks(path.read_text().splitlines(), (kind,))
        path.write_text(path.read_text().replace(one.stated, one.computed))


def test_a_call_as_its_recipe_gives_it_holds(command: Command, host: Path) -> None:
    assert told(command, host) == []


def test_what_was_changed_in_a_call_is_told(command: Command, shop: Shop, host: Path) -> None:
    shop.change(host, f"{CALL}\n", f"G91\n{CALL}\n")
    assert told(command, host) == [("error", "altered", "changed", begin(host))]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (CALL, f"{CALL}\n{CALL}"),
        (f"{CALL}\n", ""),
        ("O9018 if [#590 GE 6]", "O9018 if [#590 GE 7]"),
        ("G64 P0.005\nF380", "G64 P0.05\nF380"),
        ("(back to where the program stood)\nG53 G0 Z120", "(back to where the program stood)\nG53 G0 Z12"),
    ],
)
def test_so_it_is_where_the_digest_was_written_anew(
    command: Command, shop: Shop, host: Path, old: str, new: str
) -> None:
    shop.change(host, old, new)
    sealed(host)
    assert told(command, host) == [("error", "drift", "changed", begin(host))]
    assert command("splice", "--check", host).code == 1


def test_a_call_of_another_count_than_the_recipe_has_now(command: Command, shop: Shop, host: Path) -> None:
    shop.change(shop.recipe, "every_parts = 6", "every_parts = 8")
    assert command("generate", shop.recipe, "--form", "subprogram", "--out", shop.out).code == 0
    assert told(command, host) == [("error", "drift", "changed", begin(host))]
    assert said(command, host) == (
        "dress 7101 in this program no longer follows from its recipe; splice it again, and prove it out."
    )


def test_a_program_that_no_longer_gets_there_as_it_did(command: Command, shop: Shop, host: Path) -> None:
    shop.change(host, "N110 G1 F380", "N110 G1 F380 G41 D1")
    assert {rule for severity, rule, _, _ in told(command, host) if severity == "error"} == {"host-state"}


def test_a_recipe_that_is_gone(command: Command, shop: Shop, host: Path) -> None:
    shop.recipe.rename(shop.recipe.with_name("flute-coarse.toml"))
    assert told(command, host) == [("error", "drift", "changed", begin(host))]
    assert "flute-coarse.toml there has its program number 7101" in said(command, host)


# -- the subprogram


def test_no_subprogram_anywhere(
    command: Command, shop: Shop, host: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.rmtree(shop.out)
    monkeypatch.chdir(tmp_path)
    assert told(command, host) == [("warning", "recipe", "unproven", begin(host))]
    assert "lies neither beside this program nor in programs/north-bench; write it" in said(command, host)


def test_the_whole_program_of_the_recipe_is_none(command: Command, shop: Shop, host: Path) -> None:
    command("generate", shop.recipe, "--form", "program", "--out", shop.out)
    assert told(command, host) == [("warning", "recipe", "unproven", begin(host))]
    assert "flute-rough.ngc is a program; write it with generate --form subprogram" in said(command, host)


def test_a_subprogram_of_an_earlier_recipe(command: Command, shop: Shop, host: Path) -> None:
    shop.change(shop.recipe, 'plunge = "8 mm"', 'plunge = "6 mm"')
    assert told(command, host) == [("error", "drift", "changed", begin(host))]
    assert "flute-rough.ngc no longer follows from its recipe: plunge 8 → 6 mm" in said(command, host)


@pytest.mark.parametrize("name", ["flute-rough.ngc", "o7101.ngc"])
def test_a_changed_subprogram_beside_the_program(command: Command, shop: Shop, host: Path, name: str) -> None:
    beside = host.with_name(name)
    shutil.copy(shop.out / "north-bench/flute-rough.ngc", beside)
    assert told(command, host) == []
    shop.change(beside, "G4 P2 (coolant on the stick)", "G4 P1 (coolant on the stick)")
    assert told(command, host) == [("error", "altered", "changed", begin(host))]
    assert f"{name} was changed by hand" in said(command, host)


def test_a_call_is_held_against_its_recipe_beside_a_dress_too(command: Command, shop: Shop, host: Path) -> None:
    finish = shop.recipe.with_name("flute-finish.toml")
    command("generate", finish, "--form", "block", "--out", shop.out)
    block = (shop.out / "north-bench/flute-finish.ngc").read_text().replace("%\n", "")
    shop.change(host, "N180 M9", f"{block}N180 M9")
    shop.change(host, f"{CALL}\n", "")
    assert ("error", "altered", "changed", begin(host)) in told(command, host)
