"""What is to be bought: shortages and reorder points made into orders, one supplier each."""

from wholekit.domain.buying.buy_list import BuyLine, BuyList, NotBought, SupplierBuy, buy_list
from wholekit.domain.buying.cheaper import CheaperEqual
from wholekit.domain.buying.delivery import (
    CountedLine,
    GoodsDelivery,
    delivered,
    require_receivable,
    taken_back,
)
from wholekit.domain.buying.late import Late
from wholekit.domain.buying.order import OrderLine, PurchaseOrder, purchase_order
from wholekit.domain.buying.placed import (
    LISTED,
    NOTED,
    OPEN,
    SCANNED,
    SERIES,
    UNDER_WAY,
    UNDONE,
    GoodsExpected,
    GoodsReceipt,
    Purchase,
    PurchaseState,
    purchase_label,
    purchase_number,
)
from wholekit.domain.buying.quantity import Priced, price_at, quantity_to_buy
from wholekit.domain.buying.reorder import DailyDemand, ReorderPoint, demand_of, suggest_reorder
from wholekit.domain.buying.wants import Coming, Shortage, StockPosition

__all__ = [
    "LISTED",
    "NOTED",
    "OPEN",
    "SCANNED",
    "SERIES",
    "UNDER_WAY",
    "UNDONE",
    "BuyLine",
    "BuyList",
    "CheaperEqual",
    "Coming",
    "CountedLine",
    "DailyDemand",
    "GoodsDelivery",
    "GoodsExpected",
    "GoodsReceipt",
    "Late",
    "NotBought",
    "OrderLine",
    "Priced",
    "Purchase",
    "PurchaseOrder",
    "PurchaseState",
    "ReorderPoint",
    "Shortage",
    "StockPosition",
    "SupplierBuy",
    "buy_list",
    "delivered",
    "demand_of",
    "price_at",
    "purchase_label",
    "purchase_number",
    "purchase_order",
    "quantity_to_buy",
    "require_receivable",
    "suggest_reorder",
    "taken_back",
]
