"""``trace``: the neutral steps of any program."""

from __future__ import annotations

from pathlib import Path

import click

from gen.base.errors import DressblockError
from gen.cli.options import complete_control, control_folders
from gen.cli.shared import FINDING, HOLDS, Progress, plainly, print_json, say, tell
from gen.cli.values import a_file


@click.command()
@click.argument("program", type=a_file)
@click.option("--control", "name", shell_complete=complete_control, help="The control that the program is for.")
@click.option("--machine", type=a_file, help="The machine file that names the control, and what its builder added.")
@click.option("--set", "settings", multiple=True, metavar="REGISTER=VALUE", help="A register's value; may be repeated.")
@click.option("--block-delete", is_flag=True, help="Leave out blocks that begin with the block-delete character.")
@control_folders
@plainly
def trace(
    program: Path,
    name: str | None,
    machine: Path | None,
    settings: tuple[str, ...],
    block_delete: bool,
    control_folders: tuple[Path, ...],
    as_document: bool,
) -> int:
    """The neutral steps of PROGRAM, whoever wrote it."""
    from gen.jobs.report import step_json, step_line
    from gen.jobs.trace import control_of
    from gen.jobs.trace import trace_of as traced
    from gen.reader.reading import UNFINISHED

    if (name is None) == (machine is None):
        raise DressblockError("name the program's control with --control, or its machine's file with --machine.")
    spoken = control_of(name, machine, control_folders)
    with Progress(f"{program}: reading it"):
        reading = traced(program, spoken, settings, block_delete=block_delete)
    followed = sorted([*reading.unmodelled, *reading.lost])
    if as_document:
        unread = [{"line": one.line, "text": one.text, "why": one.why} for one in reading.unread]
        steps = [step_json(step) for step in reading.steps]
        unmodelled = [{"line": first, "until": last, "why": why} for first, last, why in followed]
        print_json({"steps": steps, "unread": unread, "unmodelled": unmodelled, "end": reading.end})
    else:
        for step in reading.steps:
            tell(step_line(step))
    for first, last, why in followed:
        until = "" if last == first else f" up to line {last}"
        say(f"{program}:{first}: not worked out{until}: {why}")
    for one in reading.unread:
        say(f"{program}:{one.line}: not understood: {one.text} ({one.why})")
    return FINDING if reading.unread or reading.end in UNFINISHED else HOLDS
