"""The options that several commands take, each said once; those about a dress arrive together as ``Options``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

import click

from gen.cli.values import QuantityType, a_file

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem
from gen.shop.edition import Purpose

Command = TypeVar("Command", bound=Callable[..., Any])
Option: TypeAlias = Callable[[Command], Command]

out_option = click.option("--out", type=a_file, default=Path("programs"), show_default=True, help="Folder to write to.")
jobs_option = click.option(
    "--jobs",
    type=click.IntRange(min=0),
    default=1,
    show_default=True,
    help="Files worked on at a time; 0: one for each core.",
)


def complete_language(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The languages that come along, for a shell that completes; a folder of one's own will do as well."""
    from click.shell_completion import CompletionItem

    from gen.base.languages import languages

    return [*_beginning(languages(), incomplete), CompletionItem(incomplete, type="dir")]


def complete_control(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """The controls that there are, those of the folders named before included."""
    from gen.control.folders import control_names

    return _beginning(control_names(ctx.params.get("control_folders") or ()), incomplete)


def _beginning(names: Iterable[str], incomplete: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    return [CompletionItem(name) for name in names if name.startswith(incomplete)]


language_option = click.option(
    "--language",
    default="en",
    shell_complete=complete_language,
    show_default=True,
    help="Language of what people read: en, de, or the folder of your own. Errors and findings stay in English.",
)


def _with_controls(ctx: click.Context, param: click.Parameter, folders: tuple[Path, ...]) -> tuple[Path, ...]:
    for folder in folders:
        if not any(folder.glob("*/control.toml")):
            raise click.BadParameter(
                f"there is no control in {folder}; each is a folder in it, with a control.toml.", ctx, param
            )
    return folders


control_folders = click.option(
    "--controls",
    "control_folders",
    type=a_file,
    multiple=True,
    callback=_with_controls,
    help="A folder with controls of your own; may be repeated.",
)
form_option = click.option(
    "--form", type=click.Choice(["block", "subprogram", "program"]), help="The recipe's own unless given."
)
resolve_option = click.option("--resolve", is_flag=True, help="Numbers in place of registers, for one state.")


prove_out_option = click.option(
    "--prove-out", is_flag=True, help="The dress with the stick held off, for the first run."
)
gap_check_option = click.option(
    "--gap-check",
    is_flag=True,
    help="Proves the datum, spindle off: the stick stops short of each wheel, and somebody measures the gap.",
)
state_options = (
    click.option(
        "--wheel-diameter",
        "diameters",
        type=QuantityType("length"),
        multiple=True,
        help="Wheel diameter; new unless given. For a pack once for each wheel, in the recipe's order.",
    ),
    click.option("--wheel-gauge", "gauge", type=QuantityType("length"), help="Gauge of a cup wheel; new unless given."),
    click.option(
        "--stick-length", "length", type=QuantityType("length"), help="Stick length; a new stick unless given."
    ),
    click.option("--slide-position", type=QuantityType("length"), help="Where an incremental slide stands."),
)
"""The state of wheel and stick that a numeric program is right for."""


def chosen(*options: Option[Any]) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """``options`` of the command line, each named as a field of ``Options``, given to a command as its ``options``."""

    def decorated(command: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(command)
        def gathered(**given: Any) -> Any:
            from gen.control.options import Options

            fields = {name: given.pop(name) for name in names}
            # one wheel's size or those of a pack
            if len(one := fields.get("diameters", ())) == 1:
                fields |= {"diameter": one[0], "diameters": ()}
            fields |= _purpose(fields.pop("prove_out", False), fields.pop("gap_check", False))
            return command(**given, options=Options(**fields))

        taken: Callable[..., Any] = gathered
        own = len(_parameters(command))
        for option in reversed(options):
            taken = option(taken)
        # the command's own may be called like a field of Options
        names = tuple(dict.fromkeys(parameter.name for parameter in _parameters(taken)[own:]))
        return taken

    return decorated


def _purpose(prove_out: bool, gap_check: bool) -> dict[str, Purpose]:
    if prove_out and gap_check:
        raise click.UsageError("--prove-out and --gap-check are two programs; generate one after the other.")
    return {"purpose": "prove-out" if prove_out else "gap-check" if gap_check else "dress"}


def _parameters(command: Callable[..., Any]) -> list[click.Parameter]:
    """What the decorators below have noted on ``command`` so far."""
    return list(getattr(command, "__click_params__", []))
