"""The bounds: rules over readings, one small file each under ``rules``.

A file put there is a rule; nothing else has to be touched.
"""

from __future__ import annotations

import pkgutil
from importlib import import_module

from gen.base.finding import Change, Fault, Finding
from gen.bounds import rules
from gen.bounds.case import Case, Seal
from gen.bounds.registry import RULES, Rule, judge

for _found in pkgutil.iter_modules(rules.__path__):
    import_module(f"{rules.__name__}.{_found.name}")

__all__ = ["RULES", "Case", "Change", "Fault", "Finding", "Rule", "Seal", "judge"]
