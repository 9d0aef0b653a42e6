"""The bounds: checks over readings, one small file each in a family's folder under ``rules``.

A file put there is a check; nothing else has to be touched. Rules are in the order of their ids.
"""

from __future__ import annotations

import pkgutil
from importlib import import_module

from gen.bounds import rules
from gen.bounds.judge import Judgement, judge
from gen.bounds.registry import RULES, Check, Rule

for _found in pkgutil.walk_packages(rules.__path__, f"{rules.__name__}."):
    import_module(_found.name)
for _id in sorted(RULES):
    RULES[_id] = RULES.pop(_id)

__all__ = ["RULES", "Check", "Judgement", "Rule", "judge"]
