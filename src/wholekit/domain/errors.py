"""Errors: codes and fields, worded elsewhere.

WholekitError
├── InputError        outside input was wrong: every problem at once, with its place
├── CallError         the call itself was wrong (an option, a unit, a folder that is not there)
│   └── ConflictError the thing changed, or was taken, since the caller looked at it
└── RuleError         the rule book lacks or misstates a rule
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault of outside input: what, where, and the fields its sentence needs.

    `where` is a file name or `--opening 2`; `row` counts from 1 as a spreadsheet shows it;
    `column` is a column name or a TOML path.
    """

    code: str
    fields: Mapping[str, object] = field(default_factory=dict)
    where: str = ""
    row: int | None = None
    column: str = ""


class WholekitError(Exception):
    """The root of the tree: a code and fields."""

    def __init__(self, code: str, **fields: object) -> None:
        super().__init__(code)
        self.code = code
        self.fields = fields


class InputError(WholekitError):
    """Outside input was refused; nothing of it was taken.

    sheet: it is a contractor's own, whose cells may be told and whose rows left out.
    """

    def __init__(self, problems: list[Problem], *, sheet: bool = False) -> None:
        super().__init__("input-refused", count=len(problems))
        self.problems = tuple(problems)
        self.sheet = sheet


class CallError(WholekitError):
    """The call was wrong."""


class ConflictError(CallError):
    """Somebody else was first; nothing of the call was done."""


class RuleError(WholekitError):
    """The rule book is not fit for use."""
