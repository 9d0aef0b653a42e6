"""The command line: it parses, calls, and prints."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from decimal import Decimal
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, ParamSpec

import click

from gen import __version__
from gen.errors import DressblockError

if TYPE_CHECKING:
    from gen.build import Options
    from gen.jobs import Job
    from gen.quantities import Dimension

P = ParamSpec("P")

HOLDS, FINDING, UNUSABLE = 0, 1, 2


def plainly(command: Callable[P, int]) -> Callable[P, NoReturn]:
    """A command that exits with what it returns, and with 2 and one clear sentence when its input is unusable."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> NoReturn:
        try:
            code = command(*args, **kwargs)
            sys.stdout.flush()
        except DressblockError as error:
            say(str(error))
            code = UNUSABLE
        except BrokenPipeError:
            sys.stderr.close()
            code = FINDING
        sys.exit(code)

    return run


def say(text: str) -> None:
    """``text`` on standard error."""
    click.echo(text, err=True)


class Measure(click.ParamType[Decimal]):
    """A quantity with its unit, such as ``"20 m/s"``; ``bare`` allows a number alone."""

    def __init__(self, dimension: Dimension, *, bare: bool = False) -> None:
        self.dimension = dimension
        self.bare = bare
        self.name = dimension

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        from gen.quantities import QuantityError, parse, unit

        if isinstance(value, Decimal):
            return value
        text = str(value)
        if self.bare and text.strip().lstrip("+-").replace(".", "", 1).isdigit():
            text = f"{text} {unit(self.dimension)}"
        try:
            return parse(text, self.dimension)
        except QuantityError as error:
            self.fail(str(error), param, ctx)


class Plain(click.ParamType[Decimal]):
    """A plain decimal number."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Decimal:
        try:
            number = Decimal(str(value))
        except ArithmeticError:
            number = Decimal("nan")
        if not number.is_finite():
            self.fail(f'read "{value}"; a number is wanted.', param, ctx)
        return number


a_file = click.Path(path_type=Path)
as_json_option = click.option("--json", "as_document", is_flag=True, help="Print one JSON document on standard output.")
control_folders = click.option(
    "--controls", "controls", type=a_file, multiple=True, help="A folder with controls of your own; may be repeated."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="dressblock")
def main() -> None:
    """Stick-dressing NC blocks for resin-bond diamond wheels: computed, checked, and written with a sheet.

    Exit 0: all holds. Exit 1: a finding; nothing is written for a refused recipe. Exit 2: unusable input.

    What is checked is the dress block. The machine and wheel makers'
    instructions, local codes and a qualified person come first.
    """


def state_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Options that give the state of wheel and stick a numeric program is right for."""
    for option in (
        click.option("--slide-position", type=Measure("length"), help="Where an incremental slide stands."),
        click.option("--stick-length", type=Measure("length"), help="Stick length; a new stick unless given."),
        click.option("--wheel-gauge", type=Measure("length"), help="Gauge of a cup wheel; new unless given."),
        click.option("--wheel-diameter", type=Measure("length"), help="Wheel diameter; new unless given."),
    ):
        command = option(command)
    return command


