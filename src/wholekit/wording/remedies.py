"""Ways out of a finding, each in a few words that a button can bear."""

from collections.abc import Mapping

from wholekit.domain.quotes import OverrideKind
from wholekit.domain.quotes.remedies import Remedy, WayOut
from wholekit.wording.choices import say_what
from wholekit.wording.questions import stated_value
from wholekit.wording.speech import tr
from wholekit.wording.words import field_name


def say_remedy(remedy: Remedy, suppliers: Mapping[str, str]) -> str:
    """`State mount: parallel arm`, `Leave finish open`. suppliers: names by catalogue id."""
    if remedy.way is WayOut.KIT:
        return tr("Take another kit: {kit}").format(kit=say_what(remedy.word, suppliers))
    if remedy.way is WayOut.TAKE_BACK:
        if remedy.column == OverrideKind.SIZE.value:
            return tr("Take back the size set by hand")
        return tr("Take back what was set by hand of {sku}").format(sku=remedy.text)
    name = field_name(remedy.column)
    if not remedy.text:
        if remedy.column == "hold_open":
            # Told as a thing left open, it would sound like a door held open.
            return tr("No hold-open")
        return tr("Leave open: {field}").format(field=name)
    value = _value(remedy)
    if remedy.way is WayOut.ANSWER:
        return tr("Answered: {field}, {value}").format(field=name, value=value)
    return tr("State {field}: {value}").format(field=name, value=value)


def _value(remedy: Remedy) -> str:
    return remedy.text if remedy.column == "quantity" else stated_value(remedy.column, remedy.text)
