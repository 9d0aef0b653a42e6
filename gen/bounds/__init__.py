"""The bounds: checks over readings, one small file each in a family's folder under ``rules``.

A file put there is a check; nothing else has to be touched. Rules are in the order of their ids.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

from gen.bounds import rules
from gen.bounds.judge import Judgement, judge
from gen.bounds.registry import RULES, Check, Rule

for _file in sorted(Path(rules.__path__[0]).glob("*/[a-z]*.py")):
    import_module(f"{rules.__name__}.{_file.parent.name}.{_file.stem}")
for _id in sorted(RULES):
    RULES[_id] = RULES.pop(_id)

__all__ = ["RULES", "Check", "Judgement", "Rule", "judge"]
