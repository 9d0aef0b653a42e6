"""``generate``: program and sheet for each recipe, if every bound holds."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from gen.cli.shared import (
    FINDING,
    HOLDS,
    UNUSABLE,
    a_file,
    as_json_option,
    control_folders,
    plainly,
    say,
    state_options,
)
from gen.errors import DressblockError

if TYPE_CHECKING:
    from gen.build import Options
    from gen.jobs import Job


@click.command()
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
    wheel_diameter: tuple[Decimal, ...],
    wheel_gauge: Decimal | None,
    stick_length: Decimal | None,
    slide_position: Decimal | None,
    controls: tuple[Path, ...],
    as_document: bool,
) -> int:
    """Program and sheet for each of RECIPES, if every bound holds."""
    options = options_of(
        form,
        wheel_diameter,
        wheel_gauge,
        stick_length,
        slide_position,
        resolve=resolve,
        prove_out=prove_out,
        controls=controls,
    )
    return run(recipes, out, options, only_check=only_check, force=force, as_document=as_document)


def options_of(
    form: str | None,
    diameters: tuple[Decimal, ...],
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
        diameter=diameters[0] if len(diameters) == 1 else None,
        diameters=diameters if len(diameters) > 1 else (),
        gauge=gauge,
        length=length,
        slide_position=slide_position,
        resolve=resolve,
        prove_out=prove_out,
        control_folders=controls,
    )


def run(
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
    if job.drift is not None:
        lines += job.drift.diff
    for line in lines:
        click.echo(line, err=quiet or job.refused)


def _document(job: Job) -> dict[str, Any]:
    from dataclasses import asdict

    from gen.report import finding_json

    return {
        "recipe": str(job.recipe_path),
        "machine": str(job.machine_path),
        "program": None if job.program_path is None else str(job.program_path),
        "sheet": str(job.sheet_paths[0]) if job.sheet_paths else None,
        "findings": [finding_json(str(job.program_path or job.recipe_path), finding) for finding in job.findings],
        **({} if job.drift is None else {"drift": [asdict(one) for one in job.drift.differences]}),
    }


def _unusable(path: Path, error: DressblockError) -> dict[str, Any]:
    return {"recipe": str(path), "machine": None, "program": None, "sheet": None, "findings": [], "error": str(error)}
