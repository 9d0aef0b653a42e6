"""One program that was checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import TYPE_CHECKING

from gen.base.dataclass import dataclass
from gen.base.finding import Finding, errors_in

if TYPE_CHECKING:
    from gen.base.errors import DressblockError


@dataclass(frozen=True, slots=True)
class Checked:
    """The program at ``path``, as it was named: its findings, or the ``failure`` that kept it from being read.

    ``left``: why it was left alone, as a program without a dress is. ``judged`` are the rules that were judged of
    it, and ``silent`` those that were not, with why. A rule that was judged of one dress and not of another, or in
    part, is in both.
    """

    path: str
    findings: tuple[Finding, ...] = ()
    failure: DressblockError | None = None
    left: str = ""
    judged: frozenset[str] = frozenset()
    silent: Mapping[str, str] = field(default_factory=dict)

    @property
    def error(self) -> str:
        """What the failure says; empty where there was none."""
        return "" if self.failure is None else str(self.failure)

    def verdict(self, rule: str) -> str:
        """``holds``, ``warning``, or how certain the worst error of ``rule`` is, as a finding says it."""
        found = [one for one in self.findings if one.rule == rule]
        errors = [one.certainty for one in errors_in(found)]
        return min(errors) if errors else "warning" if found else "holds"

    @property
    def broken(self) -> tuple[Finding, ...]:
        return errors_in(self.findings)

    @property
    def doubtful(self) -> tuple[Finding, ...]:
        """The warnings."""
        return tuple(finding for finding in self.findings if finding.severity == "warning")
