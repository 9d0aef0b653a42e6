"""Where a control's templates run: they spell what they are given, and can do nothing else.

A ``words.j2`` may come from anywhere. What it is made of is held against a list
of what spelling needs, so that neither a formula nor a way out can be written
in it; what it does is counted, so that it ends and stays short.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined, TemplateError, TemplateNotFound, TemplateRuntimeError, nodes
from jinja2.environment import Environment, Template
from jinja2.meta import find_undeclared_variables
from jinja2.runtime import Context
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import pass_context

from gen.base.compiled import CompiledTemplates
from gen.base.errors import DressblockError, listed, printable

MAX_TEMPLATE_BYTES = 1 << 16
"""The largest template of a control."""
MAX_CHARACTERS = 1_000_000
"""What one macro may write, with all that it puts together on the way."""
MAX_STEPS = 100_000
"""What one macro may do: every part of it counts, each time it is gone through."""

_SHARED = "common.j2"
ALLOWED: tuple[type[nodes.Node], ...] = (
    nodes.Template,
    nodes.Macro,
    nodes.FromImport,
    nodes.Output,
    nodes.TemplateData,
    nodes.If,
    nodes.For,
    nodes.Name,
    nodes.Const,
    nodes.List,
    nodes.Tuple,
    nodes.Dict,
    nodes.Pair,
    nodes.Keyword,
    nodes.Getitem,
    nodes.Call,
    nodes.Filter,
    nodes.Concat,
    nodes.CondExpr,
    nodes.Compare,
    nodes.Operand,
    nodes.And,
    nodes.Or,
    nodes.Not,
)
_ARITHMETIC: dict[type[nodes.Node], str] = {
    nodes.Add: "+",
    nodes.Sub: "-",
    nodes.Mul: "*",
    nodes.Div: "/",
    nodes.FloorDiv: "//",
    nodes.Mod: "%",
    nodes.Pow: "**",
    nodes.Neg: "-",
    nodes.Pos: "+",
}
COMPARISONS = ("eq", "ne", "in", "notin")
_PAYING = ("_step", "_each", "_length")
_FILTERS = ("first", "join", "last", "length", "lower", "trim", "upper")


class Counted(Environment):
    """Loads from the first of ``folders`` that has a template. What it writes and does is counted.

    :func:`count_costs` makes a template pay; compiled ones are ``kept`` under that name, unless it is empty.
    """

    def __init__(self, folders: Sequence[Path], *, escape: bool, kept: str) -> None:
        super().__init__(
            loader=FileSystemLoader(folders),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            autoescape=escape,
            bytecode_cache=CompiledTemplates(kept) if kept else None,
        )
        self.filters |= {"join": self._joined, "_step": self._step, "_each": self._each, "_length": self._length}
        self.refill()

    def refill(self) -> None:
        """A macro, or a page, begins: it has the whole of what one may write and do."""
        self._characters, self._steps = MAX_CHARACTERS, MAX_STEPS

    @pass_context
    def _step(self, _: Context, value: str, cost: int) -> str:
        self._steps -= cost
        if self._steps < 0:
            raise TemplateRuntimeError("it takes more steps than any control needs")
        return value

    @pass_context
    def _each(self, context: Context, values: Iterable[Any], cost: int) -> Iterator[Any]:
        if not isinstance(values, (list, tuple, dict, str)):
            raise TemplateRuntimeError("only a list that is given can be gone through")
        for value in values:
            self._step(context, "", cost)
            yield value

    @pass_context
    def _length(self, _: Context, value: Any) -> Any:
        self._write(len(value if isinstance(value, str) else str(value)))
        return value

    @pass_context
    def _joined(self, _: Context, values: Any, between: str = "") -> str:
        parts = [str(value) for value in values]
        self._write(sum(map(len, parts)) + len(str(between)) * len(parts))
        return str(between).join(parts)

    def _write(self, characters: int) -> None:
        self._characters -= characters
        if self._characters < 0:
            raise TemplateRuntimeError(f"it writes more than {MAX_CHARACTERS} characters")


class Sandbox(Counted, ImmutableSandboxedEnvironment):
    """Loads the templates of ``folder``, and of ``shared`` where that has none of a name."""

    def __init__(self, folder: Path, shared: Path) -> None:
        super().__init__([folder, shared], escape=False, kept="spelling" if folder.parent == shared else "")
        self.folder = folder
        self._shared = shared
        self.globals.clear()
        self.tests.clear()
        self.filters = {name: self.filters[name] for name in (*_FILTERS, *_PAYING)}

    def load(self, name: str) -> Template:
        """The template ``name``; :class:`DressblockError` where it is missing or holds what a template may not."""
        file = self.folder / name
        try:
            if file.is_file() and file.stat().st_size > MAX_TEMPLATE_BYTES:
                raise DressblockError("this template is larger than 64 kB; a control's is a few kB.", file=file)
            return self.get_template(name)
        except TemplateNotFound as error:
            raise DressblockError(f"this control has no {error.name}.", file=self.folder) from None
        except TemplateError as error:
            raise DressblockError(f"this template cannot be used: {reason(error)}.", file=file) from None
        except (RecursionError, MemoryError, SyntaxError):
            raise DressblockError("this template cannot be used: it is nested too deeply.", file=file) from None
        except OSError as error:
            said = (error.strerror or str(error)).lower()
            raise DressblockError(f"this template cannot be read: {said}.", file=file) from None
        except ValueError:
            raise DressblockError("this template is not UTF-8, or a number in it is too large.", file=file) from None

    def getitem(self, obj: Any, argument: Any) -> Any:
        """``obj[argument]`` of a list, a dictionary or a text; never an attribute."""
        if isinstance(obj, (list, tuple, dict, str)):
            try:
                return obj[argument]
            except (LookupError, TypeError):
                return self.undefined(obj=obj, name=argument)
        return self.undefined(obj=obj, name=argument)

    def getattr(self, obj: Any, attribute: str) -> Any:
        return self.undefined(obj=obj, name=attribute)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        file = Path(filename or name or "")
        refuse(tree, file, lambda node: _trouble(node, file))
        if self._shared not in file.parents:  # what came along ends by itself, and is in a hurry
            count_costs(tree)
        return tree


def reason(error: Exception) -> str:
    """What is wrong with a template, to stand inside a sentence, with its line where that is known."""
    line = getattr(error, "lineno", None)
    said = printable(str(error).rstrip(".").replace("'", '"'))
    said = said if len(said) <= 200 else said[:197] + "..."
    return f"line {line}: {said}" if line else said


def refuse(tree: nodes.Template, file: Path, trouble: Callable[[nodes.Node], str]) -> None:
    """:class:`DressblockError` for the first part of ``tree`` that gives ``trouble``, or that nothing gives."""
    for node in nodes_below(tree):
        if why := trouble(node):
            raise DressblockError(f"line {node.lineno}: {why}.", file=file)
    if unknown := sorted(find_undeclared_variables(tree)):
        line = next(node.lineno for node in tree.find_all(nodes.Name) if node.name == unknown[0])
        raise DressblockError(
            f'line {line}: nothing gives "{printable(unknown[0])}"; a macro knows what stands in its brackets, and the '
            "macros of this file.",
            file=file,
        )


def nodes_below(node: nodes.Node) -> Iterator[nodes.Node]:
    waiting = [node]
    while waiting:
        yield (node := waiting.pop())
        waiting.extend(node.iter_child_nodes())


def _trouble(node: nodes.Node, file: Path) -> str:
    match node:
        case _ if sign := _ARITHMETIC.get(type(node)):
            return f'"{sign}" works something out; a template only spells what it is given, "~" puts texts together'
        case nodes.Getattr():
            return f'".{printable(node.attr)}" looks into a value; a template only spells what it is given'
        case nodes.Name(name="self" | "caller" | "varargs" | "kwargs"):
            return f'nothing gives "{node.name}"; a macro knows what stands in its brackets'
        case nodes.Call() if not isinstance(node.node, nodes.Name):
            return "only a macro can be called, by its name"
        case nodes.Operand() if node.op not in COMPARISONS:
            return 'a template compares by "==", "!=", "in" and "not in" only'
        case nodes.FromImport() if not (isinstance(node.template, nodes.Const) and node.template.value == _SHARED):
            return f'macros come from "{_SHARED}" and from nowhere else'
        case nodes.FromImport() if file.name == _SHARED:
            return "this file cannot take macros from itself"
    return more_than(node, ALLOWED, _FILTERS, 'a template may do; it has macros, "if" and "for"')


def more_than(node: nodes.Node, parts: tuple[type[nodes.Node], ...], filters: Sequence[str], what: str) -> str:
    """Why ``node`` is more than ``what``; empty where it is one of ``parts``, and a filter one of ``filters``."""
    match node:
        case nodes.Filter() if node.name not in filters:
            return f'there is no filter "{node.name}" here; there are {listed(filters, "and")}'
        case nodes.For(recursive=True):
            return "a loop cannot call itself"
        case nodes.Call() | nodes.Filter() if node.dyn_args is not None or node.dyn_kwargs is not None:
            return "values are given one by one, not by a star"
        case _ if not isinstance(node, parts):
            return f'"{type(node).__name__.lower()}" is more than {what}'
    return ""


def count_costs(tree: nodes.Template) -> None:
    """Makes whatever repeats or lengthens in ``tree`` pay for it."""
    loops = [(loop, _cost(loop)) for loop in tree.find_all(nodes.For)]
    macros = [(macro, _cost(macro)) for macro in tree.find_all(nodes.Macro)]
    for node in list(nodes_below(tree)):
        if isinstance(node, (nodes.Output, nodes.Concat)):
            node.nodes = [
                part if isinstance(part, nodes.TemplateData) else _filter(part, "_length") for part in node.nodes
            ]
    for loop, cost in loops:
        loop.iter = _filter(loop.iter, "_each", cost)
    for macro, cost in macros:
        start = _filter(nodes.Const("", lineno=macro.lineno), "_step", cost)
        macro.body = [nodes.Output([start], lineno=macro.lineno), *macro.body]


def _cost(node: nodes.Node) -> int:
    """How much one pass through ``node`` does: its parts, and the plain text in it."""
    return sum(1 + len(part.data) // 10 if isinstance(part, nodes.TemplateData) else 1 for part in nodes_below(node))


def _filter(value: nodes.Node, name: str, *arguments: int) -> nodes.Filter:
    given: list[nodes.Expr] = [nodes.Const(argument, lineno=value.lineno) for argument in arguments]
    return nodes.Filter(value, name, given, [], None, None, lineno=value.lineno)
