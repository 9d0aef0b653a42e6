"""What is wrong with a control's folder is told in a sentence, with file and key, before anything is written."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from example_files import GONE, MACHINE, RECIPE, tables
from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.draft import Program
from gen.control.folders import load_control
from gen.control.options import Options
from strategies import Pair

from .mixed import CONTROL, NAME, WORDS


def folder_with(tmp_path: Path, control: str = CONTROL, words: str = WORDS) -> Path:
    (tmp_path / NAME).mkdir()
    (tmp_path / NAME / "control.toml").write_text(control)
    (tmp_path / NAME / "words.j2").write_text(words)
    return tmp_path


def without(pattern: str, text: str = CONTROL) -> str:
    shorter = re.sub(pattern, "", text, flags=re.MULTILINE)
    assert shorter != text
    return shorter


@pytest.mark.parametrize(
    ("control", "key", "says"),
    [
        (without("^coolant_off.*"), "codes.coolant_off", "this word is missing"),
        (without("^dwell = .*"), "once.dwell", "this word is missing"),
        (without(r", inch = .G70."), "groups.units.inch", "this word is missing"),
        (CONTROL.replace('"cycle.off"', '"cycles.off"'), "cancels", 'there is no mode "cycles.off"'),
        (CONTROL.replace('"G54"\n\n[once', '"G59"\n\n[once'), "defaults.work_offset", 'no mode "work_offset.G59"'),
        (without(', number_word = "P"'), "flow.subprograms.number_word", "a word that calls wants"),
        (CONTROL.replace('"M18"', '"18"'), "codes.coolant_on", 'read "18"'),
        (CONTROL.replace('"round"', '"rounded"'), "variables.functions.RND", 'did you mean "round"'),
        (CONTROL.replace("alone", "lone"), "lone", 'the nearest known one is "alone"'),
    ],
)
def test_a_table_that_will_not_do(control: str, key: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(DressblockError) as caught:
        load_control(NAME, [folder_with(tmp_path, control)])
    (sentence,) = caught.value.sentences
    assert sentence.startswith(f"{tmp_path / NAME / 'control.toml'}: {key}: ")
    assert says in sentence


def built(folder: Path) -> Program:
    machine = tables(MACHINE, {"control": NAME, "host": GONE, "codes": {}})
    dress = Pair(machine, tables(RECIPE, {})).dress()
    return build(dress.recipe, dress.machine, ("g", "d"), Options(control_folders=(folder,)))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (without(r"\{% macro guard(.|\n)*?endmacro %\}", WORDS), 'no macro "guard"'),
        (WORDS.replace("{{ stop }}", "{{ halt }}"), 'nothing gives "halt"'),
        (WORDS.replace("macro let(number, value, remark)", "macro let(number, value)"), 'nothing gives "remark"'),
        (WORDS + "{% macro let(number) %}{{ number }}{% endmacro %}", 'the macro "let" fails'),
        (WORDS.replace("{{ stop }}", "{{ stop"), "this template cannot be used"),
        # what is written does not do what was planned
        (WORDS.replace('"round": "RND"', '"round": "INT"'), "does not read back as planned"),
    ],
)
def test_templates_that_will_not_do(words: str, says: str, tmp_path: Path) -> None:
    assert words != WORDS
    with pytest.raises(DressblockError, match=re.escape(says)):
        built(folder_with(tmp_path, words=words))


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        # a guard whose message leads on to the dress, and one that lets everything through
        ("GOTO {{ label }}\nN{{ after }}\n{{ body }}", "N{{ after }}\n{{ body }}", "accept-only"),
        ("IF ({{ condition }}) GOTO {{ after }}\nN{{ label }} ", "GOTO {{ after }}\nN{{ label }} ", "accept-only"),
    ],
)
def test_templates_that_read_as_planned_and_are_still_wrong(old: str, new: str, rule: str, tmp_path: Path) -> None:
    assert old in WORDS
    program = built(folder_with(tmp_path, words=WORDS.replace(old, new)))
    assert rule in {finding.rule for finding in program.findings if finding.severity == "error"}
    assert not program.accepted
