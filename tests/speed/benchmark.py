"""How fast it is, as ratios measured side by side in one run: ``python tests/speed/benchmark.py [--short]``.

Everything but the last figure counts processor time, so that other work on the
machine disturbs it little, and what is started as a process is measured in
turn with what it is held against. Modules are compiled beforehand, as they are
where the package is installed.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import partial
from itertools import cycle, islice
from pathlib import Path
from statistics import median

import draft_reader

from gen.bounds import judge
from gen.bounds.all_states import parted
from gen.bounds.readback import case_of
from gen.control.draft import Program, draft, resources
from gen.control.folders import load_control
from gen.control.options import Options
from gen.control.render import render
from gen.control.seal import blocks
from gen.plan.evaluate import resolve
from gen.reader import lower, run
from gen.shop.load import load_machine, load_recipe
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

ROOT = Path(__file__).parents[2]
NUMERIC = ROOT / "machines/shuttle/dress/notch-wheel.toml"
REGISTERS = ROOT / "machines/south-bench/dress/gash-cup.toml"
NAMES = ("machine", "recipe")
PLAIN = ROOT / "machines/north-bench/dress/flute-finish.toml"


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--short", action="store_true", help="a tenth of everything, to see that it runs")
    short = options.parse_args().short
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    gc.set_threshold(1_000_000)  # as every command does
    for part in (start, many, many_lanes, spliced_hosts, long_hosts, all_cores):
        for line in part(0.1 if short else 1.0):
            print(line, flush=True)


# -- start


def start(share: float) -> Iterator[str]:
    """Commands against the imports that they cannot do without, in turn."""
    with tempfile.TemporaryDirectory() as out:
        generate = [*_dressblock(), "generate", str(PLAIN), "--out", out]
        for what, command, imports, most in (
            ("--version", [*_dressblock(), "--version"], "click", 1.5),
            ("generate of one recipe", generate, "click, pydantic, jinja2", 2.5),
        ):
            against = [sys.executable, "-c", f"import {imports}"]
            _child_seconds(command)
            pairs = [(_child_seconds(command), _child_seconds(against)) for _ in range(max(3, int(20 * share)))]
            ours, theirs = (median(times) for times in zip(*pairs, strict=True))
            yield f"start: {what}: {ours / theirs:.2f} x `import {imports}` (at most {most} wanted)"


def _dressblock() -> list[str]:
    script = Path(sys.executable).with_name("dressblock")
    return [str(script)] if script.is_file() else [sys.executable, "-m", "gen.cli"]


def _seconds(command: list[str]) -> float:
    begin = time.perf_counter()
    subprocess.run(command, check=True, stdin=subprocess.DEVNULL, capture_output=True)
    return time.perf_counter() - begin


# -- many programs


def many(share: float) -> Iterator[str]:
    """Plan, render, readback and bounds of recipes that differ, in memory, the models validated beforehand.

    A register program is read at so many states, and proven over all of them.
    """
    for what, path, states, least in (("numeric", NUMERIC, 1, 1000), ("register", REGISTERS, 5, 500)):
        machine = load_machine(path.parent.parent / "machine.toml")
        recipes = cycle(list(_varied(load_recipe(path))))

        rate = _rate(partial(_whole, recipes, machine, states), 3 * share)
        alone = _rate(partial(_spelled, draft(next(recipes), machine, NAMES, Options())), share)
        yield (
            f"many: {what} programs, {states} state{'s' if states > 1 else ''}: {rate:.0f} a second and core "
            f"(at least {least} wanted); {alone / rate:.1f} x the time of rendering the template alone"
        )


WIDE = ROOT / "machines/long-slide/dress/broach-wheel.toml"


def many_lanes(share: float) -> Iterator[str]:
    """As :func:`many`, of one dress: a wheel of 2 mm under a stick of 200.9 mm visits 200 lanes."""
    machine, recipe = load_machine(WIDE.parent.parent / "machine.toml"), load_recipe(WIDE)
    section = (Decimal("200.9"), recipe.stick.section[1])
    wide = recipe.model_copy(
        update={
            "wheels": (recipe.wheels[0].model_copy(update={"width": Decimal(2), "lateral": Decimal(0)}),),
            "stick": recipe.stick.model_copy(update={"section": section}),
            "dress": recipe.dress.model_copy(update={"plunges": 1, "overlap": Decimal(1)}),
        }
    )
    each = 1 / _rate(partial(_whole, cycle([wide]), machine, 5), 3 * share)
    program = draft(wide, machine, NAMES, Options())
    alone = 1 / _rate(partial(_spelled, program), share)
    yield (
        f"lanes: a dress of {len(program.dress.bites())} lanes, 5 states: {each:.2f} s (under 1 wanted); "
        f"{each / alone:.1f} x the time of rendering the template alone"
    )


def _whole(recipes: Iterator[Recipe], machine: Machine, states: int) -> None:
    assert not _judged(draft(next(recipes), machine, NAMES, Options()), states)


def _spelled(program: Program) -> None:
    program.dialect.words._said.clear()  # lines that are kept from other programs would be no rendering
    plan = program.plan if program.by_registers else resolve(program.plan, program.state)
    render(plan, program.dialect.control, program.dialect.words, resources(program.dress))


def _varied(recipe: Recipe) -> Iterator[Recipe]:
    for count in range(50):
        dress = recipe.dress.model_copy(update={"aggressiveness": recipe.dress.aggressiveness + Decimal(count) / 25})
        yield recipe.model_copy(update={"title": f"{recipe.title} {count}", "program": 6000 + count, "dress": dress})


def _judged(program: Program, states: int) -> list[str]:
    lowered = lower(program.text, program.dialect.control)
    chosen = list(islice(program.dress.corners(), states)) if program.by_registers else [program.state]
    marks = list(blocks(program.text.splitlines()))
    cases = (case_of(program, lowered, state, text=program.text, marks=marks, agree=True) for state in chosen)
    if program.by_registers:
        assert not parted(program, lowered, marks, 0)
    return [finding.message for finding in judge(cases).findings if finding.severity == "error"]


def _rate(work: Callable[[], None], seconds: float) -> float:
    work()
    count, begin = 0, time.process_time()
    while time.process_time() - begin < seconds:
        work()
        count += 1
    return count / (time.process_time() - begin)


# -- long hosts


def long_hosts(share: float) -> Iterator[str]:
    """Plain programs of four axes, decimals and N numbers."""
    control = load_control("rs274ngc")
    for count in (int(200_000 * share), int(1_000_000 * share)):
        text = host(count)
        read, judges, grown = [], [], 0
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "host.ngc"
            path.write_text(text)
            for _ in range(3):
                before, begin = _resident(), time.process_time()
                reading = run(lower(text, control))
                read.append(time.process_time() - begin)
                grown = max(grown, _resident() - before)
                assert len(reading.steps) == count - 1
                del reading
                judges.append(_child_seconds(["rs274", "-g", str(path), "/dev/null"]))
            begin = time.process_time()
            assert sum(1 for step in run(lower(text, control)).steps if step.line) == count - 1
            each = time.process_time() - begin
            begin = time.process_time()
            assert sum(1 for _ in draft_reader.steps(text)) == count - 2
            drafted = time.process_time() - begin
            dressed = Path(folder) / "dressed.ngc"
            dressed.write_text(_with_a_dress(text))
            machine = PLAIN.parent.parent / "machine.toml"
            checked = [*_dressblock(), "check", str(dressed), "--machine", str(machine), "--recipe", str(PLAIN)]
            whole, held = _child_seconds(checked), _most(checked)
        ours, theirs = count / min(read), count / min(judges)
        yield (
            f"long: {count} blocks: read at {ours:.0f} a second, {ours / theirs:.2f} x rs274 (1.3 wanted), "
            f"{min(judges) / each:.2f} x with every step looked at, {drafted / min(read):.1f} x the first draft; "
            f"the whole of `check` {min(judges) / whole:.2f} x rs274; "
            f"a reading holds {grown / count:.0f} bytes a block, and `check` takes {held / 1e6:.0f} MB at most"
        )


def _with_a_dress(text: str) -> str:
    """``text`` with a dress block in its midst, in place of as many lines."""
    machine, recipe = load_machine(PLAIN.parent.parent / "machine.toml"), load_recipe(PLAIN)
    names = (PLAIN.parent.parent.name, PLAIN.name)
    dress = draft(recipe, machine, names, Options(form="block", resolve=True)).text.splitlines()
    lines = text.splitlines()
    half = len(lines) // 2
    return "\n".join([*lines[:half], *dress, *lines[half + len(dress) :], ""])


# -- hosts with a dress that splice put into them

GRINDING = PLAIN.with_name("flute-rough.toml")


def spliced_hosts(share: float) -> Iterator[str]:
    """Grinding programs with N numbers and a feed in each line, and mixed ones, a dress in their midst."""
    one, mix = "lines of one shape", "mixed lines"
    for what, count in ((one, 200_000), (one, 20_000), (mix, 20_000), (mix, 200_000), (one, 1_000_000)):
        lines = max(400, int(count * share))
        with tempfile.TemporaryDirectory() as folder:
            machine = shutil.copytree(PLAIN.parent.parent, Path(folder, PLAIN.parent.parent.name))
            bare, dressed = machine / "bare.ngc", machine / "dressed.ngc"
            bare.write_text(grinding_host(lines, mixed=what == mix))
            recipe = machine / "dress" / GRINDING.name
            splice = [*_dressblock(), "splice", str(bare), str(recipe), "--out", str(dressed)]
            spliced = _child_seconds(splice)
            check = [*_dressblock(), "check", str(dressed)]
            checked = min(_child_seconds(check) for _ in range(3))
            judged = min(_child_seconds(["rs274", "-g", str(bare), "/dev/null"]) for _ in range(3))
            most, held, size = _most([*splice, "--force"]), _most(check), dressed.stat().st_size
        yield (
            f"spliced: {lines} {what} and a dress: `check` {judged / checked:.2f} x rs274 without the dress "
            f"(1.3 wanted), `splice` {spliced / checked:.1f} x `check` (at most 3 wanted), {spliced:.1f} s; "
            f"`splice` takes {most / 1e6:.0f} MB at most, `check` {held / 1e6:.0f} MB, the text is {size / 1e6:.1f} MB"
        )


def grinding_host(count: int, *, mixed: bool = False) -> str:
    """A grinding program of ``count`` lines with a place for a dress in its midst, the same each time.

    ``mixed``: arcs, expressions, assignments, dwells and lines of several shapes in place of ``N… G1 X Z A F…``.
    """
    pick = random.Random(7)
    lines = ["G21 G90 G94 G18 G54", "N6 M3 S3000", "N7 M8", "N8 G0 X0. Z0. A0."]
    for number in range(10, 10 + count):
        if number == 10 + count // 2:
            # a rapid behind the place: a way back would have `check` splice the dress anew
            lines += ["G0 X0. Z0. A0.", "(DRESS HERE)", "G0 X0. Z0. A0."]
        x, z, a = (f"{letter}{pick.uniform(-50, 50):.3f}" for letter in "XZA")
        feed = f"F{pick.randint(100, 500)}."
        kinds = (
            *(f"G1 {x} {z} {feed}", f"G1 {x}", f"G0 {z}", f"G1 X[{pick.uniform(1, 5):.3f}+#5*2] {feed}"),
            *(f"#5=[#5+{pick.uniform(0, 0.001):.4f}]", f"G2 {x} {z} R200. {feed}", "G4 P0.1 (A REST)"),
        )
        lines.append(f"N{number} " + (pick.choice(kinds) if mixed else f"G1 {x} {z} {a} {feed}"))
    return "\n".join([*lines, "N9 M9", "M5", "M30", ""])


def _resident() -> int:
    """Bytes that this process holds just now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize()


