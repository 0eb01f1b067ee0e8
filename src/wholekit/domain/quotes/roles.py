"""Who may do and read what: the one table of rights, action by role. What is not in it is denied.

A house that has entered nobody leaves all open: it has nobody to tell apart yet. Names are on
trust until people sign in; the table keeps apart what honest people may do.
"""

from collections.abc import Mapping
from enum import StrEnum

from wholekit.domain.quotes.people import PersonRole


class Action(StrEnum):
    """What somebody asks for: reads first, then what changes something."""

    SEE_CATALOGS = "see-catalogs"
    SEE_PRICES = "see-prices"
    SEE_COST = "see-cost"
    SEE_CUSTOMERS = "see-customers"
    SEE_JOBS = "see-jobs"
    SEE_QUOTES = "see-quotes"
    SEE_PICK_PAPERS = "see-pick-papers"
    SEE_STOCK = "see-stock"
    SEE_PURCHASES = "see-purchases"
    SEE_REQUESTS = "see-requests"
    SEE_PEOPLE = "see-people"
    SEE_HOLIDAYS = "see-holidays"
    SEE_SETTINGS = "see-settings"
    SEE_LOG = "see-log"

    LOAD_CATALOGS = "load-catalogs"
    EDIT_CUSTOMERS = "edit-customers"
    SET_TERMS = "set-terms"
    AGREE_TERMS = "agree-terms"
    SET_SHIP_TOS = "set-ship-tos"
    CHANGE_JOBS = "change-jobs"
    GIVE_DISCOUNTS = "give-discounts"
    SET_BY_HAND = "set-by-hand"
    SET_PRICES = "set-prices"
    RELEASE_STOPS = "release-stops"
    DRAFT_QUOTES = "draft-quotes"
    ISSUE_QUOTES = "issue-quotes"
    APPROVE_PRICES = "approve-prices"
    REFUSE_PRICES = "refuse-prices"
    SEND_QUOTES = "send-quotes"
    ASK_PAPERS = "ask-papers"
    CLOSE_QUOTES = "close-quotes"
    RECEIVE_STOCK = "receive-stock"
    ADJUST_STOCK = "adjust-stock"
    SEE_ORDERS = "see-orders"
    RELEASE_ORDERS = "release-orders"
    ALLOCATE_STOCK = "allocate-stock"
    TAKE_PROMISES = "take-promises"
    RETURN_UNNAMED = "return-unnamed"
    PICK_BAGS = "pick-bags"
    SHIP_BAGS = "ship-bags"
    COUNT_STOCK = "count-stock"
    BUY_GOODS = "buy-goods"
    ENTER_PEOPLE = "enter-people"
    KEEP_ACCOUNT = "keep-account"
    CHANGE_SETTINGS = "change-settings"
    COPY_STORE = "copy-store"


_COUNTER, _SALES = PersonRole.COUNTER, PersonRole.SALES
_PICKER, _OWNER = PersonRole.PICKER, PersonRole.OWNER
_EVERYBODY = frozenset({_COUNTER, _SALES, _PICKER, _OWNER})
_SELLERS = frozenset({_COUNTER, _SALES, _OWNER})
_TERMS = frozenset({_SALES, _OWNER})
_PICK_ROOM = frozenset({_PICKER, _OWNER})
_OWNERS = frozenset({_OWNER})

