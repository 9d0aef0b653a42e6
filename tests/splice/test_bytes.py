"""Every byte of the program that is not the dress's stays, and what somebody changed by hand is not lost."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from hosts import Bench, Host
from hypothesis import given
from hypothesis import strategies as st

from gen.host.text import HostLines
from gen.jobs.splice import Asked, prepare_spliced, write_spliced

HOST = Host("north-bench", "any.ngc", "flute-rough")
LINES = ["%", "(KÖRPER, 2ND CUT)", "G21 G90 G94 G17", "G0 X200 Z100", "N120 (DRESS HERE)", "", "G0 X20  ", "M2", "%"]


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench.of(HOST, "rs274ngc", tmp_path)


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("last", [True, False], ids=["ended", "open"])
def test_line_ends_and_encoding_stay(bench: Bench, encoding: str, end: str, last: bool) -> None:
    path = bench.root / HOST.file
    before = (end.join(LINES) + (end if last else "")).encode(encoding)
    path.write_bytes(before)
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked(after="N120")), path)
    once = path.read_bytes()
    head, tail = (
        (end.join(LINES[:5]) + end).encode(encoding),
        before[len((end.join(LINES[:5]) + end).encode(encoding)) :],
    )
    assert once.startswith(head)
    assert once.endswith(tail)
    assert len(once) > len(before)
    inserted = once[len(head) : len(once) - len(tail)]
    assert inserted.count(b"\n") == inserted.count(end.encode())
    assert prepare_spliced(path, bench.recipe(HOST), Asked(after="N120")).same


def test_a_place_at_the_very_end_of_an_open_text(bench: Bench) -> None:
    path = bench.root / HOST.file
    path.write_text("G21 G90 G94 G17\nG0 X200 Z100\n(DRESS HERE)")
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path)
    once = path.read_bytes()
    job = prepare_spliced(path, bench.recipe(HOST), Asked())
    assert job.same
    assert once.endswith(b"(END DRESS 7101)")


def test_a_block_changed_by_hand_is_kept_without_force(bench: Bench) -> None:
    path = bench.root / HOST.file
    path.write_text("\n".join(LINES))
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path)
    generated = path.read_text()
    path.write_text(generated.replace("G4 P3", "G4 P5", 1))
    by_hand = path.read_text()
    job = write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path)
    assert job.refused
    assert [(one.rule, one.certainty) for one in job.findings if one.severity == "error"] == [("altered", "changed")]
    assert path.read_text() == by_hand
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked()), path, force=True)
    assert path.read_text() == generated


def test_a_call_takes_the_place_of_the_block(bench: Bench) -> None:
    path = bench.root / HOST.file
    path.write_text("\n".join(LINES))
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked(back=True)), path)
    assert "BEGIN RETURN 7101" in path.read_text()
    write_spliced(prepare_spliced(path, bench.recipe(HOST), Asked(call=True)), path)
    text = path.read_text()
    assert "O7101 call" in text
    assert "DRESS 7101" not in text
    assert "RETURN 7101" not in text


def test_numbers_of_the_program_are_not_given_again(bench: Bench) -> None:
    bench.machine.write_text(bench.machine.read_text() + "\n[codes]\nnumber_step = 10\n")
    path = bench.root / HOST.file
    path.write_text("\n".join(LINES).replace("G0 X20  ", "N20 G0 X20"))
    job = prepare_spliced(path, bench.recipe(HOST), Asked())
    assert job.text is not None
    numbers = [line.split()[0] for line in job.text.splitlines() if line.startswith("N")]
    assert len(numbers) > 20
    assert len(set(numbers)) == len(numbers)


@given(st.lists(st.sampled_from(["a", "\r\n", "\n", "a\rb"]), max_size=9).map("".join), st.data())
def test_a_text_comes_apart_into_lines_and_goes_together_again(text: str, data: st.DataObject) -> None:
    """Held against the lines as Python's own files have them where only a line feed ends one."""
    lines = list(io.StringIO(text, newline="\n"))
    host = HostLines(text)
    assert len(host) == len(lines)
    assert host.bare == [line.removesuffix("\n").removesuffix("\r") for line in lines]
    assert [host.line(number) for number in range(1, len(lines) + 1)] == host.bare
    first = data.draw(st.integers(1, len(lines) + 1))
    last = data.draw(st.integers(first - 1, len(lines)))
    assert host.part(first, last) == "".join(lines[first - 1 : last])
    assert host.without(first, last).text == "".join([*lines[: first - 1], *lines[last:]])
    more = host.with_lines(last, ["b", "c"])
    assert more.bare == [*host.bare[:last], "b", "c", *host.bare[last:]]
    if text.endswith("\n"):
        assert more.without(last + 1, last + 2).text == text
