"""What suppliers' price sheets and notices of rises say, as it is kept."""

from collections.abc import Sequence
from datetime import date, datetime
from fractions import Fraction

from sqlalchemy import Connection, select

from wholekit.domain.catalog.price_sheet import KeptPriceSheet, PriceSheet
from wholekit.domain.catalog.rises import PlannedRise, PriceRise
from wholekit.domain.errors import ConflictError
from wholekit.store import rows
from wholekit.store.plain_text import from_text, to_text
from wholekit.store.tables import METADATA

SHEET = METADATA.tables["catalog_sheet"]
RISE = METADATA.tables["catalog_rise"]


class SqlPriceSheets:
    """What was told of suppliers' price sheets, by the catalogue's id."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self, catalog: str) -> KeptPriceSheet | None:
        """What was told, or None."""
        found = select(SHEET).where(SHEET.c.catalog_id == catalog)
        row = self._connection.execute(found).first()
        if row is None:
            return None
        told: PriceSheet = from_text(PriceSheet, row.told)
        at = datetime.fromisoformat(row.told_at)
        return KeptPriceSheet(row.catalog_id, told, at, row.told_by, row.version)

    def add(self, kept: KeptPriceSheet) -> None:
        """The first that is told of a supplier's. Raises ConflictError (`price-sheet-taken`)."""
        if not rows.add_unless_taken(self._connection, SHEET, _sheet_values(kept)):
            raise ConflictError("price-sheet-taken", name=kept.catalog)

    def save(self, kept: KeptPriceSheet, expected: int) -> None:
        """It anew. Raises ConflictError."""
        values = _sheet_values(kept)
        rows.save(self._connection, SHEET, SHEET.c.catalog_id, values, expected, "price-sheet")


class SqlPlannedRises:
    """Rises that suppliers have told of and that are not loaded yet."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def all(self) -> Sequence[PlannedRise]:
        """Every one by day, catalogue and id."""
        wanted = select(RISE).order_by(RISE.c.day, RISE.c.catalog_id, RISE.c.id)
        return tuple(
            PlannedRise(
                row.id,
                row.catalog_id,
                PriceRise(Fraction(row.share), date.fromisoformat(row.day), row.series),
                datetime.fromisoformat(row.told_at),
                row.told_by,
            )
            for row in self._connection.execute(wanted)
        )

    def add(self, planned: PlannedRise) -> None:
        """A new one."""
        rise = planned.rise
        self._connection.execute(
            RISE.insert(),
            {
                "id": planned.id,
                "catalog_id": planned.catalog,
                "share": str(rise.share),
                "day": rise.day.isoformat(),
                "series": rise.series,
                "told_at": planned.at.isoformat(),
                "told_by": planned.by,
            },
        )

    def remove(self, rise_id: str) -> bool:
        """Take one out; whether it was there."""
        gone = self._connection.execute(RISE.delete().where(RISE.c.id == rise_id))
        return gone.rowcount == 1


def _sheet_values(kept: KeptPriceSheet) -> dict[str, object]:
    return {
        "catalog_id": kept.catalog,
        "told": to_text(kept.told),
        "told_at": kept.at.isoformat(),
        "told_by": kept.by,
        "version": kept.version,
    }
