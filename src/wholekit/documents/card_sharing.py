"""Setting cards that say the same of several kits become one, with all their marks."""

from dataclasses import replace

from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.wording.questions import marks_text


def shared_pages(
    pages: list[SettingCard | HoldPage], every: tuple[str, ...]
) -> tuple[SettingCard | HoldPage, ...]:
    """Pages that say the same of several kits as one, with all their marks and openings.

    Sizes and summaries may differ where nothing that is drilled, set or warned of does; they are
    all named. What may not be fitted never shares a page with what may.
    """
    alike: dict[SettingCard | HoldPage, list[SettingCard | HoldPage]] = {}
    for page in pages:
        key = replace(page, title="", summary="", marks=(), quantity=0)
        alike.setdefault(key, []).append(page)
    together = [
        (group, [mark for page in group for mark in page.marks]) for group in alike.values()
    ]
    return tuple(
        replace(
            group[0],
            title="; ".join(dict.fromkeys(page.title for page in group)),
            summary="; ".join(dict.fromkeys(page.summary for page in group)),
            marks=tuple(marks),
            places=marks_text(marks, every) or marks_text(marks, (*every, "")),
            quantity=sum(page.quantity for page in group),
        )
        for group, marks in together
    )
