"""A paper in the house's look: what follows the house folder, whenever the paper was issued."""

from dataclasses import replace
from typing import TypeVar

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.comparison import ComparisonPaper
from wholekit.domain.house_style import HouseStyle

Dressed = TypeVar("Dressed", bound=AnyPaper | ComparisonPaper)


def dressed(paper: Dressed, style: HouseStyle) -> Dressed:
    """The paper with the house's logo, colour and sheet; its words stay."""
    head = paper.head
    letterhead = replace(head.letterhead, logo=style.logo, accent=style.accent)
    head = replace(head, letterhead=letterhead, page_size=style.paper or head.page_size)
    return replace(paper, head=head)
