"""`wholekit customer sheet`: what was chosen of a customer's sheets, shown or taken back."""

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.intake.sheet_choices import map_text
from wholekit.services.sheets import clear_choices, kept_sheet
from wholekit.views.sheets import kept_answer


def sheet(
    code: str = typer.Argument(..., help="The customer's code.", metavar="CODE"),
    clear: bool = typer.Option(False, "--clear", help="Take back all of them."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """What was chosen of a customer's sheets (columns, values, which sheet): used for the next."""
    place, doer = desk(), deed(by)
    kept = clear_choices(place, doer, code) if clear else kept_sheet(place, doer, code)
    if json:
        print_json(kept_answer(code, kept))
        return
    if kept is None or not kept.choices:
        say(f"{code}: no choices kept" if kept is None else f"{code}: no choices, since "
            f"{kept.at:%Y-%m-%d %H:%M} by {kept.by}")  # fmt: skip
        return
    for line in wrapped(f"{code}: chosen {kept.at:%Y-%m-%d %H:%M} by {kept.by}"):
        say(line)
    for text in map_text(kept.choices).splitlines():
        say(f"    {text}".rstrip())
