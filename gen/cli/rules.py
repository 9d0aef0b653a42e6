"""``rules``: what each bound holds, why, what breaks it and what helps."""

from __future__ import annotations

import click

from gen.cli.options import as_json_option
from gen.cli.shared import HOLDS, plainly, print_json, tell


@click.command()
@click.argument("rule", metavar="[ID]", required=False)
@as_json_option
@plainly
def rules(rule: str | None, as_document: bool) -> int:
    """Every rule that a program is held to, or the one named ID: what it holds, why, an example, and what helps."""
    from gen.jobs.rules import rules_as_objects, rules_as_text, rules_named

    found = rules_named(rule)
    if as_document:
        print_json({"rules": rules_as_objects(found)})
    else:
        tell(rules_as_text(found, whole=rule is not None))
    return HOLDS
