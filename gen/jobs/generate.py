"""One recipe file from reading to writing: load, build, advise, write or refuse."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import field, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, get_args

from pydantic import ValidationError

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.files import write_whole
from gen.base.finding import Finding, errors_in
from gen.base.lines import lines_of
from gen.control.draft import Program
from gen.control.options import Options
from gen.control.origin import same_but_origin
from gen.control.seal import blocks
from gen.jobs.pair import Pair, pair_at
from gen.shop.edition import Purpose
from gen.shop.family import editions, in_edition, number_of
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

if TYPE_CHECKING:
    from gen.jobs.advice import Tables
    from gen.jobs.drift import Drift
    from gen.jobs.pair import Alter

MAX_PROGRAM_BYTES = 200_000_000


@dataclass(frozen=True)
class Job:
    """What became of one recipe: the program, and the files written for it (none if it was refused).

    ``drift``: how the program that lies there parts from this one, where the two were compared.
    """

    recipe_path: Path
    machine_path: Path
    program: Program
    findings: tuple[Finding, ...]
    program_path: Path | None = None
    sheet_paths: tuple[Path, ...] = field(default=())
    drift: Drift | None = None

    @property
    def refused(self) -> bool:
        return bool(errors_in(self.findings))


def prepare(recipe_path: Path, options: Options, alter: Alter | None = None) -> list[Job]:
    """The judged programs of ``recipe_path``, with what would help where one is refused; nothing is written.

    ``alter`` makes other tables of those in the recipe and the machine file, for this once.
    """
    return prepare_pair(pair_at(recipe_path, alter=alter), options)


def prepare_pair(pair: Pair, options: Options) -> list[Job]:
    """The judged programs of a recipe and a machine that are known already; as :func:`prepare`."""
    return [
        _prepared(pair, replace(options, after_truing=one.after_truing))
        for one in editions(pair.recipe)
        if one.purpose == options.purpose
    ]


def _prepared(pair: Pair, options: Options) -> Job:
    program = pair.build(options)
    findings = tuple(
        replace(finding, changes=tuple(in_edition(change, program.edition) for change in finding.changes))
        for finding in program.findings
    )
    if not program.accepted:
        from gen.jobs.advice import advised

        findings = advised(findings, pair.recipe_tables, pair.machine_tables, partial(_judged_as, pair, options))
        # no program is written, so that a line of it would lead nowhere
        findings = tuple(dict.fromkeys(replace(finding, line=None) for finding in findings))
    return Job(pair.recipe_path, pair.machine_path, replace(program, findings=findings), findings)


def _judged_as(pair: Pair, options: Options, recipe: Tables, machine: Tables) -> tuple[Finding, ...] | None:
    """What is found of ``pair`` with other tables; None where they cannot be used."""
    try:
        other = replace(pair, recipe=Recipe.model_validate(recipe), machine=Machine.model_validate(machine))
        return other.build(options).findings
    except (DressblockError, ValidationError):
        return None


def write(job: Job, out: Path, *, force: bool = False, language: str = "en") -> Job:
    """Writes program and sheets of ``job`` below ``out``; a program changed by hand stays unless ``force``."""
    program_path = place_of(job, out)
    if job.refused:
        return _old_one_told(job, program_path)
    _must_lie_below(program_path, out)
    if not force and (reason := kept_because(program_path)):
        return replace(job, findings=(*job.findings, Finding("altered", None, "error", "changed", reason)))
    sheets = _sheets(job, program_path, language) if job.program.edition.has_sheet else {}
    make_folder(program_path.parent)
    for path, text in sheets.items():
        write_whole(path, text)
    write_whole(program_path, job.program.text)
    return replace(job, program_path=program_path, sheet_paths=tuple(sheets))


def _must_lie_below(path: Path, out: Path) -> None:
    """:class:`DressblockError` where a link would take ``path``, or a sheet beside it, elsewhere than below ``out``."""
    if not path.parent.resolve().is_relative_to(out.resolve()):
        raise DressblockError(
            "this folder is a link that leads elsewhere; name where it leads with --out.", file=path.parent
        )
    for one in (path, path.with_suffix(".html"), path.with_suffix(".txt")):
        if one.is_symlink():
            raise DressblockError(
                "this is a link, and what it leads to is not written over; remove the link.", file=one
            )


def _sheets(job: Job, program_path: Path, language: str) -> dict[Path, str]:
    """The sheet's two forms by path. A prove-out has none: what it is for stands on the dress's own sheet."""
    from gen.paper.sheet import sheet

    made = sheet(job.program, language)
    forms = {program_path.with_suffix(".html"): made.html, program_path.with_suffix(".txt"): made.text}
    # a file's name may hold bytes that are no letters
    return {path: text.encode(errors="replace").decode() for path, text in forms.items()}


def compare(job: Job, path: Path, language: str = "en") -> Job:
    """``job`` with a finding where its program or sheet at ``path`` is missing or is not what would be written now."""
    if job.refused:
        return _old_one_told(job, path)
    if not path.is_file():
        return _differs(replace(job, program_path=path), "drift", f"{path} is missing; generate it.")
    try:
        text = read_text(path)
    except DressblockError as error:
        reason = f"{path} no longer follows from its recipe, machine, template or version: {error}"
        return _differs(replace(job, program_path=path), "drift", reason)
    if same_but_origin(text, job.program.text):
        return _sheets_compared(replace(job, program_path=path), language)
    if _plain_ends(text) == _plain_ends(job.program.text):
        reason = (
            f"{path}: only its line ends differ from what was generated, as git changes them with core.autocrlf; put "
            f'"{path.parent.parent.name}/** -text" into .gitattributes and check it out or generate it again.'
        )
        return _differs(replace(job, program_path=path), "drift", reason)
    from gen.jobs.drift import drift

    found = drift(str(path), text, job.program)
    rule, said = (
        ("altered", f"{path} was changed by hand")
        if found.by_hand
        else ("drift", f"{path} no longer follows from {found.cause}")
    )
    reason = f"{said}: {found.told}; generate it again, or look at what was changed."
    return _differs(replace(job, program_path=path, drift=found), rule, reason)


def _old_one_told(job: Job, path: Path) -> Job:
    """``job``, which is refused, with a finding where a program made before still lies at ``path``."""
    if not path.is_file():
        return job
    reason = (
        f"{path} still lies there, and its recipe and machine no longer allow it; take it off the machine and delete "
        "it, or change them back."
    )
    return _differs(job, "drift", reason)


def _plain_ends(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _sheets_compared(job: Job, language: str) -> Job:
    """``job`` with a finding for the first sheet beside its program that is there and says something else now."""
    assert job.program_path is not None
    if not job.program.edition.has_sheet:
        return job
    for path, text in _sheets(job, job.program_path, language).items():
        if path.is_file() and read_text(path) != text:
            return _differs(job, "drift", f"{path} no longer says what this recipe gives; generate it again.")
    return job


def _differs(job: Job, rule: str, reason: str) -> Job:
    return replace(job, findings=(*job.findings, Finding(rule, None, "error", "changed", reason)))


class Made(NamedTuple):
    """A recipe and its machine file, the place of a program of theirs, and the numbers taken in the control's memory.

    ``numbers``: those of the dress and of what proves it, whichever of them is written now, each with what it is.
    """

    recipe: Path
    machine: Path
    place: Path
    numbers: tuple[tuple[int, str], ...]


def made_of(job: Job, out: Path) -> Made:
    """What ``job`` makes below ``out``."""
    recipe, edition, dresser = job.program.dress.recipe, job.program.edition, job.program.dress.dresser
    dress = "first opening" if edition.after_truing else "dress"
    numbers = []
    for purpose in get_args(Purpose):
        if purpose == "gap-check" and (edition.after_truing or dresser.datum_position is None):
            continue
        own = replace(edition, purpose=purpose)
        numbers.append((number_of(own, recipe), dress if purpose == "dress" else f"{own.named} of the {dress}"))
    return Made(job.recipe_path, job.machine_path, place_of(job, out), tuple(numbers))


def number_clashes(made: Iterable[Made]) -> Iterator[str]:
    """A sentence for each number that two programs of one machine share: the later would replace the first."""
    taken: dict[tuple[Path, int], tuple[Path, str]] = {}
    for one in made:
        for number, what in one.numbers:
            recipe, first = taken.setdefault((one.machine.resolve(), number), (one.recipe, what))
            if (recipe, first) != (one.recipe, what):
                yield (
                    f"{one.recipe}: program number {number} of its {what} is also that of the {first} of {recipe}; in "
                    "the control's memory one would replace the other, give each its own."
                )


def place_of(job: Job, out: Path) -> Path:
    """Where the program goes: ``out``/machine folder/recipe name, with the control's suffix."""
    program, heading = job.program, job.program.heading
    return out / heading.machine / f"{heading.recipe}{program.edition.suffix}{program.dialect.control.file_suffix}"


