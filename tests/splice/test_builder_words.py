"""Words of a machine's builder and programs kept elsewhere: vouched for, read along, or nobody knows."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Bench, Host
from test_refusals import END, START, told

from gen.base.errors import DressblockError
from gen.control.dialect import dialect_for
from gen.jobs.splice import Asked, Spliced, prepare_spliced
from gen.plan.step import Move
from gen.reader import ReadState, read
from gen.shop.load import load_machine
from judge import ORIGIN

NGC = Host("north-bench", "any.ngc", "flute-rough")
HASH = Host("south-bench", "any.nc", "gash-cup")
R = Host("north-bench", "any.mpf", "flute-rough")
STATED = "G21 G90 G94 G17 G64 G49 G40 G80 G97 G8 G92.2 G54 M48 M9\n"
OUT = "M3 S4000\nG4 P3\nG0 X200 Z100\n"


def bench_of(host: Host, control: str, tmp_path: Path, said: str = "") -> Bench:
    bench = Bench.of(host, control, tmp_path / str(len(list(tmp_path.iterdir()))))
    text = bench.machine.read_text()
    host_table = text.replace("[host]\n", f"[host]\n{said}\n")
    bench.machine.write_text(host_table if "[host]" in text else f"{text}\n[host]\n{said}\n")
    return bench


def spliced(bench: Bench, host: Host, text: str, *files: Path) -> Spliced:
    path = bench.root / host.file
    path.write_text(text)
    return prepare_spliced(path, bench.recipe(host), Asked(files=files))


def test_a_word_that_the_machine_file_vouches_for_changes_nothing(tmp_path: Path) -> None:
    text = f"{START}M123 P4\nG0 X200 Z100\n(DRESS HERE)\n{END}"
    unknown = spliced(bench_of(NGC, "rs274ngc", tmp_path), NGC, text)
    assert told(unknown) == [("host-state", 5)]
    assert "put M123 under [host] known" in unknown.findings[0].message
    vouched = spliced(bench_of(NGC, "rs274ngc", tmp_path, 'known = ["M123"]'), NGC, text)
    assert told(vouched) == []


def test_what_nobody_knows_is_no_matter_once_it_is_stated_again(tmp_path: Path) -> None:
    text = f"{START}M123\nM3 S4000\nG4 P3\nM9\nG0 X200 Z100\n(DRESS HERE)\n{END}"
    assert told(spliced(bench_of(NGC, "rs274ngc", tmp_path), NGC, text)) == []


@pytest.mark.parametrize(
    ("word", "why"),
    [
        ("M3", "codes.spindle_cw"), ("M03", "codes.spindle_cw"), ("G91", "groups.distance.incremental"),
        ("M30", "codes.end_rewind"), ("M6", "does more with it"), ("G53", "once.machine_frame"),
        ("F100", "F is no letter"),
        ("M66 L0 P0", "codes.synchronise"), ("M3 P1", "codes.spindle_cw"), ("X5", "X is no letter"),
    ],
)  # fmt: skip
def test_a_word_with_another_meaning_cannot_be_vouched_for(tmp_path: Path, word: str, why: str) -> None:
    bench = bench_of(NGC, "rs274ngc", tmp_path, f'known = ["{word}"]')
    with pytest.raises(DressblockError, match="so that it does not leave everything as it found it") as caught:
        dialect_for(load_machine(bench.machine))
    assert caught.value.key == "host.known"
    assert why in str(caught.value)


@pytest.mark.parametrize(
    ("control", "word"),
    [
        ("hash-variables", "M98"),
        ("hash-variables", "M99"),
        ("r-variables", "GOTOF"),
        ("r-variables", "M17"),
        ("r-variables", "SUPA"),
    ],
)
def test_nor_can_a_word_that_directs_the_flow(tmp_path: Path, control: str, word: str) -> None:
    bench = bench_of(NGC, control, tmp_path, f'known = ["{word}"]')
    with pytest.raises(DressblockError, match="so that it does not leave everything as it found it"):
        dialect_for(load_machine(bench.machine))


def test_a_vouched_word_is_no_switch_of_the_machine_either(tmp_path: Path) -> None:
    """M3 turns the spindle, even where this machine's own word for that is another."""
    bench = bench_of(NGC, "rs274ngc", tmp_path, 'known = ["M3"]')
    bench.machine.write_text(f'{bench.machine.read_text()}\n[codes]\nspindle_cw = "M13"\n')
    with pytest.raises(DressblockError, match=r"codes\.spindle_cw"):
        dialect_for(load_machine(bench.machine))


def test_axis_words_beside_a_g_word_of_the_builder_are_nobodys(tmp_path: Path) -> None:
    """Whether they move, or are the builder's own values, is not known; beside an M-word they move."""
    bench = bench_of(NGC, "rs274ngc", tmp_path, 'known = ["G131", "M131"]')
    control = dialect_for(load_machine(bench.machine)).control
    start = ReadState(positions=ORIGIN)
    lost = read("G21 G90 G0 X1\nG131 P1\nG131 X5 P1\nM2\n", control, start)
    assert [entry.line for entry in lost.unread] == [3]
    assert [step.to["X"] for step in lost.steps if isinstance(step, Move)] == [1]
    moved = read("G21 G90 G0 X1\nM131 X5 P1\nM2\n", control, start)
    assert moved.unread == []
    assert [step.to["X"] for step in moved.steps if isinstance(step, Move)] == [1, 5]


