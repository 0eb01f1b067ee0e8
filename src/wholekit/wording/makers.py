"""Names of a maker's series and templates as people read them: findings and templates have the
catalogue's short names alone, and an offer what the maker calls its series."""

import re
from collections.abc import Iterable

from wholekit.domain.catalog import Template
from wholekit.wording.speech import figure, tr
from wholekit.wording.words import MOUNTS, listed

# Fields that name series too where a finding names one.
BESIDE_SERIES = ("brought", "known")
_SHORT = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def series_title(name: str, titles: Iterable[tuple[str, str]] = ()) -> str:
    """A series by its short name; what is no such name stays as written.

    titles: what its maker calls it where that is known, as `Offer.series` has it.

    >>> series_title("harbor-low"), series_title("the heavy one")
    ('Harbor Low', 'the heavy one')
    >>> series_title("harbor-low", [("harbor-low", "Harbor for low heads")])
    'Harbor for low heads'
    """
    title = dict(titles).get(name, name)
    if title != name or not _SHORT.fullmatch(name):
        return title
    return " ".join(word.capitalize() for word in name.split("-"))


def series_titles(names: object) -> str:
    """One series or several in a row."""
    several = names if isinstance(names, tuple | list) else (names,)
    return listed([series_title(str(name)) for name in several])


def template_title(template: Template) -> str:
    """A template by its series, its mount and how far the leaf opens.

    What else its short name says stands behind the series, so that two are never called the same:
    `Granite narrow, regular arm, 100°`.
    """
    angle = f"{template.greatest_angle:g}"
    known = {*template.series.split("-"), *template.mount.value.split("-"), angle}
    more = [word for word in template.id.split("-") if word not in known]
    named = " ".join([series_title(template.series), *more])
    return f"{named}, {tr(MOUNTS[template.mount])}, {figure(f'{angle}°')}"
