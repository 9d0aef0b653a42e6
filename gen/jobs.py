"""One recipe file from reading to writing: load, build, advise, write or refuse."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from gen.advice import Tables, advised
from gen.bounds.finding import Finding
from gen.build import Options, Program, build
from gen.errors import DressblockError
from gen.family import in_variant, suffix, variants
from gen.files import load_machine, load_recipe, machine_path_for, read_toml, write_whole
from gen.locate import names_of
from gen.machine import Machine
from gen.recipe import Recipe
from gen.seal import blocks
from gen.sheet import sheet

MAX_PROGRAM_BYTES = 200_000_000


@dataclass(frozen=True)
class Job:
    """What became of one recipe: the program, and the files written for it (none if it was refused)."""

    recipe_path: Path
    machine_path: Path
    program: Program
    findings: tuple[Finding, ...]
    program_path: Path | None = None
    sheet_paths: tuple[Path, ...] = field(default=())

    @property
    def refused(self) -> bool:
        return any(finding.severity == "error" for finding in self.findings)


def prepare(recipe_path: Path, options: Options) -> list[Job]:
    """The judged programs of ``recipe_path``, with what would help where one is refused; nothing is written."""
    recipe = load_recipe(recipe_path)
    machine_path = machine_path_for(recipe_path, recipe)
    machine = load_machine(machine_path)
    return [
        _prepared(recipe_path, recipe, machine_path, machine, replace(options, variant=variant))
        for variant in variants(recipe)
    ]


def _prepared(recipe_path: Path, recipe: Recipe, machine_path: Path, machine: Machine, options: Options) -> Job:
    names = names_of(recipe_path, machine_path)
    try:
        program = build(recipe, machine, names, options)
    except DressblockError as error:
        raise error.within(recipe_path) from None
    findings = tuple(
        replace(finding, changes=tuple(in_variant(change, options.variant) for change in finding.changes))
        for finding in program.findings
    )
    if not program.accepted:
        findings = advised(findings, read_toml(recipe_path), read_toml(machine_path), _judge_with(names, options))
    return Job(recipe_path, machine_path, replace(program, findings=findings), findings)


def _judge_with(names: tuple[str, str], options: Options) -> Any:
    def judge(recipe: Tables, machine: Tables) -> tuple[Finding, ...] | None:
        try:
            return build(Recipe.model_validate(recipe), Machine.model_validate(machine), names, options).findings
        except (DressblockError, ValidationError):
            return None

    return judge


def write(job: Job, out: Path, *, force: bool = False) -> Job:
    """Writes program and sheets of ``job`` below ``out``; a program changed by hand stays unless ``force``."""
    if job.refused:
        return job
    program_path = place_of(job, out)
    if not force and (reason := kept_because(program_path)):
        return replace(job, findings=(*job.findings, Finding("altered", None, "error", "changed", reason)))
    sheets = {} if job.program.heading.prove_out else _sheets(job, program_path)
    make_folder(program_path.parent)
    for path, text in sheets.items():
        write_whole(path, text)
    write_whole(program_path, job.program.text)
    return replace(job, program_path=program_path, sheet_paths=tuple(sheets))


def _sheets(job: Job, program_path: Path) -> dict[Path, str]:
    """The sheet's two forms by path. A prove-out has none: what it is for stands on the dress's own sheet."""
    made = sheet(job.program)
    return {program_path.with_suffix(".html"): made.html, program_path.with_suffix(".txt"): made.text}


def compare(job: Job, out: Path) -> Job:
    """``job`` with a finding where the program below ``out`` is missing or is not the one generated now."""
    if job.refused:
        return job
    path = place_of(job, out)
    text = read_text(path) if path.is_file() else None
    if text == job.program.text:
        return replace(job, program_path=path)
    reason = (
        f"{path} is missing; generate it."
        if text is None
        else f"{path} differs from what this recipe gives now (line {_first_difference(text, job.program.text)}); "
        "generate it again, or look at what was changed."
    )
    return replace(
        job, program_path=path, findings=(*job.findings, Finding("altered", None, "error", "changed", reason))
    )


def place_of(job: Job, out: Path) -> Path:
    """Where the program goes: ``out``/machine folder/recipe name, with the control's suffix."""
    machine, recipe = names_of(job.recipe_path, job.machine_path)
    heading = job.program.heading
    kind = suffix("after-truing" if heading.after_truing else "dress", prove_out=heading.prove_out)
    return out / machine / f"{recipe}{kind}{job.program.dialect.control.file_suffix}"


def kept_because(path: Path) -> str:
    """Why the file at ``path`` must not be overwritten; empty if it may be."""
    if not path.exists():
        return ""
    if not path.is_file():
        return f"{path} is not an ordinary file; choose another --out."
    marked = list(blocks(read_text(path).splitlines()))
    if not marked:
        return f"{path} is not a program written by this generator; move it away, or use --force."
    if any(block.altered for block in marked):
        return f"{path} was changed by hand and is kept; use --force to write over it."
    return ""


def make_folder(folder: Path) -> None:
    """``folder`` and those above it; :class:`DressblockError` if that is impossible."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DressblockError(f"this folder cannot be made: {error.strerror}.", file=folder) from None


def read_text(path: Path) -> str:
    """A program's text, line ends as they are; bytes that are not UTF-8 are kept apart, not lost."""
    try:
        if path.stat().st_size > MAX_PROGRAM_BYTES:
            raise DressblockError("this file is larger than 200 MB; no program is.", file=path)
        return path.read_bytes().decode("utf-8", errors="surrogateescape")
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise DressblockError(f"this file cannot be read: {reason}.", file=path) from None


def _first_difference(one: str, other: str) -> int:
    pairs = zip(one.split("\n"), other.split("\n"), strict=False)
    return next((index for index, (a, b) in enumerate(pairs, 1) if a != b), min(one.count("\n"), other.count("\n")) + 1)
