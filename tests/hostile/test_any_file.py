"""Files of any content: exits 0, 1 or 2, no traceback, in bounded time and memory."""

from __future__ import annotations

import shutil
import time
import tracemalloc
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_files import MACHINE, RECIPE
from gen.base.places import data_folder
from gen.control.folders import load_control
from gen.control.model import Control
from gen.reader import Budget, lower, run
from runner import invoke

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983")
QUIET = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def command(*words: object) -> int:
    result = invoke(*words)
    assert result.exception is None or isinstance(result.exception, SystemExit), (words, result.exception)
    assert "Traceback" not in result.output
    assert result.exit_code in (0, 1, 2)
    return result.exit_code


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(data_folder("machines") / "north-bench", tmp_path / "north-bench")
    return tmp_path / "north-bench"


@st.composite
def damaged(draw: st.DrawFn, text: str) -> bytes:
    """``text`` with a few pieces of it taken out, doubled, swapped, or replaced by anything."""
    data = text.encode()
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(data)))
        stop = min(len(data), start + draw(st.integers(0, 30)))
        more = draw(st.one_of(st.binary(max_size=6), st.sampled_from(TOKENS), st.just(data[start:stop] * 2)))
        data = data[:start] + more + data[stop:]
    return data


TOKENS = [b"1e999999999", b"nan", b"-0", b"[[", b"{}", b"'''", b"9" * 400, b"\xff", b"\x00", b"1979-05-27", b"[a" * 50]
TOKENS += [b'"0 mm"', b'"-1 mm"', b'"99999999 m/s"', b'"0.0000000001 mm"', b'"1 km"', b"true", b"0x10", b"+inf"]


@given(data=damaged(RECIPE.replace("…", "title")))
@QUIET
def test_any_recipe(data: bytes, shop: Path) -> None:
    (shop / "dress/any.toml").write_bytes(data)
    command("generate", shop / "dress/any.toml", "--out", shop / "out")


@given(data=damaged(MACHINE.replace("…", "title")))
@QUIET
def test_any_machine(data: bytes, shop: Path) -> None:
    (shop / "machine.toml").write_bytes(data)
    command("generate", shop / "dress/flute-rough.toml", "--out", shop / "out")
    command("limits", shop)


@given(data=st.sampled_from(CONTROLS).flatmap(lambda name: damaged(source(name))))
@QUIET
def test_any_control(data: bytes, shop: Path) -> None:
    own = shop / "own/rs274ngc"
    own.mkdir(parents=True, exist_ok=True)
    shutil.copy(data_folder("templates") / "controls/rs274ngc/words.j2", own / "words.j2")
    (own / "control.toml").write_bytes(data)
    command("generate", shop / "dress/flute-rough.toml", "--controls", shop / "own", "--out", shop / "out")


def source(name: str) -> str:
    return (data_folder("templates") / "controls" / name / "control.toml").read_text(encoding="utf-8")


WORDS = [
    *("G0", "G1", "X1.5", "U-2", "F100", "M3", "S", "G2", "I1", "#1=", "#[", "[", "]", "R1=", "=", "(", ")", ";", "/"),
    *("IF", "GOTO 1", "GOTOB A", "A:", "WHILE", "DO1", "END1", "O1 sub", "O1 endsub", "O1 call", "O1 while [1]"),
    *("O1 endwhile", "O1 repeat [1000000000]", "O1 endrepeat", "M98 P1", "M99", "M30", "%", "N1", "1e9", "ATAN", "MOD"),
    *("G4", "P", "L7101", "DRESS HERE", "BEGIN DRESS 7101 SEAL 0123456789ABCDEF", "END DRESS 7101", "BEGIN CALL 1"),
    *("\n", "\n", "\n", " ", "\r\n", "\x00", "é", "9" * 400, "-", "*", "/0", "**"),
]
PROGRAMS = st.lists(st.one_of(st.sampled_from(WORDS), st.text(max_size=4)), max_size=40).map(" ".join)


