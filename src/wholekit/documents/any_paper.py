"""Every paper there is, the owner's with them."""

from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.order_paper import PurchaseOrderPaper
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import Paper
from wholekit.documents.shelf_labels import ShelfLabelsPaper
from wholekit.documents.submittal import SubmittalPaper

AnyPaper = (
    Paper
    | DrillingPaper
    | SubmittalPaper
    | PackingSlipPaper
    | ShelfLabelsPaper
    | InternalSheet
    | PurchaseOrderPaper
)
