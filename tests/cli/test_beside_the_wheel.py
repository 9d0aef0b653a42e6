"""A program that takes the stick past every wheel is told so: a distance that is endless is no reason to stop."""

from __future__ import annotations

from runner import Command, Shop


def test_inches_for_millimetres_on_a_slide_with_a_stand_off(command: Command, shop: Shop) -> None:
    recipe = shop.root / "machines/shuttle/dress/point-wheel.toml"
    command("generate", recipe, "--out", shop.out)
    program = shop.out / "shuttle/point-wheel.nc"
    text = program.read_text()
    program.write_text(text.replace("G91\n", "G91 G20\n"))
    outcome = command("check", program, "--machines", shop.root / "machines", "--json")
    assert outcome.code == 1
    last = text.splitlines().index("G0 U-3.") + 1
    ending = [
        one["message"] for one in outcome.document["findings"] if one["rule"] == "retract" and one["line"] == last
    ]
    assert any("beside the wheel" in message for message in ending), outcome.document["findings"]
