"""What stock is worth to the house; owners alone see it."""

from collections.abc import Mapping

from wholekit.domain.catalog import ItemKey
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.rights import needs


@needs(Action.SEE_COST)
def item_costs(desk: Desk, deed: Deed) -> Mapping[ItemKey, Cost]:
    """What a pack of each item costs by the newest catalogues."""
    with desk.store.reading() as uow:
        return uow.catalogs.costs()
