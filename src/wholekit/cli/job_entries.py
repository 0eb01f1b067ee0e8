"""Openings of a job as the commands that change them print them."""

from collections.abc import Sequence

from wholekit.cli.console import print_json, say, tell, wrapped
from wholekit.domain.openings import passed_over
from wholekit.domain.quotes import JobOpening
from wholekit.views.jobs import signs_of
from wholekit.wording.openings import leaf_text, size_text
from wholekit.wording.words import field_name, value_text


def print_entries(
    entries: Sequence[JobOpening], json: bool, what: str, fields: Sequence[str] = ()
) -> None:
    """One line for each, or one JSON document. what: what was done; fields: those of which the line
    tells what the opening states now."""
    if json:
        print_json(
            [
                {
                    "mark": entry.mark,
                    "alternate": entry.alternate,
                    "quantity": entry.opening.quantity,
                    "size": size_text(entry.opening.type),
                    "version": entry.version,
                    "by_hand": signs_of(entry),
                }
                for entry in entries
            ]
        )
        return
    for entry in entries:
        where = f" in {entry.alternate}" if entry.alternate else ""
        say(
            f"{entry.mark}{where}: {what}; {entry.opening.quantity} × "
            f"{leaf_text(entry.opening.type)}{_stated(entry, fields)}"
        )


def _stated(entry: JobOpening, fields: Sequence[str]) -> str:
    """`; fire label: 90 min, means of egress: yes`."""
    kind = entry.opening.type
    said = [
        f"{field_name(field)}: {value_text(field, getattr(kind, field))}"
        for field in fields
        if getattr(kind, field) is not None
    ]
    return f"; {', '.join(said)}" if said else ""


def tell_passed_over(names: Sequence[str], known: Sequence[str]) -> None:
    """That a range left marks which may look to lie in it: `103A` is none of `102-104`."""
    left = passed_over(names, known)
    if left:
        for line in wrapped(
            f"Not meant by {', '.join(names)}: {', '.join(left)}. Name them too if they are.",
            "",
            "  ",
        ):
            tell(line)
