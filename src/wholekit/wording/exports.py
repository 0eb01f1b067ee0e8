"""What open formats say in words: notes of what is open, the mail that goes with a quote, headings.

All in the language in use (see `speech.speaking`); the offer's own sentences as they were sent.
"""

from collections.abc import Iterator

from wholekit.domain.quotes.offer import KitWords, Offer, Totals
from wholekit.wording.amounts import say_date, say_money
from wholekit.wording.asked_in_checks import FrontQuestions
from wholekit.wording.offers import why_held
from wholekit.wording.questions import marks_text
from wholekit.wording.speech import ENGLISH, figure, tr, trn
from wholekit.wording.unasked import not_used_texts, unasked_text, unread_text


def words_locale(offer: Offer) -> str:
    """The locale whose language an offer's sentences came in, for `speaking`."""
    return offer.customer.locale if offer.sent else ENGLISH


# What is told where a mail is made by a house that does not say who it is.
NO_SENDER = (
    "The house folder did not say the house's name and mail address when this was issued, so the "
    "mail does not say who sends it; your mail program puts that in. docs/house-folder.md"
)
# Questions that a mail spells out; the quote has them all, with their marks.
MOST_ASKED = 6


def leaf_text(size: str, leaves: int) -> str:
    """The size of a leaf, and whether there are two."""
    return tr("{size} pair").format(size=figure(size)) if leaves == 2 else figure(size)


def opening_name(mark: str, said: KitWords, leaves: int) -> str:
    """What an opening is called in one line: its mark, the leaf and the mount."""
    return f"{mark}: {leaf_text(said.size, leaves)}, {said.mount}"


def open_notes(offer: Offer) -> Iterator[str]:
    """The cover note; what is no part of the firm offer, each with its reason; the cautions."""
    words = offer.sent or offer.words
    if offer.cover_note:
        yield offer.cover_note
    yield from left_out_texts(offer)
    yield from not_used_texts(FrontQuestions(offer, words).unused())
    yield from question_texts(offer)
    for alternate in offer.alternates:
        said = tr("Alternate {code}: {title}").format(code=alternate.code, title=alternate.title)
        yield f"{said}{tr(': ')}{total_text(alternate.change, offer.customer.locale)}"
    for extra in offer.extras:
        if extra.total is None and extra.alternate:
            yield f"{extra.description} [{extra.alternate}]"
    yield from words.cautions


def left_out_texts(offer: Offer) -> Iterator[str]:
    """Each opening of the job that is no part of the offer, and why; then the doors of the sheet
    that nothing was asked for."""
    words = offer.sent or offer.words
    for opening in offer.left_out or ():
        why = " ".join(why_held(offer, opening, words.kits))
        yield f"{tr('Not in this quote:')} {opening.place} (× {opening.quantity}). {why}"
    unasked = unasked_text(offer.unasked, [opening.place for opening in offer.openings])
    if unasked:
        yield f"{tr('Not in this quote:')} {unasked}."
    unread = unread_text(offer.unasked)
    if unread:
        yield f"{tr('Not quoted:')} {unread}."


def question_texts(offer: Offer) -> Iterator[str]:
    """What only the customer can say, with the marks it concerns."""
    for asked in FrontQuestions(offer, offer.sent or offer.words).all():
        where = ", ".join(asked.marks)
        yield (
            tr("{effect} ({marks})").format(effect=asked.text, marks=where) if where else asked.text
        )


def total_text(totals: Totals, locale: str) -> str:
    """What is to be paid, and whether tax is in it."""
    amount = say_money(totals.gross, locale)
    if totals.exempt or not totals.taxes:
        return (
            amount
            if totals.charged
            else tr("{total}, before freight and taxes").format(total=amount)
        )
    said = tr("{total}, tax contained") if totals.inclusive else tr("{total}, with tax")
    return said.format(total=amount)


def mail_subject(offer: Offer) -> str:
    """The subject of the mail that a quote goes out with."""
    return tr("Quote {number}, {job}").format(number=offer.label, job=offer.job_name)


def mail_text(offer: Offer) -> str:
    """The mail itself: number, firm total, how long it holds, what is open, and from whom."""
    locale = offer.customer.locale
    base = offer.chosen()
    firm = all(offer.is_firm(opening) for opening in base.openings)
    total = total_text(offer.totals, locale)
    parts = [
        tr("Our quote {number} for {job} is attached as a PDF.").format(
            number=offer.label, job=offer.job_name
        ),
        tr("Firm total: {total}.").format(total=total)
        if firm
        else tr("Firm of the hardware: {amount}, without these openings.").format(
            amount=say_money(offer.firm, locale)
        ),
        tr("It holds until {date}.").format(date=say_date(offer.valid_until, locale)),
    ]
    out = [
        *(opening.place for opening in offer.left_out or ()),
        *(opening.place for opening in base.openings if not offer.is_firm(opening)),
    ]
    if out:
        every = [opening.place for opening in (*offer.openings, *(offer.left_out or ()))]
        said = trn(
            "{count} mark is open and in no firm total, with its reason in the quote: {marks}.",
            "{count} marks are open and in no firm total, each with its reason in the quote: "
            "{marks}.",
            len(out),
        )
        marks = marks_text(out, every, offer.not_quoted) or ", ".join(out)
        parts.append(said.format(count=len(out), marks=marks))
    unasked = unasked_text(offer.unasked, [opening.place for opening in offer.openings])
    if unasked:
        parts.append(f"{tr('Not in this quote:')} {unasked}.")
    unread = unread_text(offer.unasked, answer=True)
    if unread:
        parts.append(f"{tr('Not quoted:')} {unread}")
    front = FrontQuestions(offer, offer.sent or offer.words)
    parts += [*not_used_texts(front.unused()), *_asked(front)]
    who = [text for text in (offer.issued_by, offer.house_name, offer.house_phone) if text]
    parts.append("\n".join(who))
    return "\n\n".join(part for part in parts if part) + "\n"


def _asked(front: FrontQuestions) -> Iterator[str]:
    """The first few of the open questions, and how many more there are."""
    questions = [asked.text for asked in front.all()]
    if not questions:
        return
    said = [f"{number}. {text}" for number, text in enumerate(questions[:MOST_ASKED], start=1)]
    more = len(questions) - len(said)
    if more:
        text = trn("{count} more is in the quote.", "{count} more are in the quote.", more)
        said.append(text.format(count=more))
    yield "\n".join((f"{tr('Questions we need answered')}{tr(': ').rstrip()}", *said))
