"""What is to be bought: shortages and reorder points made into orders, one supplier each."""

from wholekit.domain.buying.buy_list import BuyLine, BuyList, NotBought, SupplierBuy, buy_list
from wholekit.domain.buying.cheaper import CheaperEqual
from wholekit.domain.buying.late import Late
from wholekit.domain.buying.order import OrderLine, PurchaseOrder, purchase_order
from wholekit.domain.buying.quantity import Priced, price_at, quantity_to_buy
from wholekit.domain.buying.reorder import DailyDemand, ReorderPoint, demand_of, suggest_reorder
from wholekit.domain.buying.wants import Coming, Shortage, StockPosition

__all__ = [
    "BuyLine",
    "BuyList",
    "CheaperEqual",
    "Coming",
    "DailyDemand",
    "Late",
    "NotBought",
    "OrderLine",
    "Priced",
    "PurchaseOrder",
    "ReorderPoint",
    "Shortage",
    "StockPosition",
    "SupplierBuy",
    "buy_list",
    "demand_of",
    "price_at",
    "purchase_order",
    "quantity_to_buy",
    "suggest_reorder",
]