@pytest.mark.parametrize("control", CONTROLS)
@given(text=PROGRAMS)
@settings(max_examples=150, deadline=None)
def test_any_program_is_read_to_an_end(control: str, text: str) -> None:
    run(lower(text, load_control(control)), budget=Budget(steps=2_000, jumps=2_000))


@given(text=PROGRAMS)
@QUIET
def test_any_program_on_the_command_line(text: str, shop: Path) -> None:
    path = shop / "host.ngc"
    for verb in (
        ("check", path, "--machine", shop / "machine.toml"),
        ("splice", path, shop / "dress/flute-rough.toml", "--out", shop / "spliced.ngc"),
    ):
        path.write_bytes(text.encode("utf-8", errors="surrogatepass"))
        command(*verb)


@given(data=damaged("part,power_kw,dressed\n" + "".join(f"{n},{2 + n % 6 / 10},{n % 6 == 0:d}\n" for n in range(30))))
@QUIET
def test_any_power_log(data: bytes, shop: Path) -> None:
    (shop / "log.csv").write_bytes(data)
    command("interval", shop / "log.csv")


def control(name: str) -> Control:
    return load_control(name)


ENDLESS = {
    "rs274ngc": "O1 while [1]\nG0 X1\nO1 endwhile\nM2\n",
    "hash-variables": "N1 G0 X1\nGOTO 1\nM30\n",
    "r-variables": "A1:\nAB:\nG0 X1\nGOTOB AB\nM30\n",
}


@pytest.mark.parametrize("name", ENDLESS)
def test_an_endless_program_comes_to_an_end(name: str) -> None:
    started = time.monotonic()
    reading = run(lower(ENDLESS[name], control(name)), budget=Budget(steps=50_000, jumps=20_000))
    assert reading.end == "budget"
    assert time.monotonic() - started < 30


def test_a_repeat_of_a_billion_and_a_sub_that_calls_itself() -> None:
    text = "O1 repeat [1000000000]\nG0 X1\nO1 endrepeat\nM2\n"
    assert run(lower(text, control("rs274ngc")), budget=Budget(jumps=20_000)).end == "budget"
    text = "O1 sub\nO1 call\nO1 endsub\nO1 call\nM2\n"
    assert run(lower(text, control("rs274ngc"))).end != "end"


LONG = {
    "digits": lambda size: "G1 X" + "1" * size,
    "brackets in a row": lambda size: "G1 X[1]" * (size // 7),
    "comments in a row": lambda size: "(A)" * (size // 3),
    "words": lambda size: "G1 " + "X1 " * (size // 3),
    "open brackets": lambda size: "#1=" + "[" * size,
    "comment": lambda size: "(" * size,
    "message": lambda size: 'MSG("' * (size // 5),
    "spaces": lambda size: " " * size + "G0",
    "sum": lambda size: "#1=[" + "1+" * (size // 2) + "1]",
    "minus": lambda size: "#1=[" + "-" * size + "1]",
    "letters": lambda size: "A" * size,
    "lines": lambda size: "\n" * size,
    "lines that open": lambda size: ("(" * 1900 + "\n") * (size // 1900),
    "lines of words": lambda size: ("G1 X1 " * 300 + "\n") * (size // 1800),
    "lines of brackets": lambda size: ("#1=" + "[" * 1900 + "\n") * (size // 1900),
}


@pytest.mark.parametrize("name", CONTROLS)
@pytest.mark.parametrize("kind", LONG)
def test_a_long_line_costs_in_proportion(name: str, kind: str) -> None:
    def taken(size: int) -> float:
        text = LONG[kind](size)
        best = 9.0
        for _ in range(2):
            started = time.process_time()
            run(lower(text, control(name)))
            best = min(best, time.process_time() - started)
        return best

    # eight times as much takes at most thirty times as long, where a square would take sixty-four
    assert taken(160_000) < 30 * max(taken(20_000), 0.004)


def test_memory_stays_a_small_multiple_of_the_text() -> None:
    text = "G1 X1.5 Z2\n" * 50_000
    tracemalloc.start()
    lower(text, control("rs274ngc"))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 100 * len(text)
