"""From a purchase order to its paper, in the supplier's language."""

from wholekit.documents.order_paper import PurchaseOrderPaper
from wholekit.documents.papers import Letterhead, PaperHead, page_size_of
from wholekit.domain.buying import PurchaseOrder
from wholekit.wording.speech import ENGLISH


def purchase_order_paper(
    order: PurchaseOrder, house: Letterhead, *, locale: str = "en_US", language: str = ENGLISH
) -> PurchaseOrderPaper:
    """The paper of an order. house: who orders; locale: of amounts and dates; language: CLDR's code
    of the words'."""
    return PurchaseOrderPaper(
        PaperHead(
            letterhead=house,
            number=order.number,
            issued=order.issued,
            customer=order.supplier,
            job=order.ship_to[0] if order.ship_to else order.branch,
            customer_address=order.supplier_address,
            prepared_by=order.buyer,
            locale=locale,
            page_size=page_size_of(locale),
            language=language,
        ),
        order.ship_to or (order.branch,),
        order.lines,
        sum(line.packs for line in order.lines),
        order.total,
        order.wanted_by,
        order.note,
    )
