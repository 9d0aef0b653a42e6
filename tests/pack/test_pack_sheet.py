"""A pack on the sheet and on the command line."""

from __future__ import annotations

from pathlib import Path

from gen.base.places import data_folder
from gen.bounds.build import build
from gen.paper.sheet import sheet
from gen.paper.sheet.values import values
from pack_bench import drafted, tables
from runner import invoke

DEMO = data_folder("machines") / "pack-grinder" / "dress" / "drill-pack.toml"


def row(text: str, begin: str) -> str:
    """A row of the text form in one piece: its cells may wrap."""
    lines = text.splitlines()
    first = next(number for number, line in enumerate(lines) if line.startswith(begin))
    return " ".join(lines[first].split())


def test_every_wheel_has_its_own_numbers_new_and_worn() -> None:
    (first, second, third) = values(drafted()).pack
    # rpm 60000 · 20 / (π D) from 150 to 140 mm, 125 to 115 mm, and 18 m/s from 100 to 90 mm
    assert (first.must_be, first.rpm) == ("140 – 150 mm", "2546 → 2728 rpm")
    assert (second.rpm, third.rpm) == ("3056 → 3321 rpm", "3438 → 3820 rpm")
    # 0.06 · 220 · 20 and 0.06 · 250 · 18
    assert (second.feed, third.feed) == ("264 mm/min", "270 mm/min")
    assert [wheel.target for wheel in (first, second, third)] == ["250", "220", "250"]
    assert {wheel.band for wheel in (first, second, third)} == {"200 – 300"}
    assert [wheel.plunges for wheel in (first, second, third)] == [2, 3, 2]
    assert third.lanes == ("123 mm", "127 mm")


def test_the_motion_tells_each_wheel_s_speed_and_feed() -> None:
    text = " ".join(sheet(drafted()).text.split())
    assert "Plunge 2 the same way: Z 43 mm" in text
    # contacts: 330 − (147 + 62.5) and 330 − (144 + 50), three millimetres further on at the second station
    assert "Plunges 3 to 5 the same way at 264 mm/min: Z 75 mm, contact at V 120.5 mm; Z 80 mm; Z 85 mm" in text
    assert "Plunges 6 to 7 the same way at 270 mm/min: Z 123 mm, contact at V 136 mm; Z 127 mm" in text
    assert "Spindle clockwise (M3 sense) at 3056 rpm, wait 3.0 s" in text


def test_registers_and_limits_name_the_wheel() -> None:
    machine = {"dresser.max_removal": "100000 mm3/min", "dresser.max_overhang": "130 mm"}
    text = sheet(build(*tables(machine=machine), ("pack-bench", "pack"))).text
    (wheel,) = (one for one in values(drafted()).pack if one.register == "511")
    assert (wheel.number, wheel.must_be, wheel.rpm, wheel.plunges) == (2, "115 – 125 mm", "3056 → 3321 rpm", 3)
    assert row(text, "2 Aggressiveness").startswith("2 Aggressiveness 220 200 – 300 20")
    # 16 · 20 · 270 is the most: 86400
    assert row(text, "Removal rate") == "Removal rate 86.4 cm³/min 100 cm³/min 13.6 cm³/min"
    assert row(text, "Stick overhang") == "Stick overhang 120 mm 130 mm 10 mm"


def test_diameters_are_given_in_the_recipe_s_order(tmp_path: Path) -> None:
    sizes = [word for size in ("145", "120", "95") for word in ("--wheel-diameter", f"{size} mm")]
    made = invoke("generate", str(DEMO), "--resolve", *sizes, "--out", str(tmp_path))
    assert made.exit_code == 0, made.output
    program = tmp_path / "pack-grinder" / "drill-pack.ngc"
    text = program.read_text()
    for number, size in enumerate((145, 120, 95), 1):
        assert f"(RIGHT ONLY FOR WHEEL DIAMETER {number} {size} MM)" in text
    checked = invoke("check", str(program))
    # numbers of one state are right once, which is a warning and nothing more
    assert (checked.exit_code, "0 errors" in checked.output) == (0, True)
    one = invoke("generate", str(DEMO), "--resolve", *sizes[:2], "--out", str(tmp_path))
    assert one.exit_code == 2
    assert "give --wheel-diameter 3 times" in one.output
