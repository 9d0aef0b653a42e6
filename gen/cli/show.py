"""``show``: a page that plays what a program does."""

from __future__ import annotations

from pathlib import Path

import click

from gen.cli.options import complete_control, control_folders, language_option
from gen.cli.shared import HOLDS, leave_out, plainly, print_json, tell
from gen.cli.values import a_file


@click.command()
@click.argument("program", type=a_file)
@click.option("--machine", type=a_file, help="Machine file; the one the heading names unless given.")
@click.option("--recipe", type=a_file, help="Recipe file; the one the heading names unless given.")
@click.option("--machines", "root", type=a_file, help="Folder of machine folders to look in.")
@click.option(
    "--control",
    default="",
    shell_complete=complete_control,
    help="The control that a program without a dress is for, where no machine is.",
)
@click.option("--out", type=a_file, help="File to write; PROGRAM with .html behind it unless given.")
@control_folders
@language_option
@plainly
def show(
    program: Path,
    machine: Path | None,
    recipe: Path | None,
    root: Path | None,
    control: str,
    out: Path | None,
    control_folders: tuple[Path, ...],
    language: str,
    as_document: bool,
) -> int:
    """Write a page that plays what PROGRAM does, as it was read back: for a browser, without a network."""
    from gen.base.files import write_whole
    from gen.control.options import Options
    from gen.jobs.provenance import Named
    from gen.jobs.show import program_page as shown

    leave_out(
        "--machine names the machine's file itself, and that its control",
        machines=machine and root,
        control=machine and control,
    )
    named = Named(machine, recipe, root, options=Options(control_folders=control_folders))
    target = program.with_name(f"{program.name}.html") if out is None else out
    write_whole(target, shown(program, named, control, language))
    tell(f"wrote {target}", aside=as_document)
    if as_document:
        print_json({"program": str(program), "page": str(target)})
    return HOLDS
