"""Every finding explained: meaning, severity, source and remedy; the reference is made from it."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from wholekit.domain.rules import RuleBook
from wholekit.wording.sources import rule_source


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding code. severities as they may occur; rule: the rule book id behind it, or none."""

    meaning: str
    severities: tuple[str, ...]
    rule: str
    remedy: str


def _read() -> dict[str, Entry]:
    text = Path(__file__).with_name("findings_explained.toml").read_text("utf-8")
    return {
        code: Entry(
            entry["meaning"],
            tuple(entry["severities"]),
            entry.get("rule", ""),
            entry.get("remedy", ""),
        )
        for code, entry in tomllib.loads(text).items()
    }


# By code.
GUIDE: dict[str, Entry] = _read()


def guide_page(rules: RuleBook) -> str:
    """The reference of all findings as Markdown."""
    lines = [
        "# Findings",
        "",
        "What `wholekit kit`, `check-kit` and the papers may say of an opening. `stop`: somebody",
        "must decide before the kit goes out (status 1); `warn`: check; `note`: know.",
        "",
        "<!-- generated: python -m wholekit.cli.reference -->",
    ]
    for code, entry in GUIDE.items():
        source = rule_source(rules, entry.rule) if entry.rule else "the catalogue or the schedule"
        rule = f" (rule `{entry.rule}`)" if entry.rule else ""
        lines += [
            "",
            f"## `{code}`",
            "",
            f"{entry.meaning} Severity: {' or '.join(entry.severities)}.",
            "",
            f"Source: {source}{rule}.",
        ]
        if entry.remedy:
            lines += ["", f"Remedy: {entry.remedy}"]
    return "\n".join(lines) + "\n"
