"""``--json``: one UTF-8 document from every command on every exit, with the keys that the README lists.

The runs below are meant to bring out every key. What is printed by none of them, or listed nowhere, fails.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from gen.bounds import RULES
from gen.cli import COMMANDS, main
from runner import Shop, invoke, runner

ROOT = Path(__file__).parents[2]

ROUGH = "machines/north-bench/dress/flute-rough.toml"
FINISH = "machines/north-bench/dress/flute-finish.toml"
NORTH = "machines/north-bench/machine.toml"
HOST = "machines/north-bench/hosts/drill-flutes.ngc"
LOGS = "machines/north-bench/logs"
FLUTE = "programs/north-bench/flute-rough.ngc"

REGISTERS = ("--set", "501=110", "--set", "502=100", "--set", "503=6", "--set", "504=0")

TRUED = ("--log", f"flute-finish={LOGS}/flute-finish-wants-truing.csv", "--limit", "2 kW")

ODD = """%
(MSG, Schärfen)
G21 G90 G94 G17
M64 P1
M3 S1000
G4 P1
M8
G1 X5 Y0 F100
G2 X0 Y5 I-5 J0
#501 = [1]
G0 Z#777
G41 D1
G1 X1
G40
G10 L2 P1 X1
M9
M1
X[oops
M30
%
"""
TOUCHES = "position_mm,stick_length_mm,wheel_diameter_mm\n47.5,150,125\n{second},140,125\n"
TRACE = "time_s,power_kw\n"


@dataclass(frozen=True)
class Run:
    """The words of a command line, its exit, and what is done to the shop before: texts replaced in files."""

    words: tuple[str, ...]
    code: int = 0
    changes: tuple[tuple[str, str, str], ...] = ()


def run(*words: str, code: int = 0, changes: Iterable[tuple[str, str, str]] = ()) -> Run:
    return Run(words, code, tuple(changes))


RUNS = [
    run("demo", "--out", "shown"),
    run("generate", ROUGH, "Ångström.toml", code=2),
    run("generate", ROUGH),
    run("generate", "machines/north-bench", "--check", code=1, changes=[(ROUGH, '"20 m/s"', '"19 m/s"')]),
    run("generate", ROUGH, code=1, changes=[(NORTH, '"400 mm/min"', '"240 mm/min"')]),
    run("check", FLUTE, "plain.ngc", "Ångström.ngc", "programs", code=2),
    run("check", FLUTE, "--recipe", FINISH, code=1),
    run("check", "programs"),
    run("trace", "odd.ngc", "--control", "rs274ngc", code=1),
    run("trace", FLUTE, "--control", "rs274ngc", *REGISTERS),
    run("trace", FLUTE, "--control", "rs274ngc"),
    run("trace", "none.ngc", "--control", "rs274ngc", code=2),
    run("feed", "--wheel-speed", "20 m/s", "--length", "25 mm"),
    run("feed", "--diameter", "125 mm", "--rpm", "3056"),
    run("feed", code=2),
    run("grit", "--wheel-grit", "D126", "--concentration", "100"),
    run("grit", "--wheel-grit", "Ø", "--concentration", "100", code=2),
    run("interval", f"{LOGS}/flute-rough-good.csv", "--limit", "2 kW", "--recipe", ROUGH, "--parts-a-day", "40"),
    run("interval", f"{LOGS}/flute-finish-wants-truing.csv", "--limit", "2 kW", "--recipe", FINISH),
    run("interval", "trace.csv", "--limit", "2 kW", "--time", "time_s"),
    run("interval", "machines/south-bench/logs/gash-cup-timid.csv", "--limit", "2 kW"),
    run("interval", "none.csv", "--limit", "2 kW", code=2),
    run("trial", "plan", ROUGH, "--targets", "210,250,900", "--blocks", "1", "--out", "trial", code=1),
    run("trial", "plan", ROUGH, "--targets", "210,250,270", "--blocks", "1", "--out", "again"),
    run("trial", "plan", "Wälzer.toml", "--targets", "210,250", "--out", "nowhere", code=2),
    run("trial", "read", f"{LOGS}/flute-rough-trial.csv", "--limit", "2 kW", "--recipe", ROUGH),
    run("trial", "read", "short-trial.csv", "--limit", "2 kW", "--recipe", ROUGH),
    run("trial", "read", "stepped-trial.csv", "--limit", "2 kW", "--recipe", ROUGH),
    run("trial", "read", "none.csv", "--limit", "2 kW", code=2),
    run("show", FLUTE, "--out", "page.html"),
    run("show", "none.ngc", code=2),
    run("datum", "touches.csv", "--machine", NORTH),
    run("datum", "touches-apart.csv", "--machine", NORTH, code=1),
    run("datum", "none.csv", "--machine", NORTH, code=2),
    run("keys"),
    run("keys", "Schlüssel", code=2),
    run("rules"),
    run("rules", "Regel", code=2),
    run("limits", "machines"),
    run("limits", "--reach", NORTH),
    run("limits", "machines/north-bench", "--cost", "--parts-a-day", "40", *TRUED),
    run("limits", "machines", code=1, changes=[(NORTH, '"400 mm/min"', '"240 mm/min"')]),
    run("limits", "machines", code=2, changes=[(ROUGH, '"8 mm"', "8")]),
    run("splice", HOST, ROUGH, "--out", "host.ngc"),
    run("splice", HOST, "--check", code=0),
    run("splice", "machines", "--check"),
    run("splice", HOST, "none.toml", code=2),
    run("chart", ROUGH),
    run("chart", ROUGH, "--out", "chart.svg"),
    run("chart", "none.toml", code=2),
    run("new", "machine", "machines/new-one"),
    run("new", "machine", NORTH, code=2),
    run("schema", "recipe"),
    run("schema", "nothing", code=2),
]
"""With ``programs`` generated, and a program, touches and logs beside the demo shop."""


def with_programs(shop: Shop) -> None:
    for path, text in {ROUGH: 'title = "', NORTH: 'title = "'}.items():
        shop.change(Path(path), text, f"{text}Schärfen ø ")
    for words in (("generate", "machines/north-bench"), ("generate", ROUGH, "--prove-out")):
        assert invoke(*words).exit_code == 0
    files = {
        "odd.ngc": ODD,
        "plain.ngc": "G21 G90\nG0 X1\nM2\n",
        "touches.csv": TOUCHES.format(second="57.5"),
        "touches-apart.csv": TOUCHES.format(second="59.5"),
        "trace.csv": TRACE + "".join(f"{second},{power(second)}\n" for second in range(240)),
        "programs/north-bench/plain.ngc": "G21 G90\nG0 X1\nM2\n",
    }
    for name, text in files.items():
        Path(name).write_text(text, encoding="utf-8")
    rows = Path(f"{LOGS}/flute-rough-trial.csv").read_text().splitlines(keepends=True)
    Path("short-trial.csv").write_text("".join(rows[:90]))
    stepped = [row if count < 75 else raised(row, 0.4) for count, row in enumerate(rows[1:])]
    stepped[10] = raised(stepped[10], 12)
    Path("stepped-trial.csv").write_text("".join([rows[0], *stepped]))


def raised(row: str, kw: float) -> str:
    """A row of a log with its power higher by ``kw``."""
    part, power_kw, rest = row.split(",", 2)
    return f"{part},{float(power_kw) + kw:.3f},{rest}"


def power(second: int) -> float:
    """A raw trace of twelve parts, 12 s of grinding with 8 s idle behind each."""
    return 0.3 if second % 20 >= 12 else 1.1 + 0.01 * (second // 20)


def documents() -> Iterator[tuple[Run, Any]]:
    """Every run of :data:`RUNS` with its document, printed on a console that has another code page."""
    for one in RUNS:
        before = {path: Path(path).read_bytes() for path, _, _ in one.changes}
        for path, old, new in one.changes:
            text = Path(path).read_text(encoding="utf-8")
            assert old in text
            Path(path).write_text(text.replace(old, new), encoding="utf-8")
        result = runner(charset="cp1252").invoke(main, [*one.words, "--json"])
        for path, data in before.items():
            Path(path).write_bytes(data)
        assert result.exception is None or isinstance(result.exception, SystemExit), (one, result.exception)
        assert result.exit_code == one.code, (one, result.exit_code, result.stderr)
        yield one, json.loads(result.stdout_bytes.decode("utf-8"))


def paths(document: Any, above: str = "") -> Iterator[str]:
    """The keys of ``document``, dotted, ``[]`` behind those of lists of tables."""
    if isinstance(document, dict):
        for key, value in document.items():
            name = f"{above}.{key}" if above else key
            yield name
            yield from paths(value, name)
    elif isinstance(document, list):
        for one in document:
            yield from paths(one, f"{above}[]")


# -- the README's table


def listed(text: str) -> Iterator[str]:
    """The keys in the notation of the README: ``rows[].{a, b.c}``; ``*`` stands for any name."""
    depth, item = 0, ""
    for sign in f"{text},":
        depth += {"{": 1, "}": -1}.get(sign, 0)
        if sign == "," and depth == 0:
            yield from expanded(item.strip())
            item = ""
        else:
            item += sign


def expanded(item: str) -> Iterator[str]:
    name, _, rest = item.partition(".")
    yield name.removesuffix("[]")
    if rest:
        inner = rest[1:-1] if rest.startswith("{") else rest
        yield from (f"{name}.{one}" for one in listed(inner))


def documented() -> dict[str, set[str]]:
    """By command what the README's table says that it prints; findings and errors with keys of their own."""
    section = (ROOT / "README.md").read_text(encoding="utf-8").partition("<!-- json -->")[2]
    rows = re.findall(r"^\| (.+?) \| `(.+)` \|$", section.partition("<!-- end -->")[0], re.MULTILINE)
    table = {name: set(listed(keys)) for names, keys in rows for name in re.findall(r"`(.+?)`", names)}
    shared = {name: table.pop(f"{name}[]") for name in ("findings", "errors")}
    for keys in table.values():
        for name, inner in shared.items():
            keys |= {f"{key}[].{one}" for key in keys if key.split(".")[-1] == name for one in inner}
    return table


def matches(known: str, path: str) -> bool:
    pattern = re.escape(known).replace(r"\.\*", r"(\[\])?\..+")
    return re.fullmatch(pattern, path) is not None


def test_every_command_prints_what_the_readme_lists(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted from the documents themselves: a key that is printed and not listed fails, and the other way round."""
    monkeypatch.chdir(shop.root)
    with_programs(shop)
    printed: dict[str, set[str]] = {}
    for one, document in documents():
        command = " ".join(one.words[: 2 if one.words[0] == "trial" else 1])
        assert (one.code == 2) <= bool(document.get("errors")), one
        printed.setdefault(command, set()).update(paths(document))
    schema = printed.pop("schema")
    assert {"$defs", "properties", "errors"} <= schema
    assert {name.split()[0] for name in printed} | {"schema"} == set(COMMANDS)
    table = documented()
    assert set(table) == set(printed)
    for command, keys in table.items():
        unlisted = [path for path in printed[command] if not any(matches(known, path) for known in keys)]
        assert not unlisted, f"{command} prints what the README does not list: {sorted(unlisted)}"
        unseen = [known for known in keys if not any(matches(known, path) for path in printed[command])]
        # what findings and errors hold is the same everywhere, and not every run has some
        unseen = [known for known in unseen if not re.search(r"(findings|errors)(\[\]\.|$)", known)]
        assert not unseen, f"the README lists for {command} what nothing prints: {sorted(unseen)}"
    everywhere = set().union(*printed.values())
    for shared in ("findings[].change.value", "findings[].certainty", "errors[].key"):
        assert any(path.endswith(shared) for path in everywhere)


def test_a_console_of_another_code_page_changes_no_byte(shop: Shop) -> None:
    """In a process of its own, as the runner of the other test stands in for the console."""
    shop.change(shop.machine, 'title = "', 'title = "Schärfen ø ')
    words = ("keys", "aggressiveness", "--json")
    told = {
        encoding: started(*words, folder=shop.root, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
        for encoding in ("cp1252", "ascii", "utf-8")
    }
    assert len(set(told.values())) == 1
    assert "10⁶" in json.loads(told["cp1252"].decode("utf-8"))["keys"][1]["meaning"]


def started(*words: str, folder: Path, **environment: str) -> bytes:
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    done = subprocess.run(
        [sys.executable, "-m", "gen", *words], cwd=folder, env=surroundings, capture_output=True, check=True
    )
    return done.stdout


def test_what_check_judged_is_listed_with_what_it_could_not(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shop.root)
    assert invoke("generate", ROUGH).exit_code == 0

    def judged(*words: str) -> Any:
        (program,) = json.loads(invoke("check", FLUTE, "--json", *words).stdout)["programs"]
        assert set(program["judged"]) | set(program["silent"]) == set(RULES)
        return program

    whole = judged()
    assert set(whole["judged"].values()) == {"holds"}
    assert {"aggressiveness", "axis-travel", "spindle-range", "wheel-speed", "override"} <= set(whole["judged"])
    assert whole["silent"]["prove-out"] == "it does not apply to a dress"

    # a feed past the band, sealed by nobody
    program = Path(FLUTE)
    program.write_text(program.read_text().replace("U[#595+8] F#593", "U[#595+8] F395"))
    broken = judged()["judged"]
    assert (broken["aggressiveness"], broken["altered"], broken["axis-travel"]) == ("broken", "changed", "holds")

    # no recipe: what needs one is not said to hold
    Path(ROUGH).unlink()
    alone = judged()
    assert "aggressiveness" not in alone["judged"]
    assert "it needs the recipe" in alone["silent"]["aggressiveness"]
    assert "flute-rough that its heading names is not in" in alone["silent"]["aggressiveness"]


def test_an_interrupt_is_a_document_too(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("gen.jobs.keys.keys_named", interrupted)
    result = invoke("keys", "--json")
    assert result.exit_code == 130
    assert "interrupted" in json.loads(result.stdout)["errors"][0]["message"]
