"""A catalogue's folder that came as one ZIP archive: read with care, and nothing of it kept."""

import io
import re
import zipfile
import zlib
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from wholekit.domain.catalog.model import Catalog
from wholekit.domain.catalog.places import HEADER, PRICE_BOOK
from wholekit.domain.errors import InputError, Problem
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.faults import Faults

MOST_FILES = 500
LARGEST_UNPACKED = 64_000_000
LARGEST_SERIES = 2_000_000
# The files of a catalogue, at the top of the archive or in one folder of it.
_OURS = re.compile(r"(?:(?P<top>[^/]+)/)?(?P<file>catalog\.toml|prices\.csv|series/[^/]+\.toml)")
# What archivers put beside, and nobody meant.
_BESIDE = re.compile(r"(?:.*/)?(?:__MACOSX/.*|\.DS_Store|Thumbs\.db|\._[^/]*)")
_SERIES_FILE = re.compile(r"series/[A-Za-z0-9][A-Za-z0-9._-]{0,80}\.toml")
_BROKEN = (
    zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, NotImplementedError,
    RuntimeError, OSError,
)  # fmt: skip


def load_zipped(data: bytes, name: str, finishes: Collection[str] | None = None) -> Catalog:
    """The catalogue of an archive, sound in every respect, or nothing of it.

    Each file goes under a name of ours into a folder of its own, which is gone afterwards; no name
    of the archive is ever a path here. Raises InputError with every fault.
    """
    faults = Faults(name)
    with TemporaryDirectory(prefix="wholekit-catalog-") as made:
        folder = Path(made)
        _unpack(data, folder, faults)
        faults.raise_if_any()
        try:
            catalog = load_catalog(folder, finishes)
        except InputError as error:
            raise InputError([_renamed(each, made, name) for each in error.problems]) from None
    return replace(catalog, folder=name)


def _unpack(data: bytes, folder: Path, faults: Faults) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = [each for each in archive.infolist() if not each.is_dir()]
            if len(members) > MOST_FILES:
                raise faults.refuse("zip-of-many", count=len(members), most=MOST_FILES)
            wanted = _wanted(members, faults)
            if faults:
                return
            (folder / "series").mkdir()
            left = LARGEST_UNPACKED
            for file, member in wanted.items():
                with archive.open(member) as packed:
                    # What the archive says of its sizes is not taken for true.
                    most = left if file == PRICE_BOOK else min(left, LARGEST_SERIES)
                    unpacked = packed.read(most + 1)
                if len(unpacked) > most:
                    raise faults.refuse("zip-too-large", given=file, most=most)
                left -= len(unpacked)
                (folder / file).write_bytes(unpacked)
    except _BROKEN as error:
        raise faults.refuse("zip-unreadable", error=str(error)[:80]) from None


def _wanted(members: list[zipfile.ZipInfo], faults: Faults) -> dict[str, zipfile.ZipInfo]:
    """The files that are the catalogue's, by the name they have in its folder."""
    found: dict[str, zipfile.ZipInfo] = {}
    tops: set[str] = set()
    for member in members:
        given = member.filename
        if _BESIDE.fullmatch(given):
            continue
        match = _OURS.fullmatch(given)
        file = "" if match is None else match["file"]
        if (
            match is None
            or match["top"] in (".", "..")
            or (file.startswith("series/") and not _SERIES_FILE.fullmatch(file))
        ):
            faults.put("zip-strange-file", given=given[:80])
        elif file in found:
            faults.put("zip-file-twice", given=file)
        else:
            tops.add(match["top"] or "")
            found[file] = member
    if len(tops) > 1:
        faults.put("zip-of-two", given=" and ".join(sorted(top or "the top" for top in tops)))
    if not faults and HEADER not in found:
        faults.put("zip-without-catalog")
    return found


def _renamed(problem: Problem, made: str, name: str) -> Problem:
    """A fault with its place in the archive."""
    fields = {
        key: value.replace(made, name) if isinstance(value, str) else value
        for key, value in problem.fields.items()
    }
    return replace(problem, where=problem.where.replace(made, name), fields=fields)
