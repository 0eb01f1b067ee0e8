"""The label of one bag, and what it says of the bag's contents. No money."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BagContent:
    """What one line of a bag's contents says [packs]: how many there are to be, and how many of
    them the shelf has not. description: empty where it is not known."""

    sku: str
    quantity: int
    description: str = ""
    short: int = 0

    @property
    def here(self) -> int:
        """What is in the bag [packs]."""
        return self.quantity - self.short


@dataclass(frozen=True, slots=True)
class KitLabel:
    """The label of one bag. alerts: such as `ACCESSIBLE`. held: the bag may not ship, and nothing
    is picked for it; missing: the pieces that it lacks for good, such as `1 × closer body`; stops:
    why else it is held. bag_id: see `BagId`; empty where the offer was never issued.
    card: see `card_numbers`; 0 for none."""

    mark: str
    bag: int
    bags: int
    size: str
    mount: str
    size_set: int | None
    hand: str
    contents: tuple[BagContent, ...]
    finish: str = ""
    alerts: tuple[str, ...] = ()
    held: bool = False
    bag_id: str = ""
    card: int = 0
    room: str = ""
    missing: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()

    @property
    def here(self) -> int:
        """What is in the bag [packs]."""
        return 0 if self.held else sum(content.here for content in self.contents)

    @property
    def planned(self) -> int:
        """What is to be in it [packs]."""
        return sum(content.quantity for content in self.contents)

    @property
    def waits(self) -> bool:
        """Whether it may ship but for what the shelf had not."""
        return not self.held and self.here < self.planned

    @property
    def barred(self) -> bool:
        """Whether it must not leave, for one reason or the other: its label has a bar."""
        return self.held or self.waits