def kept_because(path: Path) -> str:
    """Why the file at ``path`` must not be overwritten; empty if it may be."""
    if not path.exists():
        return ""
    if not path.is_file():
        return f"{path} is not an ordinary file; choose another --out."
    try:
        marked = list(blocks(lines_of(read_program(path))))
    except DressblockError:
        marked = []
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
        raise DressblockError(
            f"this folder cannot be made: {(error.strerror or str(error)).lower()}.", file=folder
        ) from None


BYTE_ORDER_MARK = "\ufeff"
"""What some editors put before the first character of UTF-8 text."""


def read_text(path: Path) -> str:
    """A program's text, line ends as they are; bytes that are not UTF-8 are kept apart, not lost.

    :class:`DressblockError` if it cannot be read, or holds a NUL as UTF-16 does.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MAX_PROGRAM_BYTES + 1)
        if len(data) > MAX_PROGRAM_BYTES:
            raise DressblockError("this file is larger than 200 MB; no program is.", file=path)
        if b"\0" in data:
            raise DressblockError(_not_text(data), file=path)
        return data.decode("utf-8", errors="surrogateescape")
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise DressblockError(f"this file cannot be read: {reason}.", file=path) from None


def read_program(path: Path) -> str:
    """As :func:`read_text`, without a byte-order mark."""
    return read_text(path).removeprefix(BYTE_ORDER_MARK)


def _not_text(data: bytes) -> str:
    """What a file with a NUL in it is, and what would help."""
    begin = data[:1000]
    pairs = data[:2] in (b"\xff\xfe", b"\xfe\xff") or max(begin[0::2].count(0), begin[1::2].count(0)) > 0.4 * len(begin)
    what = "this is UTF-16, as some editors save it" if pairs else "this holds a NUL byte, as no program does"
    return f"{what}; save it as plain text (ASCII or UTF-8), so that it can be read."
