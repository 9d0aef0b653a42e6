"""``keys``: every key of the files a shop writes, with unit, default and meaning."""

from __future__ import annotations

import click

from gen.cli.shared import answered, plainly


@click.command()
@click.argument("name", required=False)
@plainly
def keys(name: str | None, as_document: bool) -> int:
    """Every key of machine, recipe and control files, or all about those called NAME.

    NAME is a key with its table (dresser.clearance), a key alone (clearance),
    or a table (dresser).
    """
    from gen.jobs.keys import keys_as_objects, keys_as_text, keys_named

    known = keys_named(name)
    return answered(
        lambda: {"keys": keys_as_objects(known)},
        lambda: keys_as_text(known, whole=name is not None),
        as_document=as_document,
    )
