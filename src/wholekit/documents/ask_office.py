"""Which openings' cards bid the fitter ask the office before he drills: whoever picks and sends the
kit is told of it too, so that it is asked while the bag is still in the house."""

from wholekit.domain.findings import Severity
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.wording.speech import tr
from wholekit.wording.to_fitters import ASK_FIRST, bids_ask


def asks_office(offer: Offer, opening: OfferOpening) -> bool:
    """Whether a warning of the kit or a note that it does not reckon with is to be settled before
    holes are drilled; never of one that is held, which has no card."""
    if not offer.is_firm(opening):
        return False
    warned = (
        finding for finding in offer.kit_of(opening).findings if finding.severity is Severity.WARN
    )
    return any(
        finding.code == NEAR_EDGE or bids_ask(finding.code, finding.fields)
        for finding in (*warned, *opening.of_note)
    )


def ask_text(offer: Offer, opening: OfferOpening) -> str:
    """What label and slip say of such an opening, in the language in use; or empty."""
    return tr(ASK_FIRST) if asks_office(offer, opening) else ""
