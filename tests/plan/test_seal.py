"""The marks around a block, and the digest that notices every change of what it does."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from example_files import GONE, MACHINE, RECIPE, tables
from gen.control.origin import without_origin
from gen.control.seal import begin_mark, blocks, digest, end_mark
from strategies import Pair, options, pairs

NUMBER = re.compile(r"^[Nn]\d+\s*(?=\S)")
"""A sequence number with something behind it; one alone is the target of a jump."""


@settings(max_examples=60, deadline=None)
@given(pairs(), st.data())
def test_a_program_bears_one_unaltered_block(pair: Pair, data: st.DataObject) -> None:
    program = pair.program(data.draw(options(pair.dress())))
    (block,) = blocks(program.text.splitlines())
    assert not block.altered
    assert block.number == pair.recipe["program"]
    assert 1 <= block.first < block.last <= len(program.text.splitlines())


@settings(max_examples=150, deadline=None)
@given(pairs(), st.data())
def test_any_character_changed_in_the_body_alters_it(pair: Pair, data: st.DataObject) -> None:
    # the line that says what it was made from is not sealed
    lines = list(without_origin(pair.program(data.draw(options(pair.dress()))).text.splitlines()))
    (block,) = blocks(lines)
    index = data.draw(st.integers(block.first, block.last - 2))
    line = lines[index]
    numbered = NUMBER.match(line)
    place = data.draw(st.integers(numbered.end() if numbered else 0, len(line) - 1))
    other = data.draw(st.sampled_from("0123456789GMSXZ.-# (").filter(lambda character: character != line[place]))
    changed = line[:place] + other + line[place + 1 :]
    if changed.strip() == line.strip():
        return
    (block,) = blocks([*lines[:index], changed, *lines[index + 1 :]])
    assert block.altered


@settings(max_examples=60, deadline=None)
@given(pairs(), st.data())
def test_a_line_gone_doubled_or_moved_alters_it(pair: Pair, data: st.DataObject) -> None:
    # the line that says what it was made from is not sealed
    lines = list(without_origin(pair.program(data.draw(options(pair.dress()))).text.splitlines()))
    (block,) = blocks(lines)
    index = data.draw(st.integers(block.first, block.last - 3))
    swapped = [*lines[:index], lines[index + 1], lines[index], *lines[index + 2 :]]
    changes = [lines[:index] + lines[index + 1 :], [*lines[:index], lines[index], *lines[index:]]]
    if lines[index] != lines[index + 1]:
        changes.append(swapped)
    for changed in changes:
        assert next(blocks(changed)).altered


@settings(max_examples=60, deadline=None)
@given(pairs(), st.data())
def test_numbers_and_line_ends_do_not_count(pair: Pair, data: st.DataObject) -> None:
    text = pair.program(data.draw(options(pair.dress()))).text
    lines = text.splitlines()
    (sealed,) = blocks(lines)
    step = data.draw(st.integers(1, 20))
    renumbered = [
        f"N{step * (index + 1)} {NUMBER.sub('', line)}  " if not re.fullmatch(r"[Nn]\d+\s*", line) else line
        for index, line in enumerate(lines)
    ]
    for changed in (renumbered, "\r\n".join(lines).split("\n"), [line + " \t" for line in lines]):
        (block,) = blocks(changed)
        assert (block.altered, block.computed) == (False, sealed.computed)


def test_a_jump_target_counts() -> None:
    # a number alone on its line is where a jump goes; moving it changes what the program does
    assert digest(["N9001", "M5"]) != digest(["N9002", "M5"])
    assert digest(["N10 M5"]) == digest(["N20 M5"]) == digest(["M5"])


def test_a_block_without_its_end_runs_to_the_end_and_is_altered() -> None:
    body = ["G21", "M5"]
    whole = [f"({begin_mark('DRESS', 7101, digest(body))})", *body, f"({end_mark('DRESS', 7101)})"]
    assert [block.altered for block in blocks(whole)] == [False]
    (open_ended,) = blocks([*whole[:-1], "M30"])
    assert (open_ended.last, open_ended.altered) == (4, True)
    (wrong_end,) = blocks([*whole[:-1], f"({end_mark('DRESS', 7102)})"])
    assert wrong_end.altered


def test_two_blocks_in_one_host() -> None:
    body, other = ["M8"], ["M9"]
    text = [
        f"({begin_mark('DRESS', 1, digest(body))})", *body, f"({end_mark('DRESS', 1)})", "G0 X0",
        f"({begin_mark('DRESS', 2, digest(body))})", *other, f"({end_mark('DRESS', 2)})",
    ]  # fmt: skip
    assert [(block.number, block.first, block.last, block.altered) for block in blocks(text)] == [
        (1, 1, 3, False),
        (2, 5, 7, True),
    ]


@pytest.mark.parametrize("control", ["rs274ngc", "hash-variables", "iso6983"])
@pytest.mark.parametrize(
    "title",
    [
        "END DRESS 7101",
        "XEND DRESS 7101",
        "end_dress 7101",
        "END→DRESS 7101",
        "END PROVE-OUT 7101",
        "BEGIN DRESS 7101 SEAL 0123456789ABCDEF",
        "BEGIN PROVE-OUT 7101 SEAL 0123456789ABCDEF",
    ],
)
@pytest.mark.parametrize("lead", [0, 20, 44, 52])
def test_a_title_is_never_taken_for_a_mark(control: str, title: str, lead: int) -> None:
    pair = plain_pair(control).titled(f"{'T' * lead} {title}".strip())
    (block,) = blocks(pair.program().text.splitlines())
    assert (block.number, block.altered) == (7101, False)


def plain_pair(control: str) -> Pair:
    return Pair(
        tables(MACHINE, {"control": control, "registers": GONE, "dresser.machine_frame_feeds": True}),
        tables(RECIPE, {}),
    )
