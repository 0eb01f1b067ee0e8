"""A house's own templates and style sheets, looked through before any paper is made.

A page is read as XML, so each template must be well-formed once its tags are blank: what opens in
a branch closes in it. jinja2 and tinycss2 are imported where used.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from xml.parsers import expat

from wholekit.domain.catalog.nearest_words import what_is_right
from wholekit.domain.errors import Problem
from wholekit.intake.text_file import read_text

LARGEST = 200_000  # [bytes]
BLOCK = 'id="b{{ number }}"'
_TAG = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)


def check_papers(own: Path, ours: Path, problems: list[Problem]) -> bool:
    """Whether there are any; every fault is put down with file and line."""
    if not own.is_dir():
        return False
    known = {path.name: path for path in ours.iterdir() if path.suffix in (".html", ".css")}
    found = sorted(path for path in own.iterdir() if not path.name.startswith("."))
    for path in found:
        where = str(path)
        if path.name not in known:
            right = what_is_right(path.name, known)
            problems.append(Problem("house-template-unknown", {"right": right}, where))
            continue
        text = read_text(path, where, LARGEST, problems)
        if text is None:
            continue
        if path.suffix == ".css":
            problems += _css_faults(text, where)
        else:
            problems += _html_faults(text, where, known[path.name].read_text(encoding="utf-8"))
    return bool(found)


def _html_faults(text: str, where: str, ours: str) -> Iterator[Problem]:
    from jinja2 import TemplateSyntaxError
    from jinja2.sandbox import SandboxedEnvironment

    try:
        SandboxedEnvironment().parse(text)
    except TemplateSyntaxError as error:
        fields = {"error": error.message or "?"}
        yield Problem("house-template-wrong", fields, where, error.lineno)
        return
    fault = xml_fault(text)
    if fault is not None:
        yield Problem("house-template-xml", {"error": fault[1]}, where, fault[0])
    elif BLOCK in ours and BLOCK not in text:
        yield Problem("house-template-block", {"wanted": BLOCK}, where, 1)


def xml_fault(template: str) -> tuple[int, str] | None:
    """Line and word of what is not well-formed in a template whose tags are blank."""
    blank = _TAG.sub(lambda tag: "\n" * tag[0].count("\n"), template)
    parser = expat.ParserCreate()
    try:
        parser.Parse(f"<page>{blank}</page>".encode(), True)
    except expat.ExpatError as error:
        return error.lineno, expat.ErrorString(error.code)
    return None


def _css_faults(text: str, where: str) -> Iterator[Problem]:
    import tinycss2

    rules = tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)
    for rule in rules:
        if rule.type == "error":
            yield Problem("house-css-wrong", {"error": rule.message}, where, rule.source_line)
            continue
        if rule.type == "at-rule" and rule.at_keyword.lower() in ("import", "font-face"):
            given = f"@{rule.at_keyword}"
            yield Problem("house-css-fetches", {"given": given}, where, rule.source_line)
        for token in _tokens(rule.content or []):
            if token.type == "url" or (token.type == "function" and token.lower_name == "url"):
                yield Problem("house-css-fetches", {"given": "url"}, where, token.source_line)
            elif token.type == "error":
                yield Problem("house-css-wrong", {"error": token.message}, where, token.source_line)
        if rule.type == "qualified-rule":
            for one in tinycss2.parse_declaration_list(
                rule.content, skip_comments=True, skip_whitespace=True
            ):
                if one.type == "error":
                    fields = {"error": one.message}
                    yield Problem("house-css-wrong", fields, where, one.source_line)


def _tokens(tokens: list) -> Iterator:  # type: ignore[type-arg]  # tinycss2 ships no types
    for token in tokens:
        yield token
        yield from _tokens(
            getattr(token, "content", None) or getattr(token, "arguments", None) or []
        )
