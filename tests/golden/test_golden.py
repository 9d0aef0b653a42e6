"""What the command line says and writes on the demo shop, held against stored results.

Every group runs on its own copy of ``machines/`` with relative paths, and ``files/GROUP`` holds what came of it.
A stored result says what was, not what is right: the other tests judge that. Where a change is meant,

    DRESSBLOCK_GOLDEN=write .venv/bin/python -m pytest tests/golden

stores the results anew; read the difference before it is committed. Sheets are stored as text only. The version,
digits of what a program was made from, and absolute paths are replaced; lines of progress, which come by the clock,
are left out.
"""

from __future__ import annotations

import difflib
import os
import re
import shlex
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from gen import __version__
from runner import invoke

HERE = Path(__file__).parent
FILES = HERE / "files"
MACHINES = HERE.parents[1] / "machines"
WRITE = os.environ.get("DRESSBLOCK_GOLDEN") == "write"
SHOWN = 60

PROGRESS = re.compile(r"^\[(\d+/\d+|\d+ s)\] .*\n", re.MULTILINE)
TEMPLATES = re.compile(r"/\S*/templates/")
VERSION = re.compile(rf"(?<![\d.]){re.escape(__version__)}(?!\.?\d)")

ORIGIN = re.compile(r"FROM (?:[0-9A-F]{4} ){4}VERSION")

ROUGH = "machines/north-bench/dress/flute-rough.toml"
NORTH = "machines/north-bench/machine.toml"


