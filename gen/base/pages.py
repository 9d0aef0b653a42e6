"""Where sheets, drawings and answers come from: templates of the package, worded by one language's folder.

A language may come from anywhere. Its templates hold words and choose between
them; they are read before they run, they can call nothing but macros, they
write no markup, and what they do is counted, so that they end.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from jinja2 import Template, TemplateRuntimeError, nodes
from jinja2.defaults import DEFAULT_NAMESPACE
from jinja2.runtime import Context, LoopContext, Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import Namespace

from gen.base.errors import DressblockError
from gen.base.sandbox import ALLOWED, COMPARISONS, MAX_TEMPLATE_BYTES, Counted, count_costs, more_than, refuse
from gen.base.widths import broken_into_lines

_PARTS: tuple[type[nodes.Node], ...] = (*ALLOWED, nodes.Getattr, nodes.Assign, nodes.CallBlock, nodes.Slice)
_FILTERS = ("join", "length", "lower", "sentence", "spaced", "upper")
_COMPARISONS = (*COMPARISONS, "gt", "gteq", "lt", "lteq")


class Pages(Counted):
    """Templates of the package, worded by one of its languages: all of it trusted."""

    def __init__(self, folders: Sequence[Path], *, escape: bool, kept: str) -> None:
        super().__init__(folders, escape=escape, kept=kept)
        self.filters |= {"lines": broken_into_lines, "sentence": _sentence, "spaced": _spaced}

    def fresh(self, name: str) -> Template:
        """The template ``name``, with the whole of what one page may write and do."""
        self.refill()
        return self.get_template(name)


class OwnPages(Pages, ImmutableSandboxedEnvironment):
    """As :class:`Pages`, with a ``language`` from anywhere; nothing that is compiled for it is kept."""

    def __init__(self, folders: Sequence[Path], language: Path, *, escape: bool) -> None:
        super().__init__([*folders, language], escape=escape, kept="")
        self._own = language.resolve()

    def call(self, context: Context, obj: Any, /, *args: Any, **kwargs: Any) -> Any:
        """Nothing can be called but macros, and what the package's own templates need."""
        bound = isinstance(getattr(obj, "__self__", None), LoopContext)
        if not (isinstance(obj, Macro) or obj is Namespace or bound):
            raise TemplateRuntimeError("only a macro can be called")
        return super().call(context, obj, *args, **kwargs)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        file = Path(filename or name or "")
        if self._own in file.resolve().parents:
            if len(source) > MAX_TEMPLATE_BYTES:
                raise DressblockError("this template is larger than 64 kB; a language's is half of that.", file=file)
            refuse(tree, file, _trouble)
            count_costs(tree)
        return tree


def _trouble(node: nodes.Node) -> str:
    match node:
        case nodes.Name(ctx="load") if node.name in DEFAULT_NAMESPACE:
            return f'nothing gives "{node.name}"; a macro knows what stands in its brackets'
        case nodes.TemplateData() if "<" in node.data:
            return 'a language is words alone; "<" would be markup'
        case nodes.Operand() if node.op not in _COMPARISONS:
            return "this comparison is not known here"
        case nodes.FromImport():
            return "a language takes nothing from other files"
    return more_than(node, _PARTS, _FILTERS, 'a language may do; it has words, "if" and "for"')


def _sentence(text: str) -> str:
    """``text`` with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def _spaced(text: str) -> str:
    """A key such as ``stick_length`` as words."""
    return text.replace("_", " ")
