"""What the page shows at every moment is what the reader read, in a real browser."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from browser import opened, walked
from moments_read import holds
from playwright.sync_api import expect

from gen.base.places import data_folder
from gen.control.draft import Program, draft
from gen.control.folders import load_control
from gen.control.options import Options
from gen.reader import ReadState, lower, run
from gen.shop.load import load_machine, load_recipe
from runner import invoke

DATA = re.compile(r'<script type="application/json"[^>]*>(.*?)</script>', re.DOTALL)
RECIPES = sorted(data_folder("machines").glob("*/dress/*.toml"))


def command(*words: object) -> str:
    outcome = invoke(*words)
    assert outcome.exit_code == 0, outcome.output
    return outcome.stdout


def drafted(recipe: Path) -> Program:
    machine = recipe.parents[1] / "machine.toml"
    return draft(load_recipe(recipe), load_machine(machine), (recipe.parents[1].name, recipe.stem), Options())


@pytest.fixture(scope="module")
def programs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = tmp_path_factory.mktemp("shop")
    shutil.copytree(data_folder("machines"), shop / "machines")
    command("demo", "--out", shop / "programs")
    return shop / "programs"


def page_of(program: Path, *words: object) -> Path:
    target = program.with_suffix(".page.html")
    command("show", program, "--machines", program.parents[2] / "machines", "--out", target, *words)
    return target


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda path: path.stem)
def test_every_moment_of_the_demo_programs_is_what_was_read(recipe: Path, programs: Path) -> None:
    (program,) = [one for one in (programs / recipe.parents[1].name).glob(f"{recipe.stem}.*") if one.suffix in SUFFIXES]
    text = program.read_text()
    drawn = drafted(recipe)
    state = drawn.state
    if drawn.edition.counts:
        values = {**state.values, "parts_since_dress": float(drawn.dress.settings.every_parts or 0)}
    else:
        values = dict(state.values)
    registers = {number: values[name] for name, number in drawn.plan.registers.items() if name in values}
    offset = drawn.dress.machine.dresser.offset
    offsets = {} if offset is None else {offset.word: {axis: float(at) for axis, at in offset.values.items()}}
    start = ReadState(registers, state.positions, offsets)
    lowered = lower(text, drawn.dialect.control)
    steps = list(run(lowered, start, registers=set(drawn.plan.registers.values())).steps)
    with opened(page_of(program)) as page:
        told = walked(page)
        holds(told, steps, text.splitlines(), dict(state.positions))
        assert page.locator("#stick").count() == page.locator("#wheel").count() == 1


SUFFIXES = {load_control(name).file_suffix for name in ("iso6983", "rs274ngc", "hash-variables", "r-variables")}


def test_what_is_out_of_range_or_in_progress_shows_the_refusal(programs: Path) -> None:
    with opened(page_of(programs / "north-bench/flute-rough.ngc")) as page:
        labels = page.locator("#wheel-size option").all_inner_texts()
        assert labels[3] == "99 mm (too small: refused)"
        small = walked(page, size=3)
        assert any(moment["now"] == "message: 21 WHEEL DIAMETER IS BELOW 100 MM" for moment in small)
        assert not any("feed U" in moment["now"] for moment in small)
        busy = walked(page, progress=1)
        assert any("measure" in moment["now"].lower() for moment in busy)


def test_a_changed_body_is_not_played_past_the_change(programs: Path, tmp_path: Path) -> None:
    program = programs / "north-bench/flute-rough.ngc"
    lines = program.read_text().splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if line.startswith("G53 G1 U") and "F" in line)
    lines[at] = lines[at].replace("G53 G1 U", "G53 G1 U1+")
    changed = program.with_name("changed.ngc")
    changed.write_text("".join(lines))
    with opened(page_of(changed)) as page:
        told = walked(page)
        assert "was changed since it was generated" in told[-1]["now"]
        assert max(int(moment["source-line"].partition(":")[0]) for moment in told[1:]) <= at + 1
        assert not any("feed" in moment["now"] for moment in told[1:-1])
    changed.unlink()


def test_a_finding_stands_at_its_moment(programs: Path) -> None:
    program = programs / "north-bench/flute-rough.ngc"
    text = program.read_text()
    slower = text.replace("#593 = [", "#593 = [0.5*", 1)
    assert slower != text
    broken = program.with_name("slow.ngc")
    broken.write_text(resealed(slower))
    with opened(page_of(broken)) as page:
        told = walked(page)
        assert any("aggressiveness" in moment["finding"] for moment in told if "feed U" in moment["now"])
    broken.unlink()


def resealed(text: str) -> str:
    """``text`` with the digest of its body written anew."""
    from gen.control.seal import blocks

    (block,) = blocks(text.splitlines())
    return text.replace(block.stated, block.computed)


def test_a_program_without_a_dress_is_shown_for_its_moves(tmp_path: Path) -> None:
    program = tmp_path / "plain.ngc"
    program.write_text("G21 G90 G94\nG0 X10\nG1 X20 F100\nM2\n")
    target = tmp_path / "plain.html"
    command("show", program, "--control", "rs274ngc", "--out", target)
    with opened(target) as page:
        told = walked(page)
        assert [moment["now"] for moment in told[1:]] == ["rapid X 10 mm", "feed X 20 mm", "end of program"]
        assert "no dress" in page.inner_text("#picture-says")


def test_it_plays_with_the_keyboard_alone_and_stops_at_the_end(tmp_path: Path) -> None:
    program = tmp_path / "plain.ngc"
    program.write_text("G21 G90 G94\nG0 X10\nG0 X20\nM2\n")
    target = tmp_path / "plain.html"
    command("show", program, "--control", "rs274ngc", "--out", target)
    with opened(target) as page:
        page.focus("#play")
        page.keyboard.press("Enter")
        page.wait_for_timeout(200)
        assert page.inner_text("#play") == "Pause"
        expect(page.locator("#moment")).to_have_value(page.get_attribute("#moment", "max") or "")
        expect(page.locator("#play")).to_have_text("Play")
        page.focus("#moment")
        page.keyboard.press("ArrowLeft")
        assert page.inner_text("#now") == "rapid X 20 mm"


def test_it_fits_a_phone_and_prints_the_motion(programs: Path) -> None:
    target = page_of(programs / "pack-grinder" / PACK(programs))
    with opened(target, width=390) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        page.emulate_media(media="print")
        assert page.is_visible(".list table")
        assert page.is_visible(".banner")
        assert not page.is_visible(".controls")


def PACK(programs: Path) -> str:
    return next(one.name for one in (programs / "pack-grinder").glob("drill-pack.*") if one.suffix in SUFFIXES)


def test_the_words_of_a_program_end_no_script(tmp_path: Path) -> None:
    program = tmp_path / "sly.ngc"
    program.write_text("(</script><script>document.title='taken'</script>)\nG21 G90 G94\nG0 X10\nM2\n")
    target = tmp_path / "sly.html"
    command("show", program, "--control", "rs274ngc", "--out", target)
    with opened(target) as page:
        assert page.title() == "sly.ngc"
        assert len(walked(page)) == 3


@pytest.mark.parametrize("between", ["\f", "\v", "\x1c", "\x85", "\u2028"])
def test_a_line_ends_where_a_control_ends_it(between: str, tmp_path: Path) -> None:
    # in a comment these end a line of a text editor, and no line of a program (RS274/NGC: a line feed does)
    program, target = tmp_path / "old.ngc", tmp_path / "old.html"
    program.write_bytes(f"(FIRST{between}SHEET)\nG21 G90 G94\nG0 X10\nM2\n".encode())
    command("show", program, "--control", "rs274ngc", "--out", target)
    data = re.search(r'id="data">(.*?)</script>', target.read_text(encoding="utf-8"), re.DOTALL)
    assert data
    shown = json.loads(data[1])
    lines = [shown["lines"][moment["line"] - 1] for moment in shown["plays"][0]["moments"] if moment["line"]]
    assert lines == ["G0 X10", "M2"]


@pytest.mark.parametrize("width", [390, 1100])
def test_nobody_is_shut_out_from_the_page(programs: Path, width: int) -> None:
    # axe-core: heads, names of controls, alternatives, order of headings, contrast (WCAG 2.1)
    with opened(page_of(programs / "north-bench/flute-rough.ngc"), width=width) as page:
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_a_byte_order_mark_stops_no_page(programs: Path) -> None:
    program = programs / "north-bench/flute-rough.ngc"
    marked = program.with_name("marked.ngc")
    marked.write_text("\ufeff" + program.read_text("utf-8"), "utf-8")
    shown = [json.loads(DATA.findall(page_of(one).read_text("utf-8"))[0]) for one in (program, marked)]
    plain, other = ([moment["what"] for moment in one["plays"][0]["moments"]] for one in shown)
    assert plain == other