class Shop:
    """A copy of the demo shop, which is the current folder, and what came of the commands run on it."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.results: dict[str, str] = {}

    def plain(self, text: str) -> str:
        """``text`` without what depends on the machine, the clock or the version."""
        text = text.replace(self.root.resolve().as_posix(), "SHOP").replace(self.root.as_posix(), "SHOP")
        text = TEMPLATES.sub("TEMPLATES/", text)
        return ORIGIN.sub("FROM DIGITS VERSION", VERSION.sub("VERSION", PROGRESS.sub("", text)))

    def run(self, name: str | None, *words: str) -> None:
        """Runs ``dressblock`` with ``words``; what it says is kept as ``name``, if there is one."""
        result = invoke(*words)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        if name is not None:
            said = f"$ dressblock {shlex.join(words)}\nexit {result.exit_code}\n"
            for stream, text in (("output", result.stdout), ("errors", result.stderr)):
                said += f"---- {stream}\n{text}"
                said += "" if not text or text.endswith("\n") else "(no line end)\n"
            self.keep(f"{name}.txt", said)

    def keep(self, name: str, text: str) -> None:
        assert name not in self.results, f"{name} is kept twice"
        self.results[name] = self.plain(text)

    def keep_written(self, folder: str, name: str) -> None:
        """Keeps every program and every sheet in text form below ``folder`` as ``name/…``; pages are left out."""
        for path in sorted(Path(folder).rglob("*")):
            if path.is_file() and path.suffix != ".html":
                with path.open(encoding="utf-8", newline="") as file:
                    self.keep(f"{name}/{path.relative_to(folder).as_posix()}", file.read())

    def change(self, path: str, old: str | re.Pattern[str], new: str) -> None:
        """Replaces the first ``old`` by ``new`` in the file; it must be there."""
        pattern = re.compile(re.escape(old)) if isinstance(old, str) else old
        changed, times = pattern.subn(lambda _: new, Path(path).read_bytes().decode(), count=1)
        assert times, f"{pattern.pattern} is not in {path}"
        Path(path).write_bytes(changed.encode())


def recipes() -> list[str]:
    return sorted(path.as_posix() for path in Path("machines").glob("*/dress/*.toml"))


def generate(shop: Shop) -> None:
    shop.run("generate", "generate", *recipes(), "--out", "programs")
    shop.keep_written("programs", "programs")
    shop.run("generate-json", "generate", *recipes(), "--out", "programs", "--json")
    shop.run("generate-check", "generate", *recipes()[:4], "--out", "programs", "--check")


VARIANTS: dict[str, tuple[str, ...]] = {
    "subprogram-rs274ngc": (ROUGH, "--form", "subprogram"),
    "subprogram-hash-variables": ("machines/south-bench/dress/gash-cup.toml", "--form", "subprogram"),
    "subprogram-iso6983": ("machines/inch-table/dress/slot-wheel.toml", "--form", "subprogram"),
    "program-r-variables": ("machines/long-slide/dress/narrow-wheel.toml", "--form", "program"),
    "block-rs274ngc": ("machines/north-bench/dress/outside-wide.toml", "--form", "block"),
    "block-r-variables": ("machines/long-slide/dress/broach-wheel.toml", "--form", "block"),
    "prove-out": (ROUGH, "--prove-out"),
    "prove-out-pack": ("machines/pack-grinder/dress/drill-pack.toml", "--prove-out"),
    "prove-out-incremental": ("machines/shuttle/dress/notch-wheel.toml", "--prove-out"),
    "prove-out-feeder": ("machines/air-feeder/dress/relief-wheel.toml", "--prove-out"),
    "gap-check": (ROUGH, "--gap-check"),
    "gap-check-pack": ("machines/pack-grinder/dress/drill-pack.toml", "--gap-check"),
    "gap-check-feeder": ("machines/air-feeder/dress/relief-wheel.toml", "--gap-check"),
    "gap-check-german": ("machines/leaning-slide/dress/clearance-wheel.toml", "--gap-check", "--language", "de"),
    "resolve": (ROUGH, "--resolve", "--wheel-diameter", "110 mm", "--stick-length", "90 mm"),
    "resolve-cup": ("machines/south-bench/dress/relief-cup.toml", "--resolve", "--wheel-gauge", "43 mm"),
    "resolve-pack": (
        "machines/pack-grinder/dress/drill-pack.toml",
        "--resolve",
        *("--wheel-diameter", "146 mm", "--wheel-diameter", "121 mm", "--wheel-diameter", "95 mm"),
    ),
    "resolve-incremental": (
        "machines/shuttle/dress/point-wheel.toml",
        *("--resolve", "--wheel-diameter", "72 mm", "--slide-position", "14 mm"),
    ),
    "resolve-inch": ("machines/inch-table/dress/face-mill-wheel.toml", "--resolve", "--wheel-diameter", "6.5 in"),
    "german": ("machines/leaning-slide/dress/clearance-wheel.toml", "--language", "de"),
    "german-incremental": ("machines/shuttle/dress/notch-wheel.toml", "--language", "de"),
}


def variants(shop: Shop) -> None:
    for name, words in VARIANTS.items():
        shop.run(f"{name}/said", "generate", *words, "--out", f"out-{name}", "--json")
        shop.keep_written(f"out-{name}", name)


def generated(shop: Shop, *programs: str) -> None:
    """Generates ``programs``, each at its place below ``programs/``."""
    made = {f"machines/{Path(program).parent.name}/dress/{Path(program).stem}.toml" for program in programs}
    shop.run(None, "generate", *sorted(made), "--out", "programs")


def check(shop: Shop) -> None:
    shop.run(None, "generate", *recipes(), "--out", "programs")
    for form in ("text", "json"):
        shop.run(form, "check", "programs", "--machines", "machines", "--format", form)
    for form in ("sarif", "junit"):
        shop.run(form, "check", "programs/long-slide", "--machines", "machines", "--format", form)


FLUTE = "programs/north-bench/flute-rough.ngc"
CUP = "programs/south-bench/gash-cup.nc"
BROACH = "programs/long-slide/broach-wheel.nc"
SLOT = "programs/inch-table/slot-wheel.nc"
NOTCH = "programs/shuttle/notch-wheel.nc"

BROKEN: dict[str, tuple[str, str | re.Pattern[str], str]] = {
    "edited-feed": (FLUTE, "#593 = [ROUND[[[#590*#592]/1273.23954474]*10]/10]", "#593 = [390]"),
    "edited-depth": (FLUTE, "U[#595+8] F#593", "U[#595+14] F#593"),
    "no-spindle": (FLUTE, "M3 S#592\n", ""),
    "no-coolant": (FLUTE, "M8\n", ""),
    "changed-units": (FLUTE, "G21 G90", "G20 G90"),
    "changed-distance": (FLUTE, "G21 G90", "G21 G91"),
    "changed-digest": (FLUTE, re.compile(r"SEAL [0-9A-F]{4}"), "SEAL 0000"),
    "digest-too-long": (FLUTE, "SEAL ", "SEAL 0"),
    "changed-machine": (FLUTE, "(MACHINE north-bench)", "(MACHINE south-bench)"),
    "write-before-retract": (
        FLUTE,
        "G53 G0 U0\nM66 P0 L0\n#502 = [#591-8] (stick length)\n",
        "#502 = [#591-8] (stick length)\nG53 G0 U0\nM66 P0 L0\n",
    ),
    "write-missing": (FLUTE, "#502 = [#591-8] (stick length)\n", ""),
    "guard-missing": (FLUTE, "O9002 if [#501 GE 100]", "O9002 if [#501 GE 60]"),
    "unknown-word": (FLUTE, "M49\n", "M49\nG12.7\n"),
    "too-far": (FLUTE, "G53 G0 X180", "G53 G0 X280"),
    "side-before-parked": (FLUTE, "G53 G0 U0\n", "G53 G0 X180\nG53 G0 U0\n"),
    "no-retract": (FLUTE, "F#593\nG53 G0 U0\n", "F#593\n"),
    "end-missing": (FLUTE, "(END DRESS 7101)\n", ""),
    "cup-too-near": (CUP, "W[#535+5]", "W[#535+1]"),
    "cup-dwell": (CUP, "G4 P4000", "G4 P400"),
    "inch-point-missing": (SLOT, "X10. F12.", "X10. F12"),
    "incremental-depth": (NOTCH, "G1 U6.", "G1 U16."),
    "incremental-back": (NOTCH, "G0 U-3.", "G0 U-4."),
}


def broken(shop: Shop) -> None:
    generated(shop, FLUTE, CUP, BROACH, SLOT, NOTCH)
    for name, (program, old, new) in BROKEN.items():
        copy = f"broken/{name}{Path(program).suffix}"
        Path("broken").mkdir(exist_ok=True)
        shutil.copy(program, copy)
        shop.change(copy, old, new)
        shop.run(name, "check", copy, "--machines", "machines")
    for form in ("json", "sarif", "junit"):
        shop.run(f"all-{form}", "check", "broken", "--machines", "machines", "--format", form)


TRACED: dict[str, tuple[str, ...]] = {
    FLUTE: ("rs274ngc", "501=110", "502=100", "503=6", "504=0"),
    CUP: ("hash-variables", "511=42", "512=100", "514=0"),
    BROACH: ("r-variables",),
    SLOT: ("iso6983",),
    NOTCH: ("iso6983",),
}


def trace(shop: Shop) -> None:
    generated(shop, FLUTE, CUP, BROACH, SLOT, NOTCH)
    for program, (control, *registers) in TRACED.items():
        words = [word for register in registers for word in ("--set", register)]
        name = Path(program).stem
        shop.run(f"{name}-json", "trace", program, "--control", control, *words, "--json")
        shop.run(name, "trace", program, "--control", control, *words)
    shop.run("host", "trace", "machines/north-bench/hosts/step-drill-passes.ngc", "--control", "rs274ngc")
    shop.run("block-delete", "trace", "machines/north-bench/hosts/step-drill-passes.ngc", *CONTROL, "--block-delete")


CONTROL = ("--control", "rs274ngc")


def answers(shop: Shop) -> None:
    for language in ("en", "de"):
        words = ("--language", language)
        shop.run(f"feed-{language}", "feed", "--wheel-speed", "20 m/s", "--length", "25 mm", *words)
        shop.run(f"grit-{language}", "grit", "--wheel-grit", "D126", "--concentration", "100", *words)
        shop.run(f"limits-{language}", "limits", "machines/north-bench", *words)
    shop.run("feed-json", "feed", "--wheel-speed", "20 m/s", "--length", "25 mm", "--json")
    shop.run("feed-rpm-json", "feed", "--diameter", "125 mm", "--rpm", "3056", "--json")
    shop.run("feed-inch-json", "feed", "--wheel-speed", "4000 ft/min", "--length", "0.25 in", "--json")
    shop.run("feed-judged-json", "feed", "--wheel-speed", "20 m/s", "--feed", "5 mm/s", "--angle", "20", "--json")
    shop.run("grit-json", "grit", "--wheel-grit", "D126", "--concentration", "100", "--json")
    pack = ("--wheel-grit", "D64", "--wheel-grit", "D54", "--concentration", "75")
    shop.run("grit-pack-json", "grit", *pack, "--json")
    shop.run("grit-mesh-json", "grit", "--wheel-grit", "120/140", "--concentration", "100", "--json")
    shop.run("limits-json", "limits", "machines", "--json")
    shop.run("limits-csv", "limits", "machines/south-bench", "--csv")
    shop.run("limits-what-if", "limits", "machines/north-bench", "--set", "axes.U.max_feed=240 mm/min", "--json")
    shop.run("limits-plunge", "limits", "machines/north-bench", "--set", "recipe:dress.plunge=20 mm")


TRIAL_LOG = "machines/north-bench/logs/flute-rough-trial.csv"
LOGS = {
    "good": ("north-bench/logs/flute-rough-good.csv", "--recipe", ROUGH, "--parts-a-day", "40"),
    "timid": ("south-bench/logs/gash-cup-timid.csv", "--recipe", "machines/south-bench/dress/gash-cup.toml"),
    "steady": ("south-bench/logs/gash-cup-steady.csv",),
    "steady-clean": ("south-bench/logs/gash-cup-steady.csv", "--clean", "0.85 kW"),
    "wants-truing": (
        "north-bench/logs/flute-finish-wants-truing.csv",
        "--recipe",
        "machines/north-bench/dress/flute-finish.toml",
    ),
    "noisy": ("shuttle/logs/notch-wheel-noisy.csv",),
}
"""The demo shop's power logs, each with what is said besides; the limit is 2 kW."""


