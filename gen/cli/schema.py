"""``schema``: what a file may hold, for an editor."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

import click

from gen.cli.shared import HOLDS, plainly, print_json

if TYPE_CHECKING:
    from gen.jobs.schemas import DocumentKind


@click.command()
@click.argument("kind", type=click.Choice(["machine", "recipe", "control"]))
@plainly
def schema(kind: str, as_document: bool) -> int:
    """JSON Schema (2020-12) of a machine, recipe or control file, on standard output; --json changes nothing."""
    from gen.jobs.schemas import schema_of

    print_json(schema_of(cast("DocumentKind", kind)))
    return HOLDS
