"""What is fuzzed: one function a kind of file, which takes its bytes, and the files of that kind that are good."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path

from gen.base.errors import DressblockError
from gen.base.languages import language, told
from gen.base.places import data_folder
from gen.control.folders import load_control
from gen.control.options import Options
from gen.jobs.check import check_program
from gen.jobs.generate import Job, prepare
from gen.jobs.provenance import Named
from gen.jobs.splice import Asked
from gen.jobs.splice import prepare_spliced as splice
from gen.paper.sheet import sheet
from gen.power.answer import answer
from gen.power.log import read_log
from gen.power.telling import telling
from gen.reader import Budget, lower, run
from gen.shop.load import load_machine, load_recipe

Target = Callable[[bytes], None]

SHOP = data_folder("machines") / "north-bench"
SMALL = Budget(steps=2_000, jumps=2_000)


@cache
def _shop() -> Path:
    """A copy of a demo machine's folder in which files may be replaced, for this process."""
    folder = Path(tempfile.mkdtemp(prefix="dressblock-fuzz-")) / SHOP.name
    shutil.copytree(SHOP, folder)
    return folder


def _printed(jobs: list[Job]) -> None:
    for job in jobs:
        if not job.refused:
            sheet(job.program, "en")


def recipe(data: bytes) -> None:
    path = _shop() / "dress/any.toml"
    path.write_bytes(data)
    _printed(prepare(path, Options()))


def machine(data: bytes) -> None:
    shop = _shop()
    (shop / "machine.toml").write_bytes(data)
    _printed(prepare(shop / "dress/flute-rough.toml", Options()))


def log(data: bytes) -> None:
    path = _shop() / "any.csv"
    path.write_bytes(data)
    told("en", "interval", telling(answer(read_log(path), 2.0), (), None, language("en").marked))


def host(data: bytes) -> None:
    """A grinding program with and without marks: a dress put into it, and what is said of what is in it."""
    path, shop = _shop() / "any.ngc", _shop()
    path.write_bytes(data)
    recipe_path = shop / "dress/flute-rough.toml"
    for job in (
        lambda: splice(path, recipe_path, Asked()),
        lambda: check_program(path, Named(shop / "machine.toml")),
        lambda: check_program(path, Named(shop / "machine.toml", find=True)),
    ):
        _told(job)


def control(data: bytes) -> None:
    """A shop's own control, and a program in its words."""
    own = _shop() / "own/rs274ngc"
    own.mkdir(parents=True, exist_ok=True)
    shutil.copy(data_folder("templates") / "controls/rs274ngc/words.j2", own)
    (own / "control.toml").write_bytes(data)
    prepare(_shop() / "dress/flute-rough.toml", Options(control_folders=(own.parent,)))


def _read(name: str, data: bytes) -> None:
    reading = run(lower(data.decode("utf-8", errors="surrogateescape"), load_control(name)), budget=SMALL)
    assert len(reading.steps) <= SMALL.steps + 10


def programs(data: bytes) -> None:
    """A program as each control in turn would read it."""
    for name in CONTROLS:
        _read(name, data)


def _told(job: Callable[[], object]) -> None:
    try:
        job()
    except DressblockError as error:
        # what a user is told is shown, never obeyed, by the screen
        if not all(line.isprintable() for line in str(error).split("\n")):
            raise RuntimeError(str(error)) from None


CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983")
READERS: dict[str, Target] = {name: partial(_read, name) for name in CONTROLS}
TARGETS: dict[str, Target] = {
    "recipe": recipe,
    "machine": machine,
    "log": log,
    "host": host,
    "control": control,
    "programs": programs,
    **READERS,
}


def outcome(target: str, data: bytes) -> None:
    """Raises whatever a user should never see."""
    _told(partial(TARGETS[target], data))


def seeds(target: str) -> Iterator[bytes]:
    """Good files of the kind that ``target`` takes, from the demo shop."""
    machines, templates = data_folder("machines"), data_folder("templates")
    if target in READERS or target == "programs":
        for name in [target] if target in READERS else CONTROLS:
            yield from (path.read_bytes() for path in sorted((templates / "controls" / name / "examples").glob("*.n*")))
            yield from _programs(name)
        files = sorted(machines.glob("*/hosts/*"))
    else:
        files = {
            "recipe": sorted(SHOP.glob("dress/*.toml")) + sorted(machines.glob("*/dress/*.toml")),
            "machine": [SHOP / "machine.toml", *sorted(machines.glob("*/machine.toml"))],
            "log": sorted(machines.glob("*/logs/*.csv")),
            "host": sorted(machines.glob("*/hosts/*")),
            "control": sorted(templates.glob("controls/*/control.toml")),
        }[target]
    if target == "host":
        yield from _programs("rs274ngc")
    yield from (path.read_bytes() for path in files)


def _programs(name: str) -> Iterator[bytes]:
    """Dresses in the words of a control."""
    from gen.bounds.build import build

    recipe, machine = load_recipe(SHOP / "dress/flute-rough.toml"), load_machine(SHOP / "machine.toml")
    vouched = machine.dresser.model_copy(update={"machine_frame_feeds": True})
    changes: dict[str, object] = {"control": name, "host": None, "codes": machine.codes.__class__(), "dresser": vouched}
    if load_control(name).variables is None:
        changes["registers"] = None
    for form in ("block", "program"):
        made = build(recipe, machine.model_copy(update=changes), ("bench", "dress"), Options(form=form))
        yield made.text.encode()