def power(shop: Shop) -> None:
    for name, (log, *words) in LOGS.items():
        asked = ("interval", f"machines/{log}", "--limit", "2 kW", *words)
        shop.run(f"interval-{name}", *asked)
        shop.run(f"interval-{name}-json", *asked, "--json")
    shop.run("interval-good-de", "interval", f"machines/{LOGS['good'][0]}", "--limit", "2 kW", "--language", "de")
    targets = ("--targets", "210,240,270,300,400", "--blocks", "2", "--seed", "3")
    shop.run("trial-plan", "trial", "plan", ROUGH, *targets, "--out", "trial")
    shop.keep("trial.csv", Path("trial/trial.csv").read_text(encoding="utf-8"))
    for recipe in sorted(Path("trial").glob("*/dress/*.toml")):
        shop.keep(f"recipes/{recipe.name}", recipe.read_text(encoding="utf-8"))
    asked = ("trial", "read", TRIAL_LOG, "--limit", "2 kW", "--recipe", ROUGH)
    shop.run("trial-read", *asked)
    shop.run("trial-read-de", *asked, "--language", "de")
    shop.run("trial-read-json", *asked, "--json")
    shop.run("trial-read-no-recipe", *asked[:-2])
    logged = ("--log", f"flute-finish=machines/{LOGS['wants-truing'][0]}", "--limit", "2 kW")
    shop.run("limits-cost", "limits", "machines", "--cost", "--parts-a-day", "40", *logged)
    shop.run("limits-cost-json", "limits", "machines/north-bench", "--cost", "--parts-a-day", "40", *logged, "--json")


