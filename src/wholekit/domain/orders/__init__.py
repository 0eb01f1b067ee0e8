"""Accepted revisions that were released to the pick room, and the bags of their openings."""

from wholekit.domain.orders.bags import bags_of, needs_of, without_bag
from wholekit.domain.orders.expected import Expected, ShortItem, expected, with_elsewhere
from wholekit.domain.orders.lacking import MAY_LACK, LackingBag, lacking
from wholekit.domain.orders.order import (
    DONE,
    NEXT_BAG_STATES,
    BagState,
    Order,
    ReleasedBag,
    Shipment,
    ShipWay,
    shipment_label,
)
from wholekit.domain.orders.revised import Revised, revised

__all__ = [
    "DONE",
    "MAY_LACK",
    "NEXT_BAG_STATES",
    "BagState",
    "Expected",
    "LackingBag",
    "Order",
    "ReleasedBag",
    "Revised",
    "ShipWay",
    "Shipment",
    "ShortItem",
    "bags_of",
    "expected",
    "lacking",
    "needs_of",
    "revised",
    "shipment_label",
    "with_elsewhere",
    "without_bag",
]
