"""``rules``: what each bound holds, why, what breaks it and what helps."""

from __future__ import annotations

import click

from gen.cli.shared import answered, plainly


@click.command()
@click.argument("rule", metavar="[ID]", required=False)
@plainly
def rules(rule: str | None, as_document: bool) -> int:
    """Every rule that a program is held to, or the one named ID: what it holds, why, an example, and what helps."""
    from gen.jobs.rules import rules_as_objects, rules_as_text, rules_named

    found = rules_named(rule)
    return answered(
        lambda: {"rules": rules_as_objects(found)},
        lambda: rules_as_text(found, whole=rule is not None),
        as_document=as_document,
    )
