"""What suppliers head the columns of their price sheets with, in English, French and Spanish.

Common practice, no source: headings that say one thing only. A heading that may mean several is
left to whoever sends the sheet.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence

from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.openings.sheet import ASIDE
from wholekit.intake.price_book import COLUMNS

_KNOWN: Mapping[str, str] = {
    "sku": "sku | item | item no | item number | item code | part | part no | part number | "
    "product code | catalog no | catalog number | cat no | order no | order code | model no | "
    "article | article no | article number | ref | reference | code article | referencia | "
    "codigo | codigo de articulo",
    "description": "description | item description | product description | desc | designation | "
    "libelle | descripcion | denominacion",
    "list": "list | list price | list each | unit list | gross price | retail price | tarif | "
    "prix tarif | prix public | prix catalogue | precio de lista | precio tarifa | tarifa | pvp",
    "cost": "cost | net | net price | net cost | unit cost | dealer net | dealer price | "
    "your price | your cost | purchase price | prix net | prix d achat | cout | precio neto | "
    "precio de compra | coste | costo",
    "finish": "finish | colour finish | fini | finition | acabado",
    "pack_size": "pack size | pack qty | pack quantity | qty per pack | pieces per pack | "
    "conditionnement | colisage | unidades por paquete",
    "lead_days": "lead days | lead time days | delai jours | plazo dias",
    "barcode": "barcode | bar code | upc | upc code | ean | ean 13 | gtin | code barres | "
    "code a barres | codigo de barras",
    "status": "status | statut | estado",
    "replaced_by": "replaced by | superseded by | replacement | remplace par | sustituido por",
    "supplies": "supplies",
    "least_order": "least order | minimum order | min order | min order qty | moq | minimum de "
    "commande | pedido minimo",
    "substitutes": "substitutes | may be replaced with",
}
HEADINGS: Mapping[str, str] = {
    **{name.replace("_", " "): name for name in COLUMNS},
    **{text.strip(): name for name, texts in _KNOWN.items() for text in texts.split("|")},
}
_SIGNS = re.compile(r"[^a-z0-9]+")
# What a heading says beside its word: a currency, a unit, each.
_BESIDE = re.compile(r"\b(?:usd|eur|gbp|cad|mxn|chf|each|ea)\b")


def heading_key(text: str) -> str:
    """A heading as it is looked up: small letters and digits alone.

    >>> heading_key(" Réf. "), heading_key("LIST-PRICE")
    ('ref', 'list price')
    """
    plain = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return _SIGNS.sub(" ", plain).strip()


def meant_by(heading: str) -> str:
    """Our column that a heading means; empty where it means none for certain.

    >>> meant_by("Part No."), meant_by("List Price (USD)"), meant_by("Weight")
    ('sku', 'list', '')
    """
    key = heading_key(heading)
    if key in HEADINGS:
        return HEADINGS[key]
    return HEADINGS.get(" ".join(_BESIDE.sub(" ", key).split()), "")


def proposed(headings: Sequence[str], kept: Mapping[str, str]) -> list[tuple[str, bool]]:
    """Our column of each heading, as it was told of the supplier's sheets before, or as it is
    known; and whether it was told. A column of ours is taken once, by what was told first."""
    told = {heading_key(heading): column for heading, column in kept.items()}
    taken: set[str] = set()
    found = [("", False)] * len(headings)
    for from_kept in (True, False):
        for place, heading in enumerate(headings):
            key = heading_key(heading)
            if (key in told) is not from_kept:
                continue
            column = told[key] if from_kept else meant_by(heading)
            if column in taken or column not in COLUMNS:
                column = ""
            taken.add(column)
            taken.discard("")
            found[place] = (column, from_kept)
    return found


def told_columns(texts: Sequence[str]) -> dict[str, str]:
    """What options say of columns: `HEADING=column`, or `HEADING=aside` for one that is not taken.

    Raises InputError with all that are wrong.

    >>> told_columns(["Unit Price=list", "Wt.=aside"])
    {'Unit Price': 'list', 'Wt.': ''}
    """
    problems: list[Problem] = []
    found: dict[str, str] = {}
    for text in texts:
        heading, sign, column = (part.strip() for part in text.rpartition("="))
        if not sign or not heading_key(heading):
            problems.append(Problem("choice-of-column", {"given": text[:60]}, "--column"))
        elif column not in (ASIDE, *COLUMNS):
            right = listed([*COLUMNS, ASIDE])
            problems.append(
                Problem("price-column-unknown", {"given": column, "right": right}, "--column")
            )
        else:
            found[" ".join(heading.split())] = "" if column == ASIDE else column
    if problems:
        raise InputError(problems)
    return found
