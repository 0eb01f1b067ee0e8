"""The generated references under `docs/reference`: commands, dialect, rules, findings.

`python -m wholekit.cli.reference` writes them anew; with --check it says which are stale.
"""

import sys
from pathlib import Path
from typing import Any

import typer

from wholekit.cli.app import app
from wholekit.domain.rules import RuleBook
from wholekit.intake.dialect import checked_dialect
from wholekit.intake.dialect_rows import Dialect, DialectRow
from wholekit.intake.rulebook import load_rulebook
from wholekit.wording.finding_guide import guide_page
from wholekit.wording.sources import rule_source

FOLDER = Path(__file__).resolve().parents[3] / "docs" / "reference"
DIALECT_INTRODUCTION = (
    "Every row by which `wholekit schedule` and all that reads a schedule as sent translates a "
    "cell. A cell that is clean already is left alone. A word is read without case, accents and "
    "points; a pattern is a regular expression of the whole cell in small letters. `it` is the "
    "column itself; `{w}` is a part of the pattern, `{w|width}` that part read anew as a width; "
    "nothing given is unknown. Where a row asks, the cell could mean several things: fire label, "
    "access and exit are then worked under the harshest candidate with the stop `answer-needed`; "
    "every other column stays empty and is asked."
)
MARK = "<!-- generated: python -m wholekit.cli.reference -->"


def pages() -> dict[str, str]:
    """Every page by its file name."""
    rules = load_rulebook()
    return {
        "commands.md": commands_page(),
        "dialect.md": dialect_page(checked_dialect()),
        "findings.md": guide_page(rules),
        "rules.md": rules_page(rules),
    }


def commands_page() -> str:
    """Every command with its arguments and options."""
    lines = ["# Commands", "", MARK, ""]
    root = typer.main.get_command(app)
    context = typer.Context(root, info_name="wholekit")
    for name in root.list_commands(context):  # type: ignore[attr-defined]  # the root is a group
        lines += _command(f"wholekit {name}", root.get_command(context, name))  # type: ignore[attr-defined]
    return "\n".join(lines).rstrip() + "\n"


def _command(name: str, command: Any) -> list[str]:  # noqa: ANN401  # typer keeps its own class
    context = typer.Context(command, info_name=name)
    if hasattr(command, "list_commands"):
        return [
            line
            for sub in command.list_commands(context)
            for line in _command(f"{name} {sub}", command.get_command(context, sub))
        ]
    usage = " ".join(command.collect_usage_pieces(context))
    lines = [f"## `{name} {usage}`", "", " ".join((command.help or "").split()), ""]
    for parameter in command.params:
        record = parameter.get_help_record(context)
        if record and parameter.name != "help":
            lines.append(f"- `{record[0]}` {' '.join(record[1].split())}".rstrip())
    return [*lines, ""]


def rules_page(rules: RuleBook) -> str:
    """Every rule with unit, date and source."""
    lines = [
        "# Rules",
        "",
        "Every number the program applies. One in full, with its table: `wholekit rules ID`.",
        "",
        MARK,
        "",
        "| rule | what it says | unit | since | source |",
        "|---|---|---|---|---|",
    ]
    for rule in sorted(rules.rules.values(), key=lambda rule: rule.id):
        value = "" if isinstance(rule.value, bool | list | dict) else f": {rule.value}"
        cells = (f"`{rule.id}`", f"{rule.title}{value}", rule.unit, str(rule.valid_from))
        lines.append(f"| {' | '.join(cells)} | {rule_source(rules, rule.id)} |")
    return "\n".join(lines) + "\n"


def dialect_page(dialect: Dialect) -> str:
    """Every row by which a cell is translated, with its mark and source."""
    lines = [
        "# How values are written",
        "",
        DIALECT_INTRODUCTION,
        "",
        MARK,
        "",
        "| field | worked under, while unclear | mark | because | where another answer asks more |",
        "|---|---|---|---|---|",
    ]
    lines += [
        f"| `{field}` | {worked.takes} | {worked.mark} | {worked.source} | {worked.differs} |"
        for field, worked in sorted(dialect.harshest.items())
    ]
    by_columns: dict[tuple[str, ...], list[DialectRow]] = {}
    for row in dialect.rows:
        by_columns.setdefault(row.columns, []).append(row)
    for columns, rows in sorted(by_columns.items()):
        lines += ["", f"## {', '.join(f'`{column}`' for column in columns)}", ""]
        lines += ["| row | language | written | gives | asks | mark | source |", "|" + "---|" * 7]
        lines += [_dialect_row(row) for row in rows]
    return "\n".join(lines) + "\n"


def _dialect_row(row: DialectRow) -> str:
    written = [f"`{word}`" for word in row.words]
    written += [f"pattern `{pattern.pattern}`" for pattern in row.patterns]
    held = [f"under a heading in {', '.join(row.units)}"] if row.units else []
    held += ["under a heading without a unit"] if row.no_unit else []
    gives = [f"{name} = {f'`{text}`' if text else 'unknown'}" for name, text in row.gives.items()]
    cells = (
        f"`{row.id}`",
        row.language,
        "; ".join([*written, *held]),
        ", ".join(gives),
        " or ".join(f"`{text}`" for text in row.asked),
        str(row.mark),
        row.source,
    )
    return f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |"


def main() -> None:
    """Write the pages, or with --check tell which are stale and exit 1."""
    stale = []
    for name, text in pages().items():
        path = FOLDER / name
        if path.exists() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(name)
        if "--check" not in sys.argv:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
    for name in stale:
        sys.stderr.write(f"docs/reference/{name}\n")
    if "--check" in sys.argv and stale:
        sys.stderr.write("stale; write anew with: python -m wholekit.cli.reference\n")
        sys.exit(1)


if __name__ == "__main__":
    main()