CALLS = {
    "rs274ngc": (NGC, "o<measure> call [3]", "measure", f"{STATED}{OUT}{{}}\nG0 X200\n(DRESS HERE)\n{END}"),
    "hash-variables": (
        HASH,
        "M98 P3000",
        "P3000",
        "G21 G90 G94 G17 G64 G49\nG53 G0 X-250.\n{}\n(DRESS HERE)\nG53 G0 X-250.\nM30\n",
    ),
    "r-variables": (
        R,
        "L100",
        "L100",
        f"G710 G90 G94 G17 G64 D0\nTRANS\n{OUT.replace('P3', 'F3')}{{}}\nG0 X200\n;DRESS HERE\n{END}",
    ),
}


@pytest.mark.parametrize("control", CALLS)
def test_a_program_kept_elsewhere_may_do_anything_unless_it_is_vouched_for(tmp_path: Path, control: str) -> None:
    host, call, name, text = CALLS[control]
    unknown = spliced(bench_of(host, control, tmp_path), host, text.format(call))
    assert {rule for rule, _ in told(unknown)} == {"host-state"}
    assert all("under [host] unchanged" in one.message for one in unknown.findings if one.severity == "error")
    vouched = bench_of(host, control, tmp_path, f'unchanged = ["{name}"]')
    assert told(spliced(vouched, host, text.format(call))) == []


FILES = {
    "rs274ngc": ("measure.ngc", "%\no<measure> sub\n#100 = [#1 + 2]\nG0 Y#100\no<measure> endsub\n%\n"),
    "hash-variables": ("O3000.nc", "%\nO3000\nG53 G0 Y-5.\nM99\n%\n"),
    "r-variables": ("L100.spf", "SUPA G0 Y5\nM17\n"),
}


@pytest.mark.parametrize("control", CALLS)
def test_the_file_of_a_called_program_is_read_along_and_not_written(tmp_path: Path, control: str) -> None:
    host, call, _, text = CALLS[control]
    name, held = FILES[control]
    bench = bench_of(host, control, tmp_path)
    file = bench.root / name
    file.write_text(held)
    before = text.format(call)
    job = spliced(bench, host, before, file)
    assert told(job) == []
    assert job.text is not None
    lines = job.text.splitlines()
    assert lines[: job.lines.start - 1] + lines[job.lines.stop - 1 :] == before.splitlines()
    file.write_text(held.replace("Y", "Q1 Y"))
    refused = spliced(bench, host, before, file)
    assert refused.refused
    line = held.splitlines().index(next(row for row in held.splitlines() if "Y" in row)) + 1
    assert any(f"{file}, line {line}: " in one.message for one in refused.findings)


def test_a_file_that_leaves_inches_is_seen(tmp_path: Path) -> None:
    host, call, _, text = CALLS["rs274ngc"]
    bench = bench_of(host, "rs274ngc", tmp_path)
    file = bench.root / "measure.ngc"
    file.write_text("o<measure> sub\nG20\no<measure> endsub\n")
    job = spliced(bench, host, text.format(call), file)
    assert job.text is not None
    assert "G20" in job.text.partition("as it was before")[2].partition("END DRESS")[0] or "G20" in job.text
    file.write_text("(nothing here)\n")
    with pytest.raises(DressblockError, match="no program that another could call"):
        spliced(bench, host, text.format(call), file)


def test_what_is_not_understood_in_a_program_called_before_the_place_counts(tmp_path: Path) -> None:
    """It stands behind the place and runs before it."""
    text = "G21 G90 G94 G17 G64 G49\nG53 G0 X-250.\nM98 P3000\n(DRESS HERE)\nG53 G0 X-250.\nM30\nO3000\nQ1\nM99\n"
    assert told(spliced(bench_of(HASH, "hash-variables", tmp_path), HASH, text)) == [("host-place", 8)]
    behind = text.replace("M98 P3000\n(DRESS HERE)\n", "(DRESS HERE)\nM98 P3000\n")
    assert told(spliced(bench_of(HASH, "hash-variables", tmp_path), HASH, behind)) == []


def test_a_home_that_is_set_from_where_the_dress_left_an_axis_keeps_it_out(tmp_path: Path) -> None:
    text = f"{START}(DRESS HERE)\nG28.1\n{END}"
    assert ("host-path", 6) in told(spliced(bench_of(NGC, "rs274ngc", tmp_path), NGC, text))
    stated = f"{START}(DRESS HERE)\nG0 X200 Z100\nG28.1\n{END}"
    assert told(spliced(bench_of(NGC, "rs274ngc", tmp_path), NGC, stated)) == []
