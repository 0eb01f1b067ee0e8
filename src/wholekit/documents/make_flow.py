"""The one door from a paper to its HTML, in the language it speaks."""

from pathlib import Path

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.fitter_flows import drilling_flow, setting_cards_flow, submittal_flow
from wholekit.documents.flow import Flow, Renderer
from wholekit.documents.house_flows import (
    internal_sheet_flow,
    packing_slip_flow,
    pick_list_flow,
    purchase_order_flow,
)
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.label_flows import labels_flow, shelf_labels_flow
from wholekit.documents.order_paper import PurchaseOrderPaper
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import (
    KitLabelsPaper,
    PickListPaper,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.quote_flow import quote_flow
from wholekit.documents.shelf_labels import ShelfLabelsPaper
from wholekit.documents.submittal import SubmittalPaper
from wholekit.wording.speech import speaking


def make_flow(paper: AnyPaper, templates: Path, house: str = "") -> Flow:
    """The paper's HTML, made with the templates in that folder, or those of the same name in the
    house's own. Raises CallError `house-template-fails`."""
    render = Renderer(templates, paper.head.locale, house)
    match paper:
        case QuotePaper():
            with speaking(paper.head.words_of):
                return quote_flow(paper, render)
        case DrillingPaper():
            with speaking(paper.head.words_of):
                return drilling_flow(paper, render)
        case SubmittalPaper():
            with speaking(paper.head.words_of):
                return submittal_flow(paper, render)
        case PickListPaper():
            with speaking(paper.head.words_of):
                return pick_list_flow(paper, render)
        case KitLabelsPaper():
            with speaking(paper.head.words_of):
                return labels_flow(paper, render)
        case ShelfLabelsPaper():
            return shelf_labels_flow(paper, render)
        case SettingCardPaper():
            with speaking(paper.head.words_of):
                return setting_cards_flow(paper, render)
        case PackingSlipPaper():
            with speaking(paper.head.words_of):
                return packing_slip_flow(paper, render)
        case PurchaseOrderPaper():
            with speaking(paper.head.words_of):
                return purchase_order_flow(paper, render)
        case InternalSheet():
            with speaking(paper.head.words_of):
                return internal_sheet_flow(paper, render)
