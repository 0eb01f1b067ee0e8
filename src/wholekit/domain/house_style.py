"""What a house says of itself on its papers, how they look, and how its warehouse is walked."""

from dataclasses import dataclass, field
from enum import StrEnum

from wholekit.domain.walk import AS_NAMED, Walk


class PageSize(StrEnum):
    """The sheet a paper is laid out for."""

    LETTER = "letter"
    A4 = "A4"


@dataclass(frozen=True, slots=True)
class HouseTexts:
    """What a house says in one language: terms of its own, lines of tax and registration, and what
    stands at the foot of each page."""

    terms: tuple[str, ...] = ()
    registration: tuple[str, ...] = ()
    footer: str = ""


@dataclass(frozen=True, slots=True)
class HouseCard:
    """What a house says of itself, of which an issued revision keeps its own copy.

    texts: by language [CLDR code], the empty code for a language that has none of its own.
    languages: those that papers may leave the house in beside English; None: all there are.
    """

    name: str = ""
    address: tuple[str, ...] = ()
    phone: str = ""
    email: str = ""
    texts: tuple[tuple[str, HouseTexts], ...] = ()
    languages: tuple[str, ...] | None = None

    def says_in(self, language: str) -> HouseTexts:
        """What it says in a language, in others' words where it has none of its own."""
        found = dict(self.texts)
        return found.get(language) or found.get("", HouseTexts())

    def sends_in(self, language: str) -> bool:
        """Whether papers may leave the house in a language."""
        return self.languages is None or language in self.languages


@dataclass(frozen=True, slots=True)
class Logo:
    """A picture, checked and free of anything to be fetched.

    width, height: only their ratio counts. named: the house's name stands in it already.
    """

    media_type: str
    content: bytes = field(repr=False)
    width: float
    height: float
    named: bool = False

    def fitted(self, wide: float, high: float) -> tuple[float, float]:
        """Its size in a box, its ratio kept [the box's unit].

        >>> Logo("image/png", b"", 300, 100).fitted(60, 18)
        (54.0, 18.0)
        """
        scale = min(wide / self.width, high / self.height)
        return self.width * scale, self.height * scale


@dataclass(frozen=True, slots=True)
class HouseStyle:
    """A house folder, read. Look and walk follow the folder, whenever a paper is made.

    paper: None where the customer's place decides. accent: `#rrggbb`, legible on white; empty:
    black. templates: the folder whose `papers` replace ours file by file, empty for none.
    language: of the papers that stay in the house [CLDR code].
    """

    card: HouseCard = HouseCard()
    paper: PageSize | None = None
    accent: str = ""
    logo: Logo | None = None
    walk: Walk = AS_NAMED
    templates: str = ""
    language: str = "en"


PLAIN = HouseStyle()