PLACES: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "drill-flutes": ("north-bench/hosts/drill-flutes.ngc", "flute-rough", ()),
    "drill-flutes-call": ("north-bench/hosts/drill-flutes.ngc", "flute-rough", ("--as", "call")),
    "drill-flutes-return": ("north-bench/hosts/drill-flutes.ngc", "flute-rough", ("--return",)),
    "step-drill-passes": ("north-bench/hosts/step-drill-passes.ngc", "flute-finish", ()),
    "outside-relief": ("north-bench/hosts/outside-relief.ngc", "outside-wide", ("--after", "N150")),
    "outside-relief-end": ("north-bench/hosts/outside-relief.ngc", "outside-wide", ("--after", "N230")),
    "gash-cup": ("south-bench/hosts/gash-cup.nc", "gash-cup", ()),
    "gash-cup-after-truing": ("south-bench/hosts/gash-cup.nc", "gash-cup", ("--after-truing",)),
    "cup-face": ("south-bench/hosts/cup-face.nc", "relief-cup", ("--after", "N140")),
    "broach-teeth": ("long-slide/hosts/broach-teeth.nc", "broach-wheel", ()),
    "slot-form": ("inch-table/hosts/slot-form.nc", "slot-wheel", ()),
    "surface-steps": ("inch-table/hosts/surface-steps.nc", "face-mill-wheel", ("--after", "N90")),
    "punch-notch": ("shuttle/hosts/punch-notch.nc", "notch-wheel", ()),
    "clearance-five-axes": ("leaning-slide/hosts/clearance-five-axes.nc", "clearance-wheel", ()),
    "no-place": ("north-bench/hosts/outside-relief.ngc", "outside-wide", ()),
}


