"""``generate --check``: which program no longer follows, and in which of the trade's terms."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gen import __version__
from gen.control.seal import digest
from runner import Command, Outcome, Shop


def recipe(shop: Shop, machine: str, name: str) -> Path:
    return shop.root / f"machines/{machine}/dress/{name}.toml"


def compared(command: Command, shop: Shop, path: Path) -> Outcome:
    return command("generate", "--check", path, "--out", shop.out, "--json")


def differences(outcome: Outcome) -> dict[str, tuple[str, str]]:
    (program,) = outcome.document["programs"]
    return {one["what"]: (one["was"], one["now"]) for one in program["drift"]}


# file, old, new, and the figures by hand from the formulas of the feed command and of the datum
CHANGES = [
    # 0.06 * 233 * 20 m/s = 279.6 mm/min
    pytest.param(
        "recipe",
        "aggressiveness = 250",
        "aggressiveness = 233",
        {"feed": ("300 mm/min", "279.6 mm/min"), "aggressiveness": ("250", "233")},
        id="softer",
    ),
    # 18 m/s on 125 mm: 60000 * 18 / (pi * 125) = 2750.2 rpm, and 0.06 * 250 * 18 = 270 mm/min
    pytest.param(
        "recipe",
        '"20 m/s"',
        '"18 m/s"',
        {
            "feed": ("300 mm/min", "270 mm/min"),
            "spindle speed": ("3056 rpm", "2750 rpm"),
            "feed up to the wheel": ("360 mm/min", "323.9 mm/min"),
            "wheel speed": ("20 m/s", "18 m/s"),
        },
        id="slower",
    ),
    # contact 260 - 150 - 62.5 = 47.5 mm; a plunge of 7 mm ends at 54.5 and the stick may begin 1 mm shorter
    pytest.param(
        "recipe",
        'plunge = "8 mm"',
        'plunge = "7 mm"',
        {
            "plunge": ("8 mm", "7 mm"),
            "end of the plunge": ("55.5 mm", "54.5 mm"),
            "writes": (
                "504 = 1, 502 = 142, 503 = 0, 504 = 0",
                "504 = 1, 502 = 143, 503 = 0, 504 = 0",
            ),
            "accepted stick length": ("38 mm to 150 mm", "37 mm to 150 mm"),
        },
        id="shallower",
    ),
    pytest.param(
        "recipe",
        '["100 mm", "125 mm"]',
        '["104 mm", "125 mm"]',
        {"accepted wheel diameter": ("100 mm to 125 mm", "104 mm to 125 mm")},
        id="worn sooner",
    ),
    pytest.param(
        "machine", 'spin_up = "3 s"', 'spin_up = "5 s"', {"waits": ("3 s then 2 s", "5 s then 2 s")}, id="longer wait"
    ),
    pytest.param("machine", 'X = "180 mm"', 'X = "170 mm"', {"X at": ("180 mm", "170 mm")}, id="elsewhere"),
    pytest.param(
        "machine",
        "stick_length = 502",
        "stick_length = 602",
        {"registers": ("504, 501, 502", "504, 501, 602")},
        id="another register",
    ),
    pytest.param(
        "machine",
        'clearance = "4 mm"',
        'clearance = "5 mm"',
        {"U rapids to": ("0 mm, 43.5 mm", "0 mm, 42.5 mm")},
        id="more clearance",
    ),
]


@pytest.mark.parametrize(("file", "old", "new", "figures"), CHANGES)
def test_what_changed_is_told_and_nothing_else(
    command: Command, shop: Shop, file: str, old: str, new: str, figures: dict[str, tuple[str, str]]
) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    before = {path: path.read_bytes() for path in shop.written()}
    shop.change(shop.machine if file == "machine" else shop.recipe, old, new)
    outcome = compared(command, shop, shop.recipe)
    assert outcome.code == 1
    assert differences(outcome) == figures
    assert before == {path: path.read_bytes() for path in shop.written()}


def test_the_terms_stand_above_the_text(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    shop.change(shop.recipe, "aggressiveness = 250", "aggressiveness = 233")
    lines = command("generate", "--check", shop.recipe, "--out", shop.out).err.splitlines()
    told = next(
        number for number, line in enumerate(lines) if "feed 300 → 279.6 mm/min, aggressiveness 250 → 233" in line
    )
    assert "no longer follows" in lines[told]
    text = lines[told + 1 :]
    assert "-(AGGRESSIVENESS 250, BAND 200 TO 300)" in text
    assert "+(AGGRESSIVENESS 233, BAND 200 TO 300)" in text


def test_a_hand_s_change_is_told_from_drift(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    program.write_text(program.read_text().replace("U[#595+8] F#593", "U[#595+8] F320"))
    outcome = compared(command, shop, shop.recipe)
    (found,) = outcome.document["programs"][0]["findings"]
    assert (found["rule"], found["certainty"]) == ("altered", "changed")
    # 320 / (0.06 * 20.0007 m/s at 3056 rpm) = 266.7
    assert differences(outcome) == {"feed": ("320 mm/min", "300 mm/min"), "aggressiveness": ("267", "250")}


def test_other_words_for_the_same_motion_are_said_to_be_that(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    shop.change(shop.recipe, "Flute roughing wheel, opening", "Flute roughing wheel")
    outcome = compared(command, shop, shop.recipe)
    assert differences(outcome) == {}
    assert "the same motion in other words" in outcome.document["programs"][0]["findings"][0]["message"]


def test_a_program_of_numbers_tells_for_which_wheel_it_is(command: Command, shop: Shop) -> None:
    path = recipe(shop, "inch-table", "slot-wheel")
    command("generate", path, "--out", shop.out, "--stick-length", "4.5 in")
    assert differences(compared(command, shop, path))["stick length"][0] == "4.5 in"


def test_a_sheet_that_says_something_else_is_found(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    sheet = shop.out / "north-bench/flute-rough.html"
    sheet.write_text(sheet.read_text().replace("300", "310"))
    outcome = compared(command, shop, shop.recipe)
    assert outcome.code == 1
    assert "flute-rough.html" in outcome.document["programs"][0]["findings"][0]["message"]
    sheet.unlink()
    assert compared(command, shop, shop.recipe).code == 0


def test_the_first_opening_after_truing_is_compared_as_well(command: Command, shop: Shop) -> None:
    shop.recipe.write_text(shop.recipe.read_text() + "\n[dress.after_truing]\nplunges = 3\n")
    command("generate", shop.recipe, "--out", shop.out)
    assert compared(command, shop, shop.recipe).code == 0
    shop.change(shop.recipe, "plunges = 3", "plunges = 2")
    plain, opening = compared(command, shop, shop.recipe).document["programs"]
    assert plain["findings"] == []
    assert {"what": "plunges", "was": "3", "now": "2"} in opening["drift"]


def test_a_warning_about_a_prove_out_that_lies_there_is_no_difference(command: Command, shop: Shop) -> None:
    folder = recipe(shop, "north-bench", "outside-wide").parent
    for more in ((), ("--prove-out",)):
        assert command("generate", folder, *more, "--out", shop.out).code == 0
    outcome = compared(command, shop, folder)
    found = [
        (Path(one["program"]).stem, finding) for one in outcome.document["programs"] for finding in one["findings"]
    ]
    assert "outside-wide-prove-out" in {name for name, _ in found}
    assert {finding["severity"] for _, finding in found} == {"warning"}
    assert outcome.code == 0


def test_something_else_in_its_place_is_no_reason_to_stop(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    program.write_bytes(b"\xff\x00 O1 [ while\n" + b"G1 X1 (" * 50)
    outcome = compared(command, shop, shop.recipe)
    assert outcome.code == 1
    assert "no longer follows" in outcome.err


def test_a_wheel_that_the_old_program_refuses_is_one_difference(command: Command, shop: Shop) -> None:
    """Guards by hand from the recipe; X, Y and feeds are those of the worn wheel in both, and not told."""
    path = recipe(shop, "north-bench", "flute-rough")
    command("generate", path, "--out", shop.out)
    shop.change(path, '["100 mm", "125 mm"]', '["100 mm", "130 mm"]')
    told = differences(compared(command, shop, path))
    assert told["wheel and stick as new"] == ("refused", "accepted")
    assert told["accepted wheel diameter"] == ("100 mm to 125 mm", "100 mm to 130 mm")
    assert "feed" not in told
    assert "nothing" not in command("generate", "--check", path, "--out", shop.out).err


def test_a_recipe_that_would_be_refused_now_says_so(command: Command, shop: Shop) -> None:
    path = recipe(shop, "north-bench", "flute-rough")
    command("generate", path, "--out", shop.out)
    shop.change(path, '["100 mm", "125 mm"]', '["60 mm", "90 mm"]')
    outcome = command("generate", "--check", path, "--out", shop.out)
    assert outcome.code == 1
    assert outcome.err.endswith(f"{path}: would be refused now\n")


def cause_told(command: Command, shop: Shop, name: str = "flute-rough") -> tuple[list[str] | None, str]:
    """What the finding says that the program no longer follows from, as data and in words."""
    outcome = compared(command, shop, recipe(shop, "north-bench", name))
    assert outcome.code == 1
    (program,) = outcome.document["programs"]
    return program["causes"], program["findings"][0]["message"]


def test_it_names_what_changed(command: Command, shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    made = program.read_text()

    shop.change(shop.recipe, "aggressiveness = 250", "aggressiveness = 233")
    assert cause_told(command, shop)[0] == ["recipe"]
    shop.change(shop.machine, 'spin_up = "3 s"', 'spin_up = "5 s"')
    causes, said = cause_told(command, shop)
    assert causes == ["machine", "recipe"]
    assert "no longer follows from its machine and recipe: " in said
    shop.change(shop.recipe, "aggressiveness = 233", "aggressiveness = 250")
    assert cause_told(command, shop)[0] == ["machine"]
    shop.change(shop.machine, 'spin_up = "5 s"', 'spin_up = "3 s"')
    assert compared(command, shop, shop.recipe).code == 0

    # as if another version, or another template, had written another line
    def older(number: int, digits: str, old: str, new: str) -> None:
        lines = made.splitlines(keepends=True)
        (place,) = [at for at, line in enumerate(lines) if line.startswith("(FROM ")]
        words = lines[place][1:-2].split(" ")
        words[number] = digits
        lines[place] = f"({' '.join(words)})\n"
        begin = next(at for at, line in enumerate(lines) if "BEGIN DRESS" in line)
        assert old in "".join(lines)
        body = "".join(lines[begin + 1 :]).replace(old, new).splitlines(keepends=True)
        end = next(at for at, line in enumerate(body) if "END DRESS" in line)
        lines = [*lines[:begin], f"(BEGIN DRESS 7101 SEAL {digest(body[:end])})\n", *body]
        program.write_text("".join(lines))

    for number, digits, causes in (
        (3, "0000", ["template"]),
        (4, "0000", ["language"]),
        (5, "0.0.9", [f"version (0.0.9, now {__version__})"]),
    ):
        older(number, digits, "(coolant on the stick)", "(coolant)")
        told = cause_told(command, shop)
        assert told[0] == causes
        assert f"no longer follows from its {causes[0]}: " in told[1]
    older(5, __version__, "(coolant on the stick)", "(coolant)")
    assert cause_told(command, shop)[0] == []
    # what it was made from is another, and the program is not
    older(5, "0.0.9", "(coolant on the stick)", "(coolant on the stick)")
    assert compared(command, shop, shop.recipe).code == 0


def test_a_program_of_before_says_no_cause(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    lines = program.read_text().splitlines(keepends=True)
    program.write_text("".join(line for line in lines if not line.startswith("(FROM ")))
    assert compared(command, shop, shop.recipe).code == 0
    shop.change(shop.recipe, "aggressiveness = 250", "aggressiveness = 233")
    causes, said = cause_told(command, shop)
    assert causes is None
    assert "its recipe, machine, template, language or version" in said


def test_where_it_was_made_from_stands_in_one_short_line(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    text = (shop.out / "north-bench/flute-rough.ngc").read_text()
    (line,) = [line for line in text.splitlines() if line.startswith("(FROM ")]
    assert re.fullmatch(r"\(FROM ([0-9A-F]{4} ){4}[0-9.]+\)", line)
    assert len(line) <= 36


def test_a_rapid_into_the_stick_has_no_aggressiveness_of_0(command: Command, shop: Shop) -> None:
    command("generate", shop.recipe, "--out", shop.out)
    program = shop.out / "north-bench/flute-rough.ngc"
    program.write_text(program.read_text("utf-8").replace("G1 U[#595+8] F#593", "G0 U[#595+8]"), "utf-8")
    told = differences(compared(command, shop, shop.recipe))
    assert told["feed"] == ("rapid", "300 mm/min")
    # how fast a rapid is, no program says
    assert told["aggressiveness"] == ("", "250")
