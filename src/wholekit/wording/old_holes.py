"""Sentences about the holes of an old closer: used again, covered, or drilled anew."""

from collections.abc import Mapping

from wholekit.wording.makers import series_title
from wholekit.wording.speech import figure, tr
from wholekit.wording.words import listed, value_text

FINDINGS: dict[str, str] = {
    "holes-reused": "The body fits the old holes ({holes}): its own are {pattern}.",
    "holes-covered": "A plate carries the body and covers the old holes ({holes}); new ones are "
    "drilled for the plate.",
    "holes-differ": "The old holes ({holes}) do not fit: {has}. New ones are drilled. Nearest "
    "patterns: {nearest}.{declined}",
}
HINTS: dict[str, str] = {
    "measure-old-holes": "Measure on site that they lie where the template puts them, and that "
    "they still hold a screw.",
    "fill-old-holes": "Fill the old holes as the listing of door and frame allows; no new hole may "
    "run into an old one.",
}
# Said another way where a field makes the plain sentence untrue.
VARIANTS: dict[str, str] = {
    "plate": "A plate that carries the body fits the old holes ({holes}): its own are {pattern}.",
    "turned": "The old holes ({holes}) fit only with length and height exchanged ({pattern}): the "
    "height was probably written first. If not, new holes are needed.",
}
HAS: dict[str, str] = {
    "body": "the body's are {pattern}",
    "plate": "the plate's are {pattern}",
    "unknown": "the catalog does not give the plate's",
    "not-four": "the body has not four",
}
NEAREST = "{series} {pattern} (off by {along} along, {across} across)"
DECLINED: dict[str, str] = {
    "lesser": " A kit on the old holes is sold, but is a lesser one: in size, finish, duty or by a "
    "stop or warning.",
    "dearer": " A kit on the old holes costs over {share} % more than this one at list.",
}


def variant(code: str, fields: Mapping[str, object]) -> str | None:
    """Another sentence for a finding of these, by its fields; None where the plain one holds."""
    if code != "holes-reused":
        return None
    if fields.get("turned"):
        return VARIANTS["turned"]
    return VARIANTS["plate"] if fields.get("plate") else None


def words_of(fields: Mapping[str, object]) -> dict[str, str]:
    """What the kit has in place of the old holes, and the nearest patterns that are sold."""
    nearest = fields.get("nearest")
    if not isinstance(nearest, tuple):
        return {}
    pattern = value_text("", fields.get("pattern"))
    share = figure(str(fields.get("share", "")))
    has = "plate" if fields.get("plate") else "body"
    if fields.get("pattern") is None:
        has = "unknown" if fields.get("plate") else "not-four"
    declined = DECLINED.get(str(fields.get("declined")), "")
    return {
        "has": tr(HAS[has]).format(pattern=pattern),
        "nearest": listed([_near(near) for near in nearest]) or tr("none"),
        "declined": tr(declined).format(share=share) if declined else "",
    }


def offset_text(offset: object) -> str:
    """A difference of spacings with its sign: `+1/2 in`, `−1-3/4 in`, `0 in`."""
    text = str(offset)
    if text.startswith("-"):
        text = f"−{text[1:]}"
    elif not text.startswith("0 "):
        text = f"+{text}"
    return figure(text)


def _near(near: object) -> str:
    series, pattern, fit = (getattr(near, name) for name in ("series", "pattern", "fit"))
    along, across = offset_text(fit.along), offset_text(fit.across)
    shown = value_text("", pattern)
    return tr(NEAREST).format(
        series=series_title(series), pattern=shown, along=along, across=across
    )