def splice(shop: Shop) -> None:
    for name, (host, recipe, words) in PLACES.items():
        dress = f"machines/{host.partition('/')[0]}/dress/{recipe}.toml"
        out = f"spliced/{name}{Path(host).suffix}"
        Path("spliced").mkdir(exist_ok=True)
        shop.run(f"{name}-said", "splice", f"machines/{host}", dress, *words, "--out", out, "--json")
    shop.run("plain", "splice", f"machines/{PLACES['drill-flutes'][0]}", ROUGH, "--out", "plain.ngc")
    shop.keep_written("spliced", "spliced")
    shop.run("check", "check", "spliced", "--machines", "machines")


CUP_RECIPE = "machines/south-bench/dress/gash-cup.toml"
PACK = "machines/pack-grinder/dress/drill-pack.toml"

REFUSED: dict[str, tuple[str, str, str, str]] = {
    "slide-too-slow": (ROUGH, NORTH, '"400 mm/min"', '"240 mm/min"'),
    "above-marking": (ROUGH, ROUGH, '"63 m/s"', '"15 m/s"'),
    "past-travel": (ROUGH, NORTH, '"190 mm"', '"150 mm"'),
    "stick-too-short": (ROUGH, ROUGH, '"150 mm"', '"35 mm"'),
    "too-deep": (ROUGH, ROUGH, 'plunge = "8 mm"', 'plunge = "20 mm"'),
    "too-near": (ROUGH, NORTH, 'clearance = "4 mm"', 'clearance = "2 mm"'),
    "spindle-too-slow": (ROUGH, NORTH, '"6000 rpm"', '"2500 rpm"'),
    "cup-past-travel": (CUP_RECIPE, CUP_RECIPE, 'lateral = "118 mm"', 'lateral = "918 mm"'),
    "pack-marking": (PACK, PACK, 'max_speed = "63 m/s"', 'max_speed = "12 m/s"'),
}

BAD: dict[str, tuple[str, str, str, str]] = {
    "unknown-key": (ROUGH, ROUGH, "coolant = true", "cooland = true"),
    "no-unit": (ROUGH, ROUGH, '"8 mm"', "8"),
    "wrong-unit": (ROUGH, ROUGH, '"20 m/s"', '"20 mm"'),
    "key-missing": (ROUGH, ROUGH, 'lateral = "42.5 mm"\n', ""),
    "syntax": (ROUGH, ROUGH, "[stick]", "[stick"),
    "unknown-grit": (ROUGH, ROUGH, '"D64"', '"X64"'),
    "outside-band": (ROUGH, ROUGH, "aggressiveness = 250", "aggressiveness = 320"),
    "unknown-control": (ROUGH, NORTH, '"rs274ngc"', '"rs275"'),
    "machine-key": (ROUGH, NORTH, "title =", "tittle ="),
    "two-speeds": (ROUGH, ROUGH, 'wheel_speed = "20 m/s"', 'wheel_speed = "20 m/s"\nspeed = "3000 rpm"'),
    "machine-syntax": (ROUGH, NORTH, "title =", "title"),
    "wrong-contact": (CUP_RECIPE, CUP_RECIPE, '"face"', '"periphery"'),
    "band-upside-down": (ROUGH, ROUGH, "[200, 300]", "[300, 200]"),
}


