"""A language is a folder: copied it says the same, changed it says something else, and it can do nothing but say."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from benches import Page, variants
from click.testing import Result

from gen.base.languages import FILES, languages
from gen.base.places import data_folder
from gen.control.letters import within
from gen.paper.sheet import sheet
from runner import invoke

SHOP = data_folder("machines")
FLUTE = SHOP / "north-bench/dress/flute-rough.toml"
TIMID = SHOP / "south-bench/logs/gash-cup-timid.csv"
CUP = SHOP / "south-bench/dress/gash-cup.toml"
SHIPPED = data_folder("templates") / "languages"


def run(*words: object) -> Result:
    return invoke(*words)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A shop's own language, begun as a copy of the English one."""
    return Path(shutil.copytree(SHIPPED / "en", tmp_path / "shop"))


def changed(folder: Path, file: str, old: str, new: str) -> Path:
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return folder


ANSWERS = (
    ("feed", "--wheel-speed", "20 m/s", "--length", "25 mm"),
    ("grit", "--wheel-grit", "D126", "--concentration", "100", "--wheel-grit", "D54", "--concentration", "75"),
    ("interval", TIMID, "--limit", "2 kW", "--recipe", CUP),
    ("limits", SHOP / "north-bench"),
    ("chart", FLUTE, "--kind", "stick"),
)


@pytest.mark.parametrize("language", languages())
def test_a_copy_says_the_same_and_keeps_to_what_a_language_may_do(language: str, tmp_path: Path) -> None:
    copy = str(shutil.copytree(SHIPPED / language, tmp_path / "copy"))
    for name, program in variants().items():
        assert sheet(program, copy) == sheet(program, language), name
    for words in ANSWERS:
        assert run(*words, "--language", copy).stdout == run(*words, "--language", language).stdout != ""
    for place in (language, copy):
        made = run("generate", FLUTE, "--out", tmp_path / "programs" / Path(place).name, "--language", place)
        assert made.exit_code == 0, made.output
    written = [(tmp_path / "programs" / name / "north-bench/flute-rough.ngc") for name in (language, "copy")]
    # nor does such a program have messages of its own, which check could not find again
    own = ("SEAL", "LANGUAGE", "(MSG,")
    lines = [one.read_text().splitlines() for one in written]
    without = [[line for line in some if not any(word in line for word in own)] for some in lines]
    # only a language that ships with the package is named, since a folder of one's own lies elsewhere next time
    assert without[0] == without[1]
    assert "LANGUAGE" not in written[1].read_text()


@pytest.mark.parametrize("words", ANSWERS, ids=lambda words: str(words[0]))
def test_the_second_language_has_no_english_left(words: tuple[object, ...]) -> None:
    said = run(*words, "--language", "de").stdout
    said = re.sub(r"Flute roughing wheel, opening|\bflute-rough\b", "", said)
    common = r"\b(?:the|and|with|wheel|stick|feed|spindle|dress|dresses|each|of|to|at|is|for|from)\b"
    text = " ".join(re.findall(r">([^<>]+)<", said)) if words[0] == "chart" else said
    assert re.findall(common, text.lower()) == []
    assert not re.search(r"\d\.\d", text)


def test_a_changed_word_is_said_everywhere(own: Path, tmp_path: Path) -> None:
    changed(own, "words.j2", '"Plunge feed"', '"Steekvoeding"')
    changed(own, "heading.j2", "AGGRESSIVENESS", "AGRESSIVITEIT")
    changed(own, "language.toml", 'tag = "en"', 'tag = "nl"')
    changed(own, "language.toml", 'decimal = "."', 'decimal = ","')
    assert run("generate", FLUTE, "--out", tmp_path, "--language", own).exit_code == 0
    page = Page((tmp_path / "north-bench/flute-rough.html").read_text(encoding="utf-8"))
    assert ("html", {"lang": "nl"}) in page.tags
    assert "Steekvoeding" in page.text
    assert "3,088 mm" in page.text
    assert "(AGRESSIVITEIT 250, BAND 200 TO 300)" in (tmp_path / "north-bench/flute-rough.ngc").read_text()
    assert run("generate", FLUTE, "--out", tmp_path, "--language", own, "--check").exit_code == 0
    assert run("generate", FLUTE, "--out", tmp_path, "--check").exit_code == 1


