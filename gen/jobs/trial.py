"""A trial of targets from a recipe: a program for each rung, the order of the runs, and a log to fill in."""

from __future__ import annotations

import copy
import csv
import io
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed
from gen.base.files import write_whole
from gen.base.finding import errors_in
from gen.base.toml import as_toml
from gen.control.options import Options
from gen.jobs.dress_costs import dress_costs, missing_prices
from gen.jobs.generate import Job, make_folder, prepare_pair, write
from gen.jobs.pair import Pair, pair_at
from gen.paper.trial import operator_sheet
from gen.power.said import as_said
from gen.power.trial.answer import TrialAnswer, trial_answer
from gen.power.trial.log import MOST_RUNS, TRIAL_COLUMNS, read_trial, sizes_within
from gen.power.trial.schedule import DRESSES_IN_A_ROW, schedule
from gen.shop.edition import Purpose
from gen.shop.family import HIGHEST, editions, number_of
from gen.shop.load import load_recipe, machine_file_for
from gen.shop.recipe import Recipe

USUAL_PARTS = 6
"""Parts in a run where the recipe has no ``every_parts``; common practice, no source."""
LOG, SHEET = "trial.csv", "trial.html"
OWN_NUMBERS = ("prove_out_program", "gap_check_program")
"""Keys of a recipe that number other programs than its dress; those of a rung follow from its own number."""


@dataclass(frozen=True)
class Rung:
    """One program of a trial: its target, depth of a plunge in mm, its own recipe, and what was judged.

    ``prove_out`` is the program for its first run.
    """

    target: Decimal
    depth: Decimal
    pair: Pair
    job: Job
    prove_out: Job

    @property
    def number(self) -> int:
        return self.pair.recipe.program


@dataclass(frozen=True)
class RefusedRung:
    """A rung that is left out, and why."""

    target: Decimal
    depth: Decimal
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TrialRunPlan:
    """One run of a trial: dress so many times with the program of ``rung``, then grind parts ``first`` to ``last``."""

    run: int
    rung: Rung
    dresses: int
    first: int
    last: int


@dataclass(frozen=True)
class TrialPlan:
    """A whole trial. ``refused`` are the rungs that a bound forbids; their programs are not written.

    Parts 1 to ``parts`` are ground first, as the wheel stands. ``stick`` is what
    all dresses together take off the stick's length, mm.
    """

    pair: Pair
    rungs: tuple[Rung, ...]
    refused: tuple[RefusedRung, ...]
    runs: tuple[TrialRunPlan, ...]
    parts: int
    seed: int
    varies_depth: bool

    @property
    def stick(self) -> Decimal:
        plunges = self.pair.recipe.dress.plunges
        return sum((run.dresses * run.rung.depth * plunges for run in self.runs), Decimal(0))

    @property
    def dresses(self) -> int:
        return sum(run.dresses for run in self.runs)


def plan_trial(
    recipe_path: Path,
    targets: Sequence[Decimal],
    out: Path,
    options: Options,
    *,
    depths: Sequence[Decimal] = (),
    blocks: int = 2,
    parts: int | None = None,
    seed: int = 1,
) -> TrialPlan:
    """The trial of ``recipe_path`` at ``targets``; nothing is written.

    ``depths`` are plunges in mm to try each target at, the recipe's own unless
    given. :class:`DressblockError` where no trial can be made of this recipe.
    """
    pair = pair_at(recipe_path)
    recipe = pair.recipe
    if len(recipe.wheels) > 1:
        raise DressblockError(
            "this recipe dresses several wheels, and the power is that of all of them together; make a trial with a "
            "recipe of one wheel.",
            file=recipe_path,
        )
    tried = [(target, depth) for depth in sorted({*depths} or {recipe.dress.plunge}) for target in sorted({*targets})]
    if len(tried) < 2:
        raise DressblockError("a trial compares; give at least two targets, or one target and two depths.")
    if len(tried) * len(DRESSES_IN_A_ROW) * blocks > MOST_RUNS:
        raise DressblockError(f"this would be more than {MOST_RUNS} runs; give fewer targets, depths or blocks.")
    numbers = _free_numbers(pair, len(tried))
    folder = out / pair.names[0] / "dress"

    def rung(target: Decimal, depth: Decimal, number: int) -> Rung:
        name = f"{recipe_path.stem}-t{target:f}" + (f"-d{depth:f}" if depths else "")
        path = folder / f"{name.replace('.', '_')}.toml"
        changed = _rung_tables(pair, path, target, depth if depths else None, number)
        own = replace(pair, recipe_path=path, recipe=load_recipe(recipe_path, changed), recipe_tables=changed)
        purposes: tuple[Purpose, ...] = ("dress", "prove-out")
        job, prove_out = (prepare_pair(own, replace(options, purpose=purpose))[0] for purpose in purposes)
        return Rung(target, depth, own, job, prove_out)

    kept: list[Rung] = []
    refused: list[RefusedRung] = []
    broken: list[DressblockError] = []
    for (target, depth), number in zip(tried, numbers, strict=True):
        try:
            one = rung(target, depth, number)
        except DressblockError as error:
            broken.append(error)
            refused.append(RefusedRung(target, depth, (_said(error),)))
            continue
        if why := _why(one):
            refused.append(RefusedRung(target, depth, why))
        else:
            kept.append(one)
    if len(broken) == len(tried):
        raise broken[0].within(recipe_path)
    _must_repeat(kept, recipe_path)
    usual = parts or recipe.dress.every_parts or USUAL_PARTS
    planned = schedule(range(len(kept)), blocks, seed) if len(kept) > 1 else []
    runs = tuple(
        TrialRunPlan(one.run, kept[one.rung], one.dresses, one.run * usual + 1, (one.run + 1) * usual)
        for one in planned
    )
    return TrialPlan(pair, tuple(kept), tuple(refused), runs, usual, seed, len({*depths}) > 1)