def changed(shop: Shop, cases: dict[str, tuple[str, str, str, str]], *words: str) -> None:
    for name, (recipe, path, old, new) in cases.items():
        before = Path(path).read_bytes()
        shop.change(path, old, new)
        shop.run(name, "generate", recipe, "--out", "programs", *words)
        Path(path).write_bytes(before)
    shop.keep_written("programs", "written")


def refused(shop: Shop) -> None:
    changed(shop, REFUSED)
    shop.change(NORTH, '"400 mm/min"', '"240 mm/min"')
    shop.run("slide-too-slow-json", "generate", ROUGH, "--out", "programs", "--json")
    shop.run("slide-too-slow-limits", "limits", "machines/north-bench")


def unusable(shop: Shop) -> None:
    changed(shop, BAD)
    Path("empty").mkdir()
    Path("plain.ngc").write_text("%\nG21 G90\nG0 X1.\nM2\n%\n", encoding="utf-8")
    Path("binary.ngc").write_bytes(b"\xff\xfe\x00G1")
    for name, words in {
        "no-recipe": ("generate", "machines/north-bench/dress/none.toml"),
        "folder": ("generate", "machines/north-bench"),
        "diameter-without-unit": ("generate", ROUGH, "--wheel-diameter", "110"),
        "diameter-outside": ("generate", ROUGH, "--resolve", "--wheel-diameter", "300 mm"),
        "stick-outside": ("generate", ROUGH, "--resolve", "--stick-length", "10 mm"),
        "no-language": ("generate", ROUGH, "--language", "xx"),
        "no-controls": ("generate", ROUGH, "--controls", "nowhere"),
        "check-nothing": ("check", "nowhere.ngc"),
        "check-empty": ("check", "empty"),
        "check-plain": ("check", "plain.ngc"),
        "check-binary": ("check", "binary.ngc"),
        "check-no-machine": ("check", "plain.ngc", "--machine", "none.toml"),
        "trace-control": ("trace", "plain.ngc", "--control", "none"),
        "trace-register": ("trace", "plain.ngc", *CONTROL, "--set", "five"),
        "trace-nothing": ("trace", "nowhere.ngc", *CONTROL),
        "splice-nothing": ("splice", "nowhere.ngc", ROUGH),
        "splice-no-line": ("splice", "plain.ngc", ROUGH, "--after", "N999"),
        "limits-nothing": ("limits", "empty"),
        "limits-key": ("limits", "machines", "--set", "axes.U.none=1"),
        "feed-nothing": ("feed",),
        "feed-unit": ("feed", "--wheel-speed", "20"),
        "grit-unknown": ("grit", "--wheel-grit", "Q5", "--concentration", "100"),
    }.items():
        shop.run(f"words/{name}", *words)


GROUPS: dict[str, Callable[[Shop], None]] = {
    function.__name__: function
    for function in (generate, variants, check, broken, trace, answers, power, splice, refused, unusable)
}


def difference(name: str, stored: str, now: str) -> str:
    """A unified diff of one result, cut after the first lines."""
    lines = list(
        difflib.unified_diff(stored.splitlines(), now.splitlines(), f"stored {name}", f"now {name}", lineterm="", n=2)
    ) or [f"{name}: only line ends differ"]
    left = len(lines) - SHOWN
    return "\n".join(lines[:SHOWN] + ([f"… and {left} lines more"] if left > 0 else []))


def read(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes().decode()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.mark.parametrize("group", GROUPS)
def test_what_is_said_and_written_is_as_stored(group: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(MACHINES, tmp_path / "machines")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    shop = Shop(tmp_path)
    GROUPS[group](shop)
    folder = FILES / group
    if WRITE:
        shutil.rmtree(folder, ignore_errors=True)
        for name, text in shop.results.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(text.encode())
    stored = read(folder)
    wrong = [
        difference(name, stored[name], text) for name, text in shop.results.items() if stored.get(name, text) != text
    ]
    wrong += [f"{name}: is not stored" for name in shop.results if name not in stored]
    wrong += [f"{name}: is stored, and nothing produces it" for name in stored if name not in shop.results]
    assert not wrong, f"tests/golden/files/{group} differs in {len(wrong)} files:\n" + "\n".join(wrong)


def test_every_stored_folder_belongs_to_a_group() -> None:
    assert sorted(path.name for path in FILES.iterdir()) == sorted(GROUPS)