def test_a_program_headed_in_another_language_is_still_read_back(tmp_path: Path) -> None:
    recipes = sorted(SHOP.glob("*/dress/*.toml"))
    assert run("generate", *recipes, "--out", tmp_path, "--language", "de").exit_code == 0
    assert run("check", tmp_path).exit_code == 0
    heads = [path.read_text().split("BEGIN DRESS")[1][:2500] for path in sorted(tmp_path.glob("*/*.n*"))]
    assert len(heads) == len(recipes) + 1  # one is opened otherwise after truing
    for head in heads:
        assert re.search(r"MACHINE \S+", head)
        # no umlaut in what a control reads
        assert "AUGENUNDGEHOERSCHUTZ" in re.sub(r"[^A-Z]", "", head.upper())


@pytest.mark.parametrize(
    ("file", "old", "new", "said"),
    [
        ("words.j2", "Set-up sheet: ", "<script>Set-up sheet: ", 'words.j2: line .*"<" would be markup'),
        ("words.j2", "Set-up sheet: ", '{{ "x" * 9 }}', "mul"),
        ("words.j2", "Set-up sheet: ", "{{ s.identity.title.upper() }}", "only a macro can be called"),
        ("words.j2", "Set-up sheet: ", "{{ s.identity.__class__ }}", "unsafe"),
        ("words.j2", "Set-up sheet: ", "{{ s.identity.titel }}", "titel"),
        ("words.j2", "Set-up sheet: ", "{{ range(9) }}", 'nothing gives "range"'),
        ("words.j2", "Set-up sheet: ", '{% include "sheet.css" %}', "include"),
        ("words.j2", "Set-up sheet: ", "{{ s.modes | safe }}", 'no filter "safe"'),
        ("words.j2", "Set-up sheet: ", "{{ heading(s) }}", "nested too deeply|more steps"),
        ("words.j2", "Set-up sheet: ", "{% if %}", "words.j2"),
        ("heading.j2", "TITLE ", "RECIPE other\nTITLE ", "check would read"),
        ("language.toml", 'decimal = "."', 'decimal = "x"', "decimal"),
        ("language.toml", 'tag = "en"', 'tag = "\\"><"', "tag"),
        ("cautions.toml", 'short = "Never above', 'short = ""\nother = "Never above', "none may be left out"),
        ("cautions.toml", 'long = "Never above', 'long = ""\nother = "Never above', "none may be left out"),
        ("cautions.toml", '[[caution]]\nshort = "Wheel and', '[[warning]]\nshort = "Wheel and', "12 cautions"),
    ],
)  # fmt: skip
def test_what_a_language_may_not_do(own: Path, tmp_path: Path, file: str, old: str, new: str, said: str) -> None:
    changed(own, file, old, new)
    outcome = run("generate", FLUTE, "--out", tmp_path / "out", "--language", own)
    assert outcome.exit_code == 2, outcome.output
    assert re.search(said, outcome.stderr)
    assert len(outcome.stderr.strip().splitlines()) == 1
    assert not list((tmp_path / "out").rglob("*.html"))


@pytest.mark.parametrize("loops", [3, 6])
def test_what_a_language_does_is_counted(own: Path, tmp_path: Path, loops: int) -> None:
    inside = "{% for a in 'abcdefghijklmnopqrstuvwxyz' %}" * loops + "x" * 30 + "{% endfor %}" * loops
    changed(own, "words.j2", "Set-up sheet: ", inside)
    outcome = run("generate", FLUTE, "--out", tmp_path, "--language", own)
    assert outcome.exit_code == 2
    assert "more" in outcome.stderr


@pytest.mark.parametrize("file", FILES)
def test_a_file_that_is_missing_is_named(own: Path, file: str) -> None:
    (own / file).unlink()
    outcome = run("grit", "--wheel-grit", "D126", "--concentration", "100", "--language", own)
    assert outcome.exit_code == 2
    assert f"lacks {file}" in outcome.stderr


@pytest.mark.parametrize(
    ("text", "letters", "spelled"),
    [
        ("Höhe über Maß", "A-Za-z ", "Hoehe ueber Mass"),
        ("HÖHE", "A-Z", "HOEHE"),
        ("Öl", "A-Za-z", "Oel"),
        ("À côté, naïve", "A-Za-z, ", "A cote, naive"),
        ("3 µm ½ ≮", "A-Z0-9 ", "3                "[:8]),
        ("für", "a-zü", "für"),
    ],
)
def test_letters_that_a_comment_lacks_are_spelled(text: str, letters: str, spelled: str) -> None:
    assert within(text, letters).rstrip() == spelled.rstrip()
