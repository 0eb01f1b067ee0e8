"""What the house keeps to itself beside an offer: cost, tiers, hand-set prices, signatures.

An offer and the house's own make a snapshot: an issued revision as it was sent, whole. To read it
needs no catalogue and no rule book.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime
from fractions import Fraction
from hashlib import sha256
from json import dumps

from wholekit.domain.plain import SPARSE, from_plain, to_plain
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.offer import Offer, OfferOpening
from wholekit.domain.tax import LineKind

FORMAT = 2


@dataclass(frozen=True, slots=True)
class OwnLine:
    """Of one line of a kit: multiplier on list, discount and all; cost each; by_hand: why a hand
    set the price."""

    list_price: Money
    multiplier: Fraction
    cost: Cost
    by_hand: str = ""


@dataclass(frozen=True, slots=True)
class OwnKit:
    """Of one kit of the offer, for one opening: tier_price before discount and hand [Money]."""

    lines: tuple[OwnLine, ...]
    tier_price: Money
    cost: Cost


@dataclass(frozen=True, slots=True)
class Sign:
    """Something a person decided: an override, a release or an approval; text as worded."""

    what: str
    text: str
    reason: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Own:
    """The house's own of an offer; kits, openings, extras and alternates are in its order.

    cost: of the base bid; alternates: what each changes of it. extras: own cost each, None where it
    is not known. signs: of the whole offer; openings: of each. net_of: what is net of an amount of
    each kind of line [fraction], where prices contain tax; empty: all of it. floor: margin under
    which things were flagged that day [fraction of price], None where it was not kept.
    assumed: what is open and was not asked for, since no answer changes a kit.
    """

    kits: tuple[OwnKit, ...]
    openings: tuple[tuple[Sign, ...], ...]
    extras: tuple[Cost | None, ...]
    cost: Cost
    alternates: tuple[Cost, ...] = ()
    signs: tuple[Sign, ...] = ()
    net_of: tuple[tuple[LineKind, Fraction], ...] = ()
    discount_reason: str = ""
    floor: Fraction | None = None
    assumed: tuple[str, ...] = field(default=(), metadata={SPARSE: True})

    def net_part(self, kind: LineKind) -> Fraction:
        """What is net of an amount [fraction]: less than one where prices contain the tax."""
        return dict(self.net_of).get(kind, Fraction(1))


@dataclass(frozen=True, slots=True)
class Snapshot:
    """An offer with the house's own beside it, as it stands or as it was issued."""

    offer: Offer
    own: Own
    format: int = FORMAT

    def offer_alone(self) -> "Snapshot":
        """The same without the house's own: nothing is left of cost, tiers and hands."""
        return replace(self, own=Own((), (), (), Cost(0, self.offer.currency)))

    def own_kit(self, opening: OfferOpening) -> OwnKit:
        """The house's own of an opening's kit."""
        return self.own.kits[opening.kit]


def snapshot_text(snapshot: Snapshot) -> str:
    """The snapshot as one line of JSON, the same for the same snapshot."""
    return dumps(to_plain(snapshot), ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def snapshot_from(data: object) -> Snapshot:
    """The snapshot of plain data of the present format. Raises ValueError, TypeError, KeyError."""
    return from_plain(Snapshot, data)


def digest(text: str) -> str:
    """SHA-256 of a snapshot's text [64 hexadecimal digits], to prove it unchanged."""
    return sha256(text.encode()).hexdigest()
