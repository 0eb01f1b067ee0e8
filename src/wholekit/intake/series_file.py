"""A series file: bodies, pieces and templates, entered once for all that the price book sells."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from wholekit.domain.catalog.model import Body, Piece, Series, Template
from wholekit.domain.catalog.words import Duty, FastenerKind, HolesRow, Role
from wholekit.domain.errors import Problem
from wholekit.domain.openings.words import HingeSide, Mount, Stop
from wholekit.intake.text_file import LONGEST_LINE, is_line
from wholekit.intake.toml_table import Table, read_toml
from wholekit.wording.speech import ENGLISH, LANGUAGES

_SIDES = (HingeSide.LEFT, HingeSide.RIGHT)


class _Side(StrEnum):
    """What a handed piece may say; one that is not handed says nothing."""

    LEFT = "left"
    RIGHT = "right"


class _Relieved(StrEnum):
    RAIL = "rail"
    HEAD = "head"
    HOLES = "holes"


class PieceRole(StrEnum):
    """Roles a `[[piece]]` may have: all but the body's, which a `[[body]]` makes."""

    MAIN_ARM = Role.MAIN_ARM
    FOREARM = Role.FOREARM
    SHOE = Role.SHOE
    HOLD_OPEN_ARM = Role.HOLD_OPEN_ARM
    SOFFIT_BRACKET = Role.SOFFIT_BRACKET
    PLATE = Role.PLATE
    SPACER = Role.SPACER
    PLATE_FASTENER = Role.PLATE_FASTENER
    BODY_FASTENER = Role.BODY_FASTENER
    SHOE_FASTENER = Role.SHOE_FASTENER
    BRACKET_FASTENER = Role.BRACKET_FASTENER
    BRACKET_ARM_SCREW = Role.BRACKET_ARM_SCREW
    PINION_SCREW = Role.PINION_SCREW
    PINION_CAP = Role.PINION_CAP
    COVER = Role.COVER


@dataclass(frozen=True, slots=True)
class SeriesFile:
    """What a series file holds: the series, and the finishes it is made in."""

    series: Series
    finishes: tuple[str, ...]


def read_series(path: Path, where: str, problems: list[Problem]) -> SeriesFile | None:
    """Reads one series file, putting every fault down; None if it is not TOML at all.

    The file must be named for the series' id. A body, piece or template without a usable id is
    left out; any other fault leaves a stand-in, so that the rest can still be checked.
    """
    document = read_toml(path, where, problems)
    if document is None:
        return None
    top = Table(document, where, "", problems)
    series = top.id()
    if series and series != path.stem:
        top.fault("series-id-not-file-name", "id", given=series, right=path.stem)
        # Faults found later name the file by the series' id.
        series = path.stem
    title, standards = top.text("title"), top.text_or_texts("standard")
    finishes = top.words("finishes", required=True)
    bodies: list[Body] = []
    pieces: list[Piece] = []
    templates: list[Template] = []
    for table, name in _entries(top, "body", where, problems):
        body, own = _body(table, name, series, frozenset(standards))
        bodies.append(body)
        pieces += own
    pieces += [
        _piece(table, name, series) for table, name in _entries(top, "piece", where, problems)
    ]
    for table, name in _entries(top, "template", where, problems):
        templates.append(_template(table, name, series))
    phrases = tuple(_phrases(top))
    top.finish()
    read = Series(series, title, standards, tuple(bodies), tuple(pieces), tuple(templates), phrases)
    return SeriesFile(read, finishes)


def _phrases(top: Table) -> Iterator[tuple[str, tuple[tuple[str, str], ...]]]:
    """By language how parts of the book's descriptions are said in it."""
    for language in LANGUAGES:
        key = f"descriptions_{language}"
        said = {} if language == ENGLISH else top.texts(key)
        if not all(is_line(text) for pair in said.items() for text in pair):
            top.fault("text-unreadable", key, most=LONGEST_LINE)
        if said:
            yield language, tuple(said.items())


def _entries(top: Table, key: str, where: str, problems: list[Problem]) -> list[tuple[Table, str]]:
    """The tables of one kind with their ids; those without a usable id are told and left out."""
    entries: list[tuple[Table, str]] = []
    for number, data in enumerate(top.tables(key), start=1):
        table = Table(data, where, f"{key}[{_name(data, number)}]", problems)
        name = table.id()
        if name:
            entries.append((table, name))
    return entries


def _name(data: Mapping[str, object], number: int) -> str:
    name = data.get("id")
    return name if isinstance(name, str) and name else str(number)