def _why(rung: Rung) -> tuple[str, ...]:
    """The sentences of the bounds that forbid ``rung``; none where it is allowed."""
    findings = errors_in((*rung.job.findings, *rung.prove_out.findings))
    return tuple(dict.fromkeys(one.message for one in findings))


def _said(error: DressblockError) -> str:
    """The sentence of ``error`` with its key, without the file: a rung's recipe is not written yet."""
    text = str(error.args[0])
    return f"{error.key}: {text}" if error.key else text


def _must_repeat(rungs: Sequence[Rung], recipe_path: Path) -> None:
    """:class:`DressblockError` where a program is right for one length of the stick only."""
    for rung in rungs:
        dress = rung.job.program.dress
        if dress.dresser.needs_length and not rung.job.program.by_registers:
            raise DressblockError(
                "on this control a program is right for one length of the stick only, and a trial dresses again and "
                "again; a trial needs registers, an incremental slide or a timed feeder.",
                file=recipe_path,
            )


def _rung_tables(pair: Pair, path: Path, target: Decimal, depth: Decimal | None, number: int) -> dict[str, Any]:
    """The recipe's tables at another target: it dresses at every call, and the rest is as it was."""
    changed = copy.deepcopy(pair.recipe_tables)
    changed["title"] = f"{changed.get('title', '')}, target {target:f}" + (f", plunge {depth:f} mm" if depth else "")
    changed["program"] = number
    changed["machine"] = Path(os.path.relpath(pair.machine_path.resolve(), path.resolve().parent)).as_posix()
    for key in OWN_NUMBERS:
        changed.pop(key, None)
    dress = changed["dress"]
    dress["aggressiveness"] = int(target) if target == int(target) else target
    for key in ("after_truing", "every_parts"):
        dress.pop(key, None)
    if depth is not None:
        dress["plunge"] = f"{depth:f} mm"
    wheels = changed["wheel"] if isinstance(changed["wheel"], list) else [changed["wheel"]]
    for wheel in wheels:
        wheel.pop("aggressiveness", None)
    return changed


def _free_numbers(pair: Pair, count: int) -> list[int]:
    """Program numbers for the rungs, above the recipe's: neither they nor their prove-outs' are a recipe's there."""
    recipe = pair.recipe
    taken = set(_numbers(recipe))
    for other in sorted(pair.recipe_path.resolve().parent.glob("*.toml")):
        try:
            one = load_recipe(other)
        except DressblockError:
            continue
        if machine_file_for(other, one).resolve() == pair.machine_path.resolve():
            taken |= set(_numbers(one))
    found: list[int] = []
    dress = recipe.dress.model_copy(update={"after_truing": None})
    for number in [*range(recipe.program + 1, HIGHEST + 1), *range(1, recipe.program)]:
        own = set(_numbers(recipe.model_copy(update={"program": number, "dress": dress, **dict.fromkeys(OWN_NUMBERS)})))
        if not own & taken:
            found.append(number)
            taken |= own
        if len(found) == count:
            return found
    raise DressblockError("there are no program numbers left for the rungs.", file=pair.recipe_path)


def _numbers(recipe: Recipe) -> Iterator[int]:
    """The numbers of all programs that ``recipe`` gives."""
    return (number_of(edition, recipe) for edition in editions(recipe))


@dataclass(frozen=True)
class WrittenTrial:
    """The files of a trial: the log, the sheet, and a program and recipe for each rung, in the plan's order."""

    log: Path
    sheet: Path
    jobs: tuple[Job, ...]

    @property
    def programs(self) -> tuple[Job, ...]:
        """The dresses, without their prove-outs."""
        return tuple(job for job in self.jobs if job.program.edition.dresses)

    @property
    def refused(self) -> tuple[Job, ...]:
        """Programs that were not written, since what lies there was changed by hand."""
        return tuple(job for job in self.jobs if job.refused)


