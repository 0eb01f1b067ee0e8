"""Openings of one template, hand and drilling become one card, each with its own setting on it."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import replace

from wholekit.documents.setting_card import (
    HoldPage,
    Said,
    Setting,
    SettingCard,
    Step,
    in_order,
)
from wholekit.wording.questions import marks_text
from wholekit.wording.speech import tr


def shared_pages(
    pages: Sequence[Setting | HoldPage], every: tuple[str, ...]
) -> tuple[SettingCard | HoldPage, ...]:
    """A card for each template, hand and drilling, then what is on HOLD by its reason.

    Settings that say the same of several kits become one with all their marks; sizes and summaries
    may differ where nothing that is drilled, set or warned of does, and are all named. What may not
    be fitted never shares a page with what may. every: the job's marks, in its order.
    """
    cards: dict[Hashable, list[Setting]] = {}
    held: dict[Hashable, list[HoldPage]] = {}
    # A card stands where the first of its openings does.
    order: dict[tuple[bool, Hashable], None] = {}
    for page in pages:
        is_held = isinstance(page, HoldPage)
        key = _held_key(page) if isinstance(page, HoldPage) else drilled_alike(page)
        order[(is_held, key)] = None
        if isinstance(page, HoldPage):
            held.setdefault(key, []).append(page)
        else:
            cards.setdefault(key, []).append(page)
    return tuple(
        _hold(held[key], every) if is_held else _card(cards[key], every)
        for is_held, key in sorted(order, key=lambda place: place[0])
    )


def drilled_alike(setting: Setting) -> Hashable:
    """What must be equal for two settings to share a card: whatever is drilled or drawn.

    What is held open shares none with a fire door, which must never be.
    """
    return (
        setting.template,
        setting.mount,
        setting.hand,
        setting.opening_degrees,
        setting.placing,
        setting.positions,
        setting.no_positions,
        setting.sketches,
        setting.practice,
        setting.elevation,
        setting.plan,
        setting.leaves,
        # Nothing of it is drilled otherwise; but nobody may take a fire door's card for its own.
        setting.stays_open,
    )


def _card(settings: list[Setting], every: tuple[str, ...]) -> SettingCard:
    alike: dict[Hashable, list[Setting]] = {}
    for setting in settings:
        key = replace(setting, title="", summary="", marks=(), quantities=(), about=())
        alike.setdefault(key, []).append(setting)
    shared = tuple(_setting(group, every) for group in alike.values())

    def said(of: Callable[[Setting], Iterable[str]]) -> tuple[Said, ...]:
        return said_with_marks(
            shared, every, lambda each: [Step("", text) for text in of(each) if text]
        )

    return SettingCard(
        settings=shared,
        places=places_of([mark for setting in shared for mark in setting.marks], every),
        fire=said(lambda each: (each.fire,)),
        alarms=said(lambda each: (*each.alarms, *each.edges)),
        warnings=said(lambda each: each.warnings),
        questions=said(lambda each: each.questions),
        hosts=said(lambda each: each.hosts),
        screws=said_with_marks(
            shared,
            every,
            lambda each: [Step(screws.what, screws.drill) for screws in each.fasteners],
        ),
        steps=_together(said_with_marks(shared, every, lambda each: each.steps), shared),
        gauges=said(lambda each: each.gauges),
        cautions=said(lambda each: each.cautions),
    )


def _setting(group: list[Setting], every: tuple[str, ...]) -> Setting:
    marks = tuple(mark for setting in group for mark in setting.marks)
    return replace(
        group[0],
        title=_told([(setting.title, setting.marks) for setting in group], every),
        summary=_told([(setting.summary, setting.marks) for setting in group], every),
        marks=marks,
        quantities=tuple(count for setting in group for count in setting.quantities),
        about=tuple(text for setting in group for text in setting.about),
        places=places_of(marks, every),
    )


def said_with_marks(
    settings: Sequence[Setting],
    every: tuple[str, ...],
    of: Callable[[Setting], Sequence[Step]],
) -> tuple[Said, ...]:
    """Sentences of several settings in their order, each once, with the marks it holds for."""
    holders: dict[Step, list[Setting]] = {}
    for setting in settings:
        for step in of(setting):
            holders.setdefault(step, []).append(setting)
    return tuple(
        Said(
            step.text,
            step.lead,
            ""
            if len(holders[step]) == len(settings)
            else places_of([mark for each in holders[step] for mark in each.marks], every),
        )
        for step in in_order(of(setting) for setting in settings)
    )


def _together(steps: Sequence[Said], settings: Sequence[Setting]) -> tuple[Said, ...]:
    """The steps of one kind behind one another; what follows what on a card of its own does here
    too."""
    kinds = in_order([*dict.fromkeys(map(_kind, each.steps))] for each in settings)
    place = {kind: number for number, kind in enumerate(kinds)}
    return tuple(sorted(steps, key=lambda step: place[_kind(step)]))


def _kind(step: Step | Said) -> str:
    return step.lead or step.text


def _held_key(page: HoldPage) -> Hashable:
    return replace(page, title="", summary="", marks=(), quantity=0)


def _hold(group: list[HoldPage], every: tuple[str, ...]) -> HoldPage:
    marks = tuple(mark for page in group for mark in page.marks)
    return replace(
        group[0],
        title=_told([(page.title, page.marks) for page in group], every),
        summary=_told([(page.summary, page.marks) for page in group], every),
        marks=marks,
        places=places_of(marks, every),
        quantity=sum(page.quantity for page in group),
    )


def _told(texts: Sequence[tuple[str, Sequence[str]]], every: tuple[str, ...]) -> str:
    """Texts that are told of some marks, each once; with its marks where not all have it."""
    of: dict[str, list[str]] = {}
    for text, marks in texts:
        of.setdefault(text, []).extend(marks)
    if len(of) == 1:
        return next(iter(of))
    said = tr("{effect} ({marks})")
    return "; ".join(
        said.format(effect=text, marks=places_of(marks, every))
        for text, marks in of.items()
        if text
    )


def places_of(marks: Sequence[str], every: tuple[str, ...]) -> str:
    """Marks in ranges, of all of them too."""
    return marks_text(marks, every) or marks_text(marks, (*every, ""))
