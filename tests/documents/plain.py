"""A flow laid out as WeasyPrint does by itself: one document, one process, nothing tuned."""

from pathlib import Path
from typing import Any

from wholekit.documents.flow import Flow
from wholekit.documents.press import FIRST_PAGE_CSS, cut_font, font_css, make_html


def lay_out_plainly(flow: Flow, folder: Path) -> Any:
    """The whole flow as a WeasyPrint document. folder: keeps the font."""
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    style = font_css(cut_font(flow, folder / "font.ttf")) + flow.css + FIRST_PAGE_CSS
    html = make_html(flow, 0, len(flow.blocks))
    return HTML(string=html).render(
        font_config=fonts, stylesheets=[CSS(string=style, font_config=fonts)]
    )