def write_trial(plan: TrialPlan, out: Path, *, force: bool, language: str) -> WrittenTrial:
    """Writes ``plan`` below ``out``: recipes, programs, the log to fill in, and the operator's sheet.

    A log with anything filled in is kept unless ``force``: :class:`DressblockError`.
    """
    log, sheet = out / LOG, out / SHEET
    text = log_text(plan)
    if not force and log.exists() and log.read_bytes() != text.encode():
        raise DressblockError(
            "this log was filled in and is kept; choose another --out, or use --force to write over it.", file=log
        )
    make_folder(out)
    jobs = []
    for rung in plan.rungs:
        make_folder(rung.pair.recipe_path.parent)
        write_whole(rung.pair.recipe_path, as_toml(rung.pair.recipe_tables))
        jobs.append(write(rung.job, out, force=force, language=language))
        jobs.append(write(rung.prove_out, out, force=force, language=language))
    written = WrittenTrial(log, sheet, tuple(jobs))
    if not written.refused:
        write_whole(log, text)
        write_whole(sheet, operator_sheet(_on_sheet(plan, written), language))
    return written


def _on_sheet(plan: TrialPlan, written: WrittenTrial) -> dict[str, Any]:
    """What the operator's sheet shows."""
    block = len(plan.rungs) * len(DRESSES_IN_A_ROW)
    told = trial_as_object(plan, written, "{:f}".format)
    return {
        **told,
        "title": plan.pair.recipe.title,
        "machine": plan.pair.machine.title,
        "recipe": str(plan.pair.recipe_path),
        "log": LOG,
        "varies": plan.varies_depth,
        "face": plan.pair.recipe.wheel.contact == "face",
        "parts": plan.parts,
        "last": plan.runs[-1].last,
        "stick": told["stick_mm"],
        "block": block,
        "rungs": [{**rung, "file": Path(rung["program"]).name} for rung in told["rungs"]],
        "runs": [{**run, "begins": at > 0 and at % block == 0} for at, run in enumerate(told["runs"])],
    }


def trial_as_object(
    plan: TrialPlan, written: WrittenTrial | None, number: Callable[[Decimal], Any] = float
) -> dict[str, Any]:
    """``plan`` as a JSON object, its quantities as ``number`` has them; files are null where none was written."""
    files = {} if written is None else {job.recipe_path: job.program_path for job in written.programs}
    programs = {path: file and str(file) for path, file in files.items()}
    return {
        "runs": [
            {
                "run": run.run,
                "target": number(run.rung.target),
                "depth_mm": number(run.rung.depth),
                "dresses": run.dresses,
                "program": programs.get(run.rung.pair.recipe_path),
                "number": run.rung.number,
                "parts": [run.first, run.last],
            }
            for run in plan.runs
        ],
        "rungs": [
            {
                "target": number(rung.target),
                "depth_mm": number(rung.depth),
                "number": rung.number,
                "program": programs.get(rung.pair.recipe_path),
                "recipe": str(rung.pair.recipe_path),
            }
            for rung in plan.rungs
        ],
        "refused": [
            {"target": number(rung.target), "depth_mm": number(rung.depth), "why": list(rung.why)}
            for rung in plan.refused
        ],
        "log": None if written is None else str(written.log),
        "sheet": None if written is None else str(written.sheet),
        "dresses": plan.dresses,
        "stick_mm": number(plan.stick),
        "seed": plan.seed,
    }


def read_log_of_trial(
    log: Path, limit_kw: float, recipe_path: Path | None, *, ahead: int | None = None, seed: int = 1
) -> TrialAnswer:
    """What the log of a trial says; with a recipe, its band and prices count too."""
    found = read_trial(log)
    if recipe_path is None:
        return trial_answer(found, limit_kw, ahead=ahead, seed=seed)
    program = pair_at(recipe_path).draft()
    recipe = program.dress.recipe
    low, high = recipe.dress.band
    missing = missing_prices(program.dress)
    worn, new = map(float, program.dress.first.size_range)
    return trial_answer(
        sizes_within(found, worn, new),
        limit_kw,
        None if missing else dress_costs(program),
        band=(float(low), float(high)),
        ahead=ahead,
        seed=seed,
        notes=[as_said("prices-not-given", names=", ".join(missing))] if missing else [],
    )


def log_text(plan: TrialPlan) -> str:
    """The log to fill in: a row for every part, with what is known of it before."""
    columns = [*TRIAL_COLUMNS, *(["depth_mm"] if plan.varies_depth else [])]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    for part in range(1, plan.parts + 1):
        writer.writerow([part, "", 0, *([""] * (len(columns) - 3))])
    for run in plan.runs:
        for part in range(run.first, run.last + 1):
            is_first = part == run.first
            depth = [f"{run.rung.depth:f}"] if plan.varies_depth else []
            writer.writerow([part, "", run.dresses if is_first else 0, f"{run.rung.target:f}", "", *depth])
    return out.getvalue()


def too_few(plan: TrialPlan) -> str:
    """Why nothing can be compared; empty where at least two rungs are left."""
    if len(plan.rungs) > 1:
        return ""
    left = listed([f"{rung.target:f}" for rung in plan.rungs], "and") or "none"
    return f"of the targets only {left} is allowed here; a trial compares at least two."
