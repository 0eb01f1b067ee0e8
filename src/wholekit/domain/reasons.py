"""Why: a tree whose leaves are facts of the opening, pieces of the catalogue and rules."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Reason:
    """One step of a why: a code with its fields, the rules it rests on, and what it follows from.

    The sentence a person reads is made from code and fields in `wholekit.wording`.
    """

    code: str
    fields: Mapping[str, object] = field(default_factory=dict)
    rules: tuple[str, ...] = ()
    because: tuple["Reason", ...] = ()

    def walk(self) -> Iterator["Reason"]:
        """This reason and all below it, top first.

        >>> [step.code for step in Reason("a", because=(Reason("b"), Reason("c"))).walk()]
        ['a', 'b', 'c']
        """
        yield self
        for reason in self.because:
            yield from reason.walk()


def fact(name: str, value: object) -> Reason:
    """A leaf: what the schedule says of the opening."""
    return Reason("fact", {"field": name, "value": value})