RIGHTS: Mapping[Action, frozenset[PersonRole]] = {
    # What is sold, with stock and bins; what it costs anybody is other rows.
    Action.SEE_CATALOGS: _EVERYBODY,
    # List prices, and kits that are priced by them.
    Action.SEE_PRICES: _SELLERS,
    # Own cost, margins, the internal sheet, and whatever either could be worked out from.
    Action.SEE_COST: _OWNERS,
    Action.SEE_CUSTOMERS: _SELLERS,
    Action.SEE_JOBS: _SELLERS,
    Action.SEE_QUOTES: _SELLERS,
    # Pick list, labels, packing slip and setting cards hold no price.
    Action.SEE_PICK_PAPERS: _EVERYBODY,
    # What lies where and for which bag; what it is worth is another row.
    Action.SEE_STOCK: _EVERYBODY,
    # The buy list and every purchase order show what the house pays.
    Action.SEE_PURCHASES: _OWNERS,
    Action.SEE_REQUESTS: _OWNERS,
    Action.SEE_PEOPLE: _EVERYBODY,
    Action.SEE_HOLIDAYS: _EVERYBODY,
    # The limits by role would tell a patient reader what things cost.
    Action.SEE_SETTINGS: _OWNERS,
    # Who did what in the whole house; of a job and a customer whoever sees them sees it.
    Action.SEE_LOG: _OWNERS,
    # A price book with a lower list or a lower cost would walk round every limit.
    Action.LOAD_CATALOGS: _OWNERS,
    Action.EDIT_CUSTOMERS: _SELLERS,
    # A multiplier or a tier; whatever an owner has not agreed to counts as discount at issue.
    Action.SET_TERMS: _TERMS,
    Action.AGREE_TERMS: _OWNERS,
    Action.SET_SHIP_TOS: _SELLERS,
    Action.CHANGE_JOBS: _SELLERS,
    Action.GIVE_DISCOUNTS: _SELLERS,
    Action.SET_BY_HAND: _SELLERS,
    # Counted as discount at issue, whatever it is set to.
    Action.SET_PRICES: _SELLERS,
    Action.RELEASE_STOPS: _SELLERS,
    Action.DRAFT_QUOTES: _SELLERS,
    Action.ISSUE_QUOTES: _SELLERS,
    Action.APPROVE_PRICES: _OWNERS,
    Action.REFUSE_PRICES: _OWNERS,
    # Which papers, each of the rows that they are for tells.
    Action.ASK_PAPERS: _EVERYBODY,
    Action.SEND_QUOTES: _SELLERS,
    Action.CLOSE_QUOTES: _SELLERS,
    # Onto a shelf, and from one to another.
    Action.RECEIVE_STOCK: _PICK_ROOM,
    # More, fewer or thrown away, for a reason.
    Action.ADJUST_STOCK: _PICK_ROOM,
    # Bags and what belongs in them; no money.
    Action.SEE_ORDERS: _EVERYBODY,
    Action.RELEASE_ORDERS: _SELLERS,
    Action.ALLOCATE_STOCK: _PICK_ROOM,
    # What was told to one customer goes to another.
    Action.TAKE_PROMISES: _OWNERS,
    # Nothing tells how much of it was ever sold.
    Action.RETURN_UNNAMED: _OWNERS,
    Action.PICK_BAGS: _PICK_ROOM,
    Action.SHIP_BAGS: _PICK_ROOM,
    # What differs is written down as it was counted; what it is worth is not theirs to see.
    Action.COUNT_STOCK: _PICK_ROOM,
    Action.BUY_GOODS: _OWNERS,
    Action.ENTER_PEOPLE: _OWNERS,
    # One's own password and one-time codes.
    Action.KEEP_ACCOUNT: _EVERYBODY,
    Action.CHANGE_SETTINGS: _OWNERS,
    # A backup holds every cost; a restore takes the place of every record.
    Action.COPY_STORE: _OWNERS,
}
# Reads that nobody gets on the name the machine happens to be signed in under.
BY_NAME_ALONE = frozenset(
    {
        Action.SEE_COST,
        Action.SEE_PURCHASES,
        Action.SEE_REQUESTS,
        Action.SEE_SETTINGS,
        Action.SEE_LOG,
        Action.BUY_GOODS,
        Action.COPY_STORE,
    }
)

# Reads that whoever is at the machine gets who says no name and is none of the people: nothing of
# cost is in them, and without accounts a name would be taken on trust all the same.
BY_NOBODY = frozenset(
    {
        Action.SEE_CATALOGS,
        Action.SEE_PRICES,
        Action.SEE_CUSTOMERS,
        Action.SEE_JOBS,
        Action.SEE_QUOTES,
        Action.SEE_PICK_PAPERS,
        Action.SEE_STOCK,
        Action.SEE_ORDERS,
        Action.SEE_PEOPLE,
        Action.SEE_HOLIDAYS,
    }
)


def may(role: PersonRole, action: Action) -> bool:
    """Whether a role has the right to an action; what the table does not name, nobody may."""
    return role in RIGHTS.get(action, frozenset())
