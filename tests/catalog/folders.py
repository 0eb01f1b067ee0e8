"""Catalogue folders for the tests: a sound one, with a fault put in where a test wants one."""

import shutil
from pathlib import Path

from wholekit.domain.errors import Problem
from wholekit.intake.catalog_folder import catalog_problems

SOUND = Path(__file__).parent / "sound"
SERIES = "series/fen.toml"
PRICES = "prices.csv"
HEADER = "catalog.toml"
FINISHES = frozenset({"689", "690", "691"})


def sound_copy(folder: Path) -> Path:
    """A copy of the sound catalogue to put faults into."""
    return Path(shutil.copytree(SOUND, folder / "copy"))


def changed(folder: Path, file: str, old: str, new: str) -> Path:
    """A copy in which one text of one file is another; the text must be there once."""
    copy = sound_copy(folder)
    path = copy / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} is in {file} {text.count(old)} times"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return copy


def told(folder: Path) -> list[tuple[str, str, int | None, str]]:
    """Each problem of a folder: code, file within it, row, column."""
    return [told_of(problem, folder) for problem in catalog_problems(folder, FINISHES)]


def told_of(problem: Problem, folder: Path) -> tuple[str, str, int | None, str]:
    """One problem: code, file within the folder, row, column."""
    file = problem.where.removeprefix(f"{folder.as_posix()}/")
    return problem.code, file, problem.row, problem.column
