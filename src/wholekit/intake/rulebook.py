"""Reading the rule book's TOML files, and a house file that sets rules anew."""

import hashlib
from collections.abc import Mapping
from datetime import date, datetime
from functools import cache
from pathlib import Path

from wholekit.domain.citations import Mark, Source
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.rules import Rule, RuleBook
from wholekit.intake.holidays import read_holidays
from wholekit.intake.text_file import require_plain
from wholekit.intake.toml_table import parse_toml

_RULE_KEYS = {"id": str, "title": str, "unit": str, "valid_from": date, "value": object}
_SOURCE_KEYS = {
    "body": str,
    "edition": str,
    "clause": str,
    "mark": str,
    "last_checked": date,
}


def load_rulebook(house_file: Path | None = None) -> RuleBook:
    """The program's rule book, with the house's own values over it.

    A house file is TOML of the same form, and may name holidays besides (see `holidays`); each of
    its rules must name one that exists. Raises
    InputError with every fault at once: a key that is missing, unknown or of the wrong kind, an
    id given twice, a house rule that replaces nothing, whose value is of another kind, outside the
    rule's domain (see rule_domains) or looser where a stop must not be loosened, or in another
    unit than the published one.
    """
    book = _published()
    if house_file is None:
        return book
    problems: list[Problem] = []
    where = str(house_file)
    try:
        require_plain(house_file)
        text = house_file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        # As a text an OSError begins with its number, which tells nobody anything.
        said = (error.strerror or "?") if isinstance(error, OSError) else str(error)
        raise InputError([Problem("file-unreadable", {"error": said}, where)]) from None
    house: dict[str, Rule] = {}
    document = _document(text, where, problems, {"rule", "holiday"})
    holidays = read_holidays(document.get("holiday", []), where, problems)
    for rule in _rules(document, where, problems):
        published = book.rules.get(rule.id)
        if rule.id in house:
            problems.append(Problem("rule-twice", {"rule": rule.id}, where, column=rule.id))
        elif published is None:
            problems.append(Problem("rule-replaces-nothing", {"rule": rule.id}, where))
        elif published.value is True:
            problems.append(Problem("rule-is-a-statement", {"rule": rule.id}, where))
        elif not _alike(rule.value, published.value):
            problems.append(
                Problem(
                    "rule-value-other-kind",
                    {"rule": rule.id, "value": rule.value, "published": published.value},
                    where,
                    column=rule.id,
                )
            )
        else:
            source = Source(
                rule.source.body,
                rule.source.edition,
                rule.source.clause,
                Mark.HOUSE,
                rule.source.last_checked,
            )
            unit = rule.unit or published.unit
            house[rule.id] = Rule(
                rule.id, rule.title, rule.value, unit, rule.valid_from, source, published
            )
    digest = hashlib.sha256(text.encode()).hexdigest()[:8]
    # Late: the book as published is in its domains already; a test holds that.
    from wholekit.intake.rule_values import unfit

    whole = RuleBook({**book.rules, **house}, f"{book.version}+house.{digest}", holidays)
    problems += [
        Problem("rule-value-unfit", {"rule": rule.id, **fields}, where, column=rule.id)
        # A published rule may name what a house table no longer holds.
        for rule in whole.rules.values()
        for fields in unfit(rule, book[rule.id], whole)
    ]
    if problems:
        raise InputError(problems)
    return whole


@cache
def _published() -> RuleBook:
    problems: list[Problem] = []
    rules: dict[str, Rule] = {}
    digest = hashlib.sha256()
    folder = Path(__file__).parents[1] / "rulebook"
    for entry in sorted(folder.iterdir(), key=lambda path: path.name):
        if not entry.name.endswith(".toml"):
            continue
        text = entry.read_text(encoding="utf-8")
        digest.update(text.encode())
        for rule in _rules(_document(text, entry.name, problems, {"rule"}), entry.name, problems):
            if rule.id in rules:
                problems.append(Problem("rule-twice", {"rule": rule.id}, entry.name))
            rules[rule.id] = rule
    if problems:
        raise InputError(problems)
    # Papers print it: short, and yet another for any change of any file.
    return RuleBook(rules, digest.hexdigest()[:12])


