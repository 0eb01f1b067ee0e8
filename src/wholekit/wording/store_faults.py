"""What `wholekit db check` finds, in sentences."""

SENTENCES: dict[str, str] = {
    "guard-missing": "a guard of what is never changed is missing: {what}",
    "integrity": "the file itself is damaged: {what}",
    "items-missing": "a catalogue revision is not whole: {what} items",
    "number-gap": "running numbers have a gap or a repeat: {what}",
    "orphans": "rows refer to something that is not there: {what}",
    "rule-broken": "rows break a rule of their table: {what}",
    "snapshot-changed": "an issued revision is not as it was issued: {what}",
    "snapshot-missing": "an issued revision lacks its contents: {what}",
    "total-differs": "a total is not the sum of its lines: {what}",
}


def say_fault(code: str, what: str) -> str:
    """A fault of the store in words."""
    return SENTENCES[code].format(what=what)