_RUN = """
import resource, subprocess, sys
subprocess.run(sys.argv[1:], stdin=subprocess.DEVNULL, capture_output=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def _most(command: list[str]) -> int:
    """Bytes that ``command`` holds at most; started by a small process, whose size would count else."""
    return int(subprocess.run([sys.executable, "-c", _RUN, *command], check=True, capture_output=True).stdout) * 1024


def host(blocks: int) -> str:
    """A program of ``blocks`` lines, the same each time."""
    pick = random.Random(7)
    lines = ["G21 G90 G94 G17 G54"]
    for number in range(1, blocks - 1):
        words = [f"{axis}{pick.uniform(-50, 50):.4f}" for axis in "XYZA"]
        feed = ["F200."] if number % 50 == 1 else []
        lines.append(" ".join([f"N{number}", f"G{0 if number % 50 == 0 else 1}", *words, *feed]))
    return "\n".join([*lines, "M2", ""])


def _child_seconds(command: list[str]) -> float:
    """Processor time of ``command``; inf where there is no such program."""
    if shutil.which(command[0]) is None:
        return float("inf")
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


# -- all cores


def all_cores(share: float) -> Iterator[str]:
    """The demo shop many times over, by one process and by one a core."""
    recipes = [str(path) for path in sorted((ROOT / "machines").glob("*/dress/*.toml"))]
    recipes *= max(1, int(10 * share))
    with tempfile.TemporaryDirectory() as out:
        command = [*_dressblock(), "generate", *recipes, "--out", out]
        one, all_of_them = (_seconds([*command, "--jobs", jobs]) for jobs in ("1", "0"))
    yield f"cores: {len(recipes)} recipes: --jobs 0 is {one / all_of_them:.2f} x as fast as --jobs 1"


if __name__ == "__main__":
    main()