def _body(
    table: Table, name: str, series: str, standards: frozenset[str]
) -> tuple[Body, list[Piece]]:
    title = table.text("title")
    family = table.text("family")
    size_from, size_to, adjustable = _sizes(table)
    mounts = table.choices("mounts", Mount, required=True)
    holes = table.whole("fixing_holes", 4)
    shows = table.flag("shows")
    handed = table.flag("handed")
    listed = table.flag("fire_listed")
    along, across = table.lengths("hole_pattern", 2)
    efficiency = table.number_if_given("efficiency")
    sides: dict[HingeSide, str] = (
        {side: f"{name}-{side}" for side in _SIDES} if handed else {HingeSide.ANY: name}
    )
    body = Body(
        id=name,
        series=series,
        family=family,
        title=title,
        size_from=size_from,
        size_to=size_to,
        adjustable=adjustable,
        pieces=sides,
        mounts=mounts,
        hole_pattern=(along, across),
        fixing_holes=holes,
        pinion_screws=table.whole("pinion_screws", 1),
        pinion_caps=table.whole("pinion_caps", 0),
        cover_required=table.flag("cover_required"),
        fire_listed=listed,
        delayed_action=table.flag("delayed_action"),
        backcheck=table.flag("backcheck"),
        grade=table.whole_if_given("grade"),
        standards=standards,
        duty=table.choice_if_given("duty", Duty),
        corrosion=table.whole_if_given("corrosion"),
        durability=table.whole_if_given("durability"),
        # Percent in the file, a fraction in the model.
        efficiency=None if efficiency is None else efficiency / 100,
        efficiency_source=table.text("efficiency_source", ""),
    )
    table.finish()
    own = [
        Piece(
            id=piece,
            role=Role.BODY,
            series=series,
            title=title,
            mounts=mounts,
            hand=side if handed else None,
            fire_listed=listed,
            shows=shows,
            holes=holes,
        )
        for side, piece in sides.items()
    ]
    return body, own


def _sizes(table: Table) -> tuple[int, int, bool]:
    """`size` for a fixed body, or `size_from` and `size_to` for an adjustable one."""
    ranged = table.has("size_from") or table.has("size_to")
    if table.has("size") == ranged:
        table.fault("size-or-range", "size")
    if ranged:
        if table.has("size"):
            table.whole("size")
        return table.whole("size_from"), table.whole("size_to"), True
    size = table.whole("size", 0)
    return size, size, False


def _piece(table: Table, name: str, series: str) -> Piece:
    piece = Piece(
        id=name,
        role=Role(table.choice("role", PieceRole)),
        series=series,
        title=table.text("title"),
        kind=table.choice_if_given("kind", FastenerKind),
        fits=frozenset(table.words("fits")),
        mounts=table.choices("mounts", Mount),
        hand=_side(table),
        fire_listed=table.flag("fire_listed"),
        shows=table.flag("shows"),
        holes=table.whole("holes", 0),
        arm_screws=table.whole("arm_screws", 0),
        screw_number=table.whole("screw_number", 0) or None,
        length=table.length_if_given("length"),
        length_to=table.length_if_given("length_to"),
        reveal_max=table.length_if_given("reveal_max"),
        leaf_from=table.length_if_given("leaf_from"),
        leaf_to=table.length_if_given("leaf_to"),
        sleeved=table.flag("sleeved"),
        relieves=_plain(table.choice_if_given("relieves", _Relieved)),
        needs=table.length_if_given("needs"),
        takes_kinds=table.choices("takes_kinds", FastenerKind),
        hole_pattern=table.pair_if_given("hole_pattern"),
        holes_from_body=table.offset_if_given("holes_from_body"),
        holes_down=table.length_if_given("holes_down"),
        holes_row=table.choice_if_given("holes_row", HolesRow),
        covers=table.pair_if_given("covers"),
        for_stop=_plain(table.choice_if_given("for_stop", Stop)),
        stands_for=frozenset(map(Role, table.choices("stands_for", PieceRole))),
    )
    table.finish()
    return piece


def _plain(word: StrEnum | None) -> str | None:
    return None if word is None else word.value


def _template(table: Table, name: str, series: str) -> Template:
    template = Template(
        id=name,
        series=series,
        mount=table.choice("mount", Mount),
        families=frozenset(table.words("families", required=True)),
        greatest_angle=table.number("greatest_angle"),
        main_arms=table.words("main_arms", required=True),
        forearms=table.words("forearms", required=True),
        feet=table.words("feet", required=True),
        hold_open_arms=table.words("hold_open_arms"),
        pinion_from_hinge=table.length("pinion_from_hinge"),
        pinion_from_face=table.length("pinion_from_face"),
        anchor_from_hinge=table.length("anchor_from_hinge"),
        anchor_from_face=table.offset("anchor_from_face"),
        hinge_offset=table.offset("hinge_offset"),
        preload=table.number("preload"),
        holes_from_hinge=table.length("holes_from_hinge"),
        holes_down=table.length("holes_down"),
        holes_row=table.choice_if_given("holes_row", HolesRow),
        rail_needed=table.length_if_given("rail_needed"),
        head_needed=table.length_if_given("head_needed"),
        ceiling_needed=table.length_if_given("ceiling_needed"),
        reveal_max=table.length_if_given("reveal_max"),
    )
    table.finish()
    return template


def _side(table: Table) -> HingeSide | None:
    given = table.choice_if_given("hand", _Side)
    return None if given is None else HingeSide(given.value)