def _document(
    text: str, where: str, problems: list[Problem], known: set[str]
) -> Mapping[str, object]:
    """A file's tables; empty where it cannot be read."""
    try:
        document = parse_toml(text, finite=True)
    except ValueError as error:
        problems.append(Problem("toml-unreadable", {"error": str(error)}, where))
        return {}
    unknown = sorted(document.keys() - known)
    problems += [Problem("rule-key-unknown", {"key": key}, where) for key in unknown]
    return document


def _rules(document: Mapping[str, object], where: str, problems: list[Problem]) -> list[Rule]:
    entries = document.get("rule", [])
    if not isinstance(entries, list):
        problems.append(Problem("rule-key-wrong-kind", {"key": "rule"}, where))
        return []
    return [
        rule
        for number, entry in enumerate(entries, start=1)
        if (rule := _rule(entry, where, number, problems)) is not None
    ]


def _rule(entry: object, where: str, number: int, problems: list[Problem]) -> Rule | None:
    if not isinstance(entry, dict):
        problems.append(Problem("rule-key-wrong-kind", {"key": f"rule {number}"}, where))
        return None
    name = f"rule {entry.get('id', number)}"
    source = entry.get("source")
    good = _keys(entry, {**_RULE_KEYS, "source": dict}, where, name, problems)
    if isinstance(source, dict):
        good = _keys(source, _SOURCE_KEYS, where, f"{name}.source", problems) and good
        if good and source["mark"] not in set(Mark):
            problems.append(
                Problem("rule-mark-unknown", {"mark": source["mark"]}, where, column=name)
            )
            good = False
    if not good or not isinstance(source, dict):
        return None
    return Rule(
        entry["id"],
        entry["title"],
        entry["value"],
        entry["unit"],
        entry["valid_from"],
        Source(
            source["body"],
            source["edition"],
            source["clause"],
            Mark(source["mark"]),
            source["last_checked"],
        ),
    )


def _keys(
    entry: Mapping[str, object],
    kinds: Mapping[str, type],
    where: str,
    name: str,
    problems: list[Problem],
) -> bool:
    faults = [("rule-key-missing", key) for key in sorted(kinds.keys() - entry.keys())]
    faults += [("rule-key-unknown", key) for key in sorted(entry.keys() - kinds.keys())]
    faults += [
        ("rule-key-wrong-kind", key)
        for key in sorted(kinds.keys() & entry.keys())
        # A datetime passes for a date, and no rule has a time of day.
        if not isinstance(entry[key], kinds[key]) or isinstance(entry[key], datetime)
    ]
    problems += [Problem(code, {"key": key}, where, column=name) for code, key in faults]
    return not faults


def _alike(value: object, published: object) -> bool:
    """Of the same kind, entry by entry: named entries keep their names, rows their columns."""
    if isinstance(published, bool) or isinstance(value, bool):
        return isinstance(published, bool) and isinstance(value, bool)
    if isinstance(published, int):
        return isinstance(value, int)
    if isinstance(published, float):
        return isinstance(value, int | float)
    if isinstance(published, dict):
        return (
            isinstance(value, dict)
            and value.keys() == published.keys()
            and all(_alike(value[key], published[key]) for key in published)
        )
    if isinstance(published, list):
        first = published[0]
        return (
            isinstance(value, list) and bool(value) and all(_row_alike(row, first) for row in value)
        )
    return type(value) is type(published)


def _row_alike(row: object, first: object) -> bool:
    """A row may leave out what is optional, and must add nothing."""
    if not isinstance(first, dict):
        return _alike(row, first)
    # Whether a list within a row may be empty is for the rule's domain to say.
    return isinstance(row, dict) and all(
        key not in first
        or _alike(row[key], first[key])
        or (row[key] == [] and isinstance(first[key], list))
        for key in row
    )
