"""What the facts of an opening are called, as the headings and labels of a form."""

from wholekit.wording.speech import tr
from wholekit.wording.words import field_name


def group_name(group: str) -> str:
    """The heading of facts that belong together."""
    return {
        "opening": tr("The opening"),
        "door and frame": tr("Door and frame"),
        "place and use": tr("Place and use"),
        "closer asked for": tr("What is asked of the closer"),
    }[group]


def label_of(column: str) -> str:
    """What a column of a schedule is called.

    >>> label_of("mark"), label_of("door")
    ('Mark', 'Leaf material')
    """
    own = {
        "size": tr("Size of the leaf"),
        "mark": tr("Mark"),
        "quantity": tr("Quantity"),
        "room": tr("Room"),
        "note": tr("Note"),
    }
    name = own.get(column) or field_name(column)
    return name[:1].upper() + name[1:]
