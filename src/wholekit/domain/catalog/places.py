"""Where in a catalogue's folder a fault lies."""

from wholekit.domain.catalog.model import Body, Catalog, Piece, Template

PRICE_BOOK = "prices.csv"
HEADER = "catalog.toml"


def in_folder(folder: str, name: str) -> str:
    """A file's name with its folder's, as messages give it."""
    return f"{folder}/{name}" if folder else name


def price_book_of(catalog: Catalog) -> str:
    """The price book's file name."""
    return in_folder(catalog.folder, PRICE_BOOK)


def series_file_of(catalog: Catalog, series: str) -> str:
    """The file of one series; it is named for the series' id."""
    return in_folder(catalog.folder, f"series/{series}.toml")


def path_of(thing: Piece | Body | Template, key: str = "") -> str:
    """The TOML path of a key of a piece, body or template: `piece[arm].length`."""
    name = type(thing).__name__.lower()
    return f"{name}[{thing.id}].{key}" if key else f"{name}[{thing.id}]"
