"""`wholekit rules`: the rule book, or one rule in full."""

from dataclasses import dataclass
from difflib import get_close_matches

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.rule_entry import entry_lines
from wholekit.domain.errors import CallError
from wholekit.domain.rules import Rule, RuleBook
from wholekit.intake.rulebook import load_rulebook
from wholekit.wording.sources import rule_source


@dataclass(frozen=True, slots=True)
class RuleAnswer:
    """One rule as data; dates as ISO 8601."""

    id: str
    title: str
    value: object
    unit: str
    valid_from: str
    source: str
    mark: str
    last_checked: str


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("rules")(show_rules)


def show_rules(
    rule: str | None = typer.Argument(None, help="The id of one rule."),
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """The rule book: value, source, since when; one rule in full with its id.

    In full, a rule also stands as the entry that a house file (--house) would set it with.
    """
    book = load_rulebook(house)
    if rule is not None and rule not in book.rules:
        raise CallError(
            "rule-unknown", rule=rule, known=get_close_matches(rule, book.rules, 5, 0.4)
        )
    chosen = list(book.rules.values()) if rule is None else [book[rule]]
    if json:
        print_json([rule_answer(each, book) for each in chosen])
        return
    if rule is None:
        say(f"Rule book {book.version}, {len(chosen)} rules; one in full: wholekit rules ID")
        say()
    for each in chosen:
        say(each.id)
        for line in wrapped(each.title, "    "):
            say(line)
        _print_value(each, full=rule is not None)
        for line in wrapped(f"source: {rule_source(book, each.id)}", "    "):
            say(line)
        if rule is not None:
            from wholekit.intake.rule_values import may_be_set_to  # the list does without

            for line in wrapped(f"a house file may set: {may_be_set_to(each, book)}", "    "):
                say(line)
        # Whether a place has adopted an edition is for the authority there to say.
        word = "published" if each.source.edition else "since"
        say(f"    {word} {each.valid_from}, last checked {each.source.last_checked}")
        if rule is not None and each.value is not True:
            say()
            say("As an entry of a house file, to be copied and changed:")
            say()
            for line in entry_lines(each):
                say(line)


def rule_answer(rule: Rule, book: RuleBook) -> RuleAnswer:
    """A rule as data."""
    return RuleAnswer(
        rule.id,
        rule.title,
        rule.value,
        rule.unit,
        rule.valid_from.isoformat(),
        rule_source(book, rule.id),
        rule.source.mark.value,
        rule.source.last_checked.isoformat(),
    )


def _print_value(rule: Rule, full: bool) -> None:
    unit = f" [{rule.unit}]" if rule.unit else ""
    if isinstance(rule.value, list):
        if not full:
            say(f"    table of {len(rule.value)} rows{unit}")
            return
        say(f"    rows{unit}:")
        for row in rule.value:
            for line in wrapped(_row(row), "      "):
                say(line)
    elif isinstance(rule.value, dict):
        for line in wrapped(f"{_row(rule.value)}{unit}", "    "):
            say(line)
    elif rule.value is not True:
        say(f"    {rule.value}{unit}")


def _row(row: object) -> str:
    if isinstance(row, dict):
        return ", ".join(f"{name} {value}" for name, value in row.items())
    return str(row)
