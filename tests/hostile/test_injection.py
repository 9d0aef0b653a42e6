"""Text from a file, a file's name or the command line: shown by a screen, a page, a spreadsheet; never obeyed."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as Xml

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.options import Options
from gen.jobs.generate import prepare
from gen.jobs.limit_table import as_csv, as_page, as_text
from gen.jobs.limits import Broken, Row, rows
from gen.paper.charts import drawn
from gen.paper.charts.feed import feed_chart
from gen.paper.charts.motion import motion_chart
from gen.paper.charts.plot import FULL
from gen.paper.charts.power import power_chart
from gen.paper.charts.stick import stick_chart
from gen.paper.sheet import sheet
from gen.power.answer import answer
from gen.power.log import read_log
from gen.shop.dress import Dress
from gen.shop.load import load_recipe
from runner import invoke

SHOP = data_folder("machines") / "north-bench"
MARKUP = [
    *("<script>alert(1)</script>", "</title><script>", "<img src=x onerror=alert(1)>", '"><svg/onload=alert(1)>'),
    *(
        "' onmouseover='alert(1)",
        "javascript:alert(1)",
        "<!-- ",
        "-->",
        "]]>",
        "<![CDATA[",
        "&lt;script&gt;",
        "&#60;b>",
    ),
    *(
        "</style><script>",
        "</text><script>",
        "<?xml version='1.0'?>",
        "<!DOCTYPE x [<!ENTITY a 'b'>]>&a;",
        "{{ 7 * 7 }}",
    ),
    *("{% raw %}", "＜script＞", "<a href=//x>", "`${1}`", "\\", "/*", "url(//x)", "@import '//x'", "=1+1", "#"),
]
TEXTS = st.lists(st.sampled_from(MARKUP) | st.text(max_size=12), min_size=1, max_size=3).map("".join)
SHOWN = TEXTS.map(lambda text: "".join(filter(str.isprintable, text)).strip()[:120].strip()).filter(bool)
SOME = settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
EVIL = "\x1b[2J\x1b]0;owned\x07\x9b31m\u202e\u2066\r\x08"
"""Clears a screen, names its window, colours it, turns the direction of writing, and goes back over what was said."""


class Page(HTMLParser):
    """The tags and attributes of a page, and its text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, tuple[str, ...]]] = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, tuple(name for name, _ in attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_comment(self, data: str) -> None:
        self.tags.append(("!--", ()))

    def handle_decl(self, decl: str) -> None:
        self.tags.append(("!", ()))


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(SHOP, tmp_path / "shop")
    return tmp_path / "shop"


def quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def written(shop: Path, title: str, wheel: str, machine: str, name: str = "any") -> Path:
    """A recipe file of this title and wheel in ``shop``, whose machine has this title."""
    text = (SHOP / "dress/flute-rough.toml").read_text(encoding="utf-8")
    text = re.sub(r"(?m)^title = .*$", lambda _: f"title = {quoted(title)}", text, count=1)
    text = re.sub(r"(?m)^name = .*$", lambda _: f"name = {quoted(wheel)}", text, count=1)
    path = shop / f"dress/{name}.toml"
    path.write_text(text, encoding="utf-8")
    bench = (SHOP / "machine.toml").read_text(encoding="utf-8")
    bench = re.sub(r"(?m)^title = .*$", lambda _: f"title = {quoted(machine)}", bench, count=1)
    (shop / "machine.toml").write_text(bench, encoding="utf-8")
    return path


@given(title=SHOWN, wheel=SHOWN, machine=SHOWN)
@SOME
def test_a_sheet_has_the_tags_of_a_plain_one(title: str, wheel: str, machine: str, shop: Path) -> None:
    plain = Page(sheet(prepare(written(shop, "Plain", "Wheel", "Bench"), Options())[0].program, "en").html)
    page = Page(sheet(prepare(written(shop, title, wheel, machine), Options())[0].program, "en").html)
    assert page.tags == plain.tags
    for text in (title, wheel, machine):
        assert " ".join(text.split()) in " ".join(page.text.split())


@given(title=SHOWN, setting=SHOWN, reason=SHOWN)
@SOME
def test_a_page_of_limits_has_the_tags_of_a_plain_one(title: str, setting: str, reason: str, shop: Path) -> None:
    def page(*texts: str) -> Page:
        found = [replace(row, machine=texts[0], recipe=texts[0]) for row in ROWS]
        return Page(as_page(found, [Broken(texts[0], texts[0], (texts[2],))], [texts[1]]))

    made = page(title, setting, reason)
    assert made.tags == page("a", "b", "c").tags
    assert reason in made.text


ROWS: list[Row] = rows(prepare(SHOP / "dress/flute-rough.toml", Options())[0].program)


@pytest.mark.parametrize("text", MARKUP)
def test_a_drawing_has_the_elements_of_a_plain_one(text: str, tmp_path: Path) -> None:
    program = prepare(SHOP / "dress/flute-rough.toml", Options())[0].program
    log = answer(read_log(SHOP / "logs/flute-rough-good.csv"), 2.0)

    def elements(title: str) -> list[list[tuple[str, list[str]]]]:
        named = program.dress.recipe.model_copy(update={"title": title})
        dress = Dress(named, program.dress.machine)
        charts = (
            feed_chart(dress, FULL),
            motion_chart(replace(program, dress=dress), FULL),
            stick_chart(dress, FULL),
            power_chart(log, title),
        )
        roots = [Xml.fromstring(str(drawn(chart))) for chart in charts if chart is not None]
        return [[(one.tag, sorted(one.attrib)) for one in root.iter()] for root in roots]

    assert elements(text) == elements("Plain")


@given(st.lists(st.sampled_from("=+-@\t\r\n '\"|＝a1\x00") | st.characters(), max_size=8).map("".join))
@settings(max_examples=200, deadline=None)
def test_no_cell_is_a_formula_and_numbers_stay_numbers(name: str) -> None:
    text = as_csv([replace(row, machine=name, recipe=name) for row in ROWS])
    for row, cells in zip(ROWS, list(csv.reader(io.StringIO(text, newline="")))[1:], strict=True):
        for cell in (cells[0], cells[1]):
            # what a spreadsheet program may take for a formula: OWASP, "CSV Injection", from memory
            assert not cell.strip().startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠"))
            assert cell.isprintable()
        assert [float(cell) for cell in cells[3:6]] == pytest.approx([row.value, row.limit, row.margin], abs=1e-6)


def test_a_table_keeps_its_columns_whatever_a_file_is_called() -> None:
    text = as_text([replace(row, recipe=f"a\tb\n{EVIL}") for row in ROWS])
    assert len(text.splitlines()) == len(ROWS) + 1
    assert all(line.isprintable() for line in text.splitlines())


def obeyed(output: str) -> list[str]:
    """The characters of ``output`` that a screen would obey."""
    return [character for character in output if not character.isprintable() and character != "\n"]


def test_nothing_printed_is_obeyed(shop: Path) -> None:
    """File names, keys, values, options, comments and messages of a program, in every command that repeats them."""
    name = EVIL.replace("/", "")
    good = written(shop, "Plain", "Wheel", "Bench", f"good{name}")
    bad = shop / f"dress/bad{name}.toml"
    bad.write_text(f'title = "x"\n"{json.dumps(name)[1:-1]}" = 1\nprogram = "{json.dumps(name)[1:-1]}"\n')
    broken = shop / f"dress/broken{name}.toml"
    broken.write_bytes(b"a = " + name.encode())
    host = shop / f"host{name}.ngc"
    host.write_text(f"N1 FROB{name}\n(MSG, {name})\nG1 X1 {name}\n(DRESS HERE {name})\nM2\n")
    log = shop / f"log{name}.csv"
    log.write_text(f"part,power_kw,{name.replace(chr(13), '')}\n1,2,3\n")
    heard = 0
    for words in (
        ("generate", good, bad, broken, shop / f"none{name}", "--out", shop / f"out{name}"),
        ("generate", good, "--out", shop / f"out{name}", "--check"),
        ("generate", good, "--language", name, "--out", shop / "out"),
        ("check", host, "--machine", shop / "machine.toml"),
        ("check", host, "--json", "--machine", shop / "machine.toml"),
        ("check", host),
        ("check", host, "--format", "sarif", "--machine", shop / "machine.toml"),
        ("splice", host, good),
        ("splice", host, good, "--after", name),
        ("splice", host, good, "--set", name),
        ("trace", host, "--control", "rs274ngc"),
        ("trace", host, "--control", "rs274ngc", "--json"),
        ("trace", host, "--control", "rs274ngc", "--set", f"{name}=x"),
        ("trace", host, "--control", name),
        ("interval", log, "--limit", "2 kW"),
        ("interval", log, "--limit", name),
        ("limits", shop),
        ("limits", shop, "--csv"),
        ("limits", shop, "--json"),
        ("limits", shop, "--set", f"axes.{name}=1"),
        ("limits", shop / name),
        ("chart", bad),
        ("new", "recipe", shop / f"new{name}.toml"),
        ("new", "recipe", shop / f"new{name}.toml"),
        ("grit", "--wheel-grit", name),
        ("feed", "--wheel-speed", name),
        ("feed", "--wheel-speed", "20 m/s", "--aggressiveness", name),
        ("feed", f"--{name}"),
        (name,),
    ):
        result = invoke(*words)
        assert result.exception is None or isinstance(result.exception, SystemExit), (words, result.exception)
        heard += bool(result.output)
        if "--csv" in words:
            assert set(obeyed(result.output)) <= {"\r"}
            continue
        assert obeyed(result.output) == [], (words, result.output)
    assert heard >= 25


@pytest.mark.parametrize("suffix", [".html", ".txt", ".toml", ".tmp", "/../x", "", ".", ".a/b", ".A", "..", ".a\n"])
def test_a_control_cannot_name_its_programs_like_a_sheet_or_elsewhere(suffix: str, shop: Path) -> None:
    own = shop / "own/rs274ngc"
    shutil.copytree(data_folder("templates") / "controls/rs274ngc", own)
    text = (own / "control.toml").read_text(encoding="utf-8")
    (own / "control.toml").write_text(re.sub(r'file_suffix = ".*"', lambda _: f"file_suffix = {quoted(suffix)}", text))
    with pytest.raises(DressblockError, match=r"control\.toml: file_suffix: .*\.$"):
        prepare(shop / "dress/flute-rough.toml", Options(control_folders=(own.parent,)))


@pytest.mark.parametrize("number", ['"../../x"', "-1", "0", "7101.5", '"7101/../x"', "[7101]", "100000"])
def test_a_program_number_is_a_number(number: str, shop: Path) -> None:
    text = (SHOP / "dress/flute-rough.toml").read_text(encoding="utf-8")
    (shop / "dress/any.toml").write_text(re.sub(r"(?m)^program = .*$", lambda _: f"program = {number}", text))
    with pytest.raises(DressblockError, match=r"any\.toml: program: .*\.$"):
        load_recipe(shop / "dress/any.toml")


@pytest.mark.parametrize("control", ["../rs274ngc", "/etc", ".", "..", "", "rs274ngc/../rs274ngc", "a\x00b", "~"])
def test_a_control_is_a_name(control: str, shop: Path) -> None:
    text = (SHOP / "machine.toml").read_text(encoding="utf-8")
    text = re.sub(r"(?m)^control = .*$", lambda _: f"control = {json.dumps(control)}", text)
    (shop / "machine.toml").write_text(text)
    with pytest.raises(DressblockError, match="control: "):
        prepare(shop / "dress/flute-rough.toml", Options())


@pytest.mark.parametrize("heading", ["../../evil", "/evil", "..", "evil/../shop", "."])
def test_a_heading_leads_to_no_file_but_those_beside_it(heading: str, shop: Path) -> None:
    """What a program says of its machine and recipe is a name, not a path."""
    evil = shop.parent / "evil"
    shutil.copytree(SHOP, evil)
    program = shop / "programs/p.ngc"
    program.parent.mkdir()
    program.write_text(f"(MACHINE {heading})\n(RECIPE {heading})\nG21\nM2\n")
    result = invoke("check", str(program))
    assert result.exit_code == 2
    # points alone are no name, and so no heading
    said = f"there is no {heading}/machine.toml near" if heading.strip(".") else "nothing says which machine it is for"
    assert said in result.output
