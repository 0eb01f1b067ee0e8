"""Open quotes that a load touches, as an answer and in lines of text."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wholekit.services.quotes_touched import QuoteTouched
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.wording.rates import percent


@dataclass(frozen=True, slots=True)
class QuoteTouchedAnswer:
    """An open quote. dearer: by how much the same goods would be dearer, quoted anew; now, then:
    margin at present cost and after the load [per cent]; short: what it lacks for the floor then,
    zero where it holds; newly: it holds it now."""

    quote: str
    job: str
    customer: str
    valid_until: str
    lines: int
    dearer: PriceAnswer
    now: str
    then: str
    short: PriceAnswer
    under: bool
    newly: bool
    gone: tuple[str, ...]


def touched_answer(touched: QuoteTouched) -> QuoteTouchedAnswer:
    """The answer for one."""
    now, then = touched.now, touched.then
    return QuoteTouchedAnswer(
        touched.quote,
        touched.job,
        then.customer,
        then.valid_until.isoformat(),
        touched.lines,
        price_answer(touched.dearer),
        percent(now.now.share),
        percent(then.now.share),
        price_answer(then.short),
        then.short.minor > 0,
        then.short.minor > 0 and now.short.minor <= 0,
        touched.gone,
    )


def touched_text(answers: Sequence[QuoteTouchedAnswer]) -> Iterator[str]:
    """All of them in lines of at most 80 columns."""
    if not answers:
        yield "  no open quote is touched"
        return
    yield f"  open quotes touched: {len(answers)}"
    for each in answers:
        yield (
            f"    {each.quote:<12} {each.dearer.amount} {each.dearer.currency} dearer quoted anew; "
            f"margin {each.now} → {each.then}"
        )
        if each.under:
            yield f"{' ' * 17}{each.short.amount} {each.short.currency} short of the floor"
        if each.gone:
            yield f"{' ' * 17}no longer sold: {', '.join(each.gone[:6])}"
