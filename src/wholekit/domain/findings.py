"""What is missing, wrong or worth knowing about an opening's kit: a code and its fields."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """stop: somebody must decide before the kit goes out; warn: check; note: know."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


SEVERITY_ORDER = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Hint:
    """A way out of a finding: a code and fields, worded apart from the finding itself."""

    code: str
    fields: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: code (docs list them all), severity, fields, the rule behind it and a way out.

    `rule` is a rule book id whose source is shown beside the finding; None where the finding
    follows from the catalogue or the schedule alone.
    """

    code: str
    severity: Severity
    fields: Mapping[str, object] = field(default_factory=dict)
    rule: str | None = None
    hint: Hint | None = None


def in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """Findings by severity, then code, then as they came; repeats left out."""
    unique: list[Finding] = []
    for finding in findings:
        if finding not in unique:
            unique.append(finding)
    return tuple(
        sorted(unique, key=lambda finding: (SEVERITY_ORDER[finding.severity], finding.code))
    )