@main.command()
@click.argument("recipes", nargs=-1, required=True, type=a_file)
@click.option("--out", type=a_file, default=Path("programs"), show_default=True, help="Folder to write to.")
@click.option("--form", type=click.Choice(["block", "subprogram", "program"]), help="The recipe's own unless given.")
@click.option("--resolve", is_flag=True, help="Numbers in place of registers, for one state.")
@click.option("--prove-out", is_flag=True, help="The dress with the stick held off, for the first run.")
@click.option("--check", "only_check", is_flag=True, help="Write nothing; fail if what is there differs.")
@click.option("--force", is_flag=True, help="Write over a program that was changed by hand.")
@state_options
@control_folders
@as_json_option
@plainly
def generate(
    recipes: tuple[Path, ...],
    out: Path,
    form: str | None,
    resolve: bool,
    prove_out: bool,
    only_check: bool,
    force: bool,
    wheel_diameter: Decimal | None,
    wheel_gauge: Decimal | None,
    stick_length: Decimal | None,
    slide_position: Decimal | None,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """Program and sheet for each of RECIPES, if every bound holds."""
    options = _options(
        form,
        wheel_diameter,
        wheel_gauge,
        stick_length,
        slide_position,
        resolve=resolve,
        prove_out=prove_out,
        controls=controls,
    )
    return _generate(recipes, out, options, only_check=only_check, force=force, as_document=as_document)


def _options(
    form: str | None,
    diameter: Decimal | None,
    gauge: Decimal | None,
    length: Decimal | None,
    slide_position: Decimal | None,
    *,
    resolve: bool,
    prove_out: bool,
    controls: tuple[Path, ...],
) -> Options:
    from typing import cast

    from gen.build import Options
    from gen.compose import Form

    return Options(
        form=cast("Form | None", form),
        diameter=diameter,
        gauge=gauge,
        length=length,
        slide_position=slide_position,
        resolve=resolve,
        prove_out=prove_out,
        control_folders=controls,
    )


def _generate(
    recipes: Iterable[Path], out: Path, options: Options, *, only_check: bool, force: bool, as_document: bool
) -> int:
    from gen.jobs import compare, prepare, write
    from gen.report import as_json

    worst, documents = HOLDS, []
    paths = list(recipes)
    for count, path in enumerate(paths, 1):
        if len(paths) > 1:
            say(f"[{count}/{len(paths)}] {path}")
        try:
            for prepared in prepare(path, options):
                job = compare(prepared, out) if only_check else write(prepared, out, force=force)
                documents.append(_document(job))
                _tell(job, quiet=as_document, compared=only_check)
                worst = max(worst, FINDING if job.refused else HOLDS)
        except DressblockError as error:
            say(str(error))
            documents.append(_unusable(path, error))
            worst = UNUSABLE
    if as_document:
        click.echo(as_json({"programs": documents}))
    return worst


def _tell(job: Job, *, quiet: bool, compared: bool) -> None:
    from gen.report import finding_line, summary

    lines = [finding_line(str(job.recipe_path), finding) for finding in job.findings]
    if job.refused:
        lines.append(f"{job.recipe_path}: {'differs' if compared else 'refused, nothing written'}")
    elif compared:
        lines.append(f"{job.program_path}: as generated")
    else:
        what = "written with its sheet" if job.sheet_paths else "written"
        lines.append(f"{job.program_path}: {what}; {summary(job.findings)}")
    for line in lines:
        click.echo(line, err=quiet or job.refused)


def _document(job: Job) -> dict[str, Any]:
    from gen.report import finding_json

    return {
        "recipe": str(job.recipe_path),
        "machine": str(job.machine_path),
        "program": None if job.program_path is None else str(job.program_path),
        "sheet": str(job.sheet_paths[0]) if job.sheet_paths else None,
        "findings": [finding_json(str(job.program_path or job.recipe_path), finding) for finding in job.findings],
    }


def _unusable(path: Path, error: DressblockError) -> dict[str, Any]:
    return {"recipe": str(path), "machine": None, "program": None, "sheet": None, "findings": [], "error": str(error)}


@main.command()
@click.option("--out", type=a_file, default=Path("programs"), show_default=True, help="Folder to write to.")
@plainly
def demo(out: Path) -> int:
    """The main job on the bundled demo shop: programs and sheets for every recipe there."""
    from gen.build import Options
    from gen.places import data_folder

    recipes = sorted(data_folder("machines").glob("*/dress/*.toml"))
    worst = _generate(recipes, out, Options(), only_check=False, force=False, as_document=False)
    if worst == HOLDS:
        click.echo(
            f"\n{len(recipes)} programs and their sheets are in {out}. Look at a sheet (.html) in a browser, "
            f"and read a program back with: dressblock check {out}/*/*.ngc {out}/*/*.nc"
        )
    return worst


@main.command()
@click.argument("programs", nargs=-1, required=True, type=a_file)
@click.option("--machine", type=a_file, help="Machine file; the one the heading names unless given.")
@click.option("--recipe", type=a_file, help="Recipe file; the one the heading names unless given.")
@click.option("--machines", "root", type=a_file, help="Folder of machine folders to look in.")
@click.option("--format", "style", type=click.Choice(["text", "json"]), default="text", show_default=True)
@control_folders
@as_json_option
@plainly
def check(
    programs: tuple[Path, ...],
    machine: Path | None,
    recipe: Path | None,
    root: Path | None,
    style: str,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """Read PROGRAMS back and hold them against machine and recipe."""
    from gen.checking import Named
    from gen.checking import check as judged
    from gen.report import as_json, finding_json, finding_line, summary

    document = as_document or style == "json"
    named = Named(machine, recipe, root, controls)
    worst, found = HOLDS, []
    for path in programs:
        try:
            findings = judged(path, named)
        except DressblockError as error:
            say(str(error))
            worst = UNUSABLE
            continue
        found += [finding_json(str(path), finding) for finding in findings]
        for finding in findings:
            click.echo(finding_line(str(path), finding), err=document)
        click.echo(f"{path}: {summary(findings)}", err=document)
        if any(finding.severity == "error" for finding in findings):
            worst = max(worst, FINDING)
    if document:
        click.echo(as_json({"findings": found}))
    return worst


@main.command()
@click.argument("program", type=a_file)
@click.option("--control", "name", required=True, help="The control that the program is for.")
@click.option("--set", "settings", multiple=True, metavar="REGISTER=VALUE", help="A register's value; may be repeated.")
@click.option("--block-delete", is_flag=True, help="Leave out blocks that begin with the block-delete character.")
@control_folders
@as_json_option
@plainly
def trace(
    program: Path,
    name: str,
    settings: tuple[str, ...],
    block_delete: bool,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """The neutral steps of PROGRAM, whoever wrote it."""
    from gen.report import as_json, step_json, step_line
    from gen.tracing import trace as traced

    reading = traced(program, name, settings, block_delete=block_delete, control_folders=controls)
    if as_document:
        unread = [{"line": one.line, "text": one.text, "why": one.why} for one in reading.unread]
        steps = [step_json(step) for step in reading.steps]
        click.echo(as_json({"steps": steps, "unread": unread, "end": reading.end}))
    else:
        for step in reading.steps:
            click.echo(step_line(step))
    for one in reading.unread:
        say(f"{program}:{one.line}: not understood: {one.text} ({one.why})")
    return FINDING if reading.unread or reading.end == "budget" else HOLDS


@main.command()
@click.option("--wheel-speed", type=Measure("peripheral"), help='Such as "20 m/s" or "4000 ft/min".')
@click.option("--diameter", type=Measure("length"), help='Such as "125 mm".')
@click.option("--rpm", type=Measure("rotation", bare=True), help="Such as 3056.")
@click.option("--aggressiveness", type=Plain(), help="The target; 250 unless given.")
@click.option("--feed", "rate", type=Measure("feed"), help='A feed to judge, such as "5 mm/s".')
@click.option("--length", type=Measure("length"), help="Stick to plunge, for the time it takes.")
@click.option(
    "--angle", type=Measure("angle", bare=True), default=Decimal(0), help="Plunge against the face's normal, degrees."
)
@as_json_option
@plainly
def feed(
    wheel_speed: Decimal | None,
    diameter: Decimal | None,
    rpm: Decimal | None,
    aggressiveness: Decimal | None,
    rate: Decimal | None,
    length: Decimal | None,
    angle: Decimal,
    as_document: bool,
) -> int:
    """The quick answer: how fast to plunge."""
    from dataclasses import asdict

    from gen.quick import answer
    from gen.report import as_json, number

    found = answer(
        wheel_speed=wheel_speed,
        diameter=diameter,
        rpm=rpm,
        target=aggressiveness,
        feed=rate,
        length=length,
        angle=angle,
    )
    if as_document:
        click.echo(as_json(asdict(found)))
        return HOLDS
    click.echo(f"wheel speed     {number(found.wheel_speed_m_s)} m/s")
    if found.rpm is not None:
        click.echo(f"spindle speed   {number(round(found.rpm, 1))} rpm")
    click.echo(f"aggressiveness  {number(found.aggressiveness)}")
    click.echo(f"plunge feed     {number(found.feed_mm_min)} mm/min ({number(found.feed_mm_s)} mm/s)")
    if found.time_s is not None:
        click.echo(f"time            {number(found.time_s)} s")
    click.echo(
        "For a guarded, power-fed dresser; never for a stick in the hand. Wheel and machine makers' limits come first."
    )
    return HOLDS


if __name__ == "__main__":
    main()
