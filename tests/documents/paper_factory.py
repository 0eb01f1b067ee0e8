"""Papers with invented contents for 1 to 1,000 openings. Every name and figure is made up."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from fractions import Fraction

from tests.support.house import RULES

from wholekit.documents.card_sharing import shared_pages
from wholekit.documents.internal_sheet import (
    Decision,
    Figures,
    InternalSheet,
    OpeningFigures,
    SheetExtra,
    SheetKit,
    SheetLine,
    ShortStock,
    SupplierFigures,
)
from wholekit.documents.kit_label import BagContent, KitLabel
from wholekit.documents.papers import (
    BinLine,
    FindingNote,
    Forces,
    ForceTable,
    KitLabelsPaper,
    Letterhead,
    MissingPiece,
    OpenOpenings,
    PaperHead,
    PickLine,
    PickListPaper,
    PickOpening,
    QuoteAppendix,
    QuoteKit,
    QuoteLine,
    QuoteMark,
    QuoteNote,
    QuotePaper,
    SettingCardPaper,
    Told,
)
from wholekit.documents.setting_card import GaugeReading, Part, Position, Screws, Setting, Step
from wholekit.domain.house_style import PageSize
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.offer import Totals
from wholekit.domain.quotes.standing import OpeningStanding
from wholekit.wording.fitting import FIRE, MAY_NOT_LATCH, PRACTICE, Fitting, steps_of
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.questions import ranges_text

ITEMS = (
    ("TRL-K7-BODY-689", "Closer body, sizes 2 to 5, adjustable, 4 fixing holes", 14850),
    ("TRL-K7-ARM-PA", "Parallel arm, main arm and forearm, 12-1/4 in", 4620),
    ("TRL-BRK-PA-689", "Soffit bracket, four holes, with arm screw", 2875),
    ("TRL-FST-WS14-8", "Wood screws #14 × 2-1/2 in, pack of 8", 640),
    ("TRL-FST-MS1/4-8", "Machine screws 1/4-20 × 1-1/2 in, pack of 8", 725),
    ("TRL-CVR-FULL-689", "Cover, full length, metal", 1930),
    ("TRL-CAP-2", "Pinion caps, pack of 2", 310),
    ("TRL-PLT-DROP-14", "Drop plate for narrow top rail, 14-3/8 in, with screws", 3380),
    ("TRL-SPC-BLD", "Blade-stop spacer, 5/8 in", 1145),
)
MOUNTS = ("Parallel arm", "Regular arm", "Top jamb")
SIZES = ("3'-0\" × 7'-0\"", "3'-0\" × 6'-8\"", "3'-6\" × 7'-0\"", "4'-0\" × 8'-0\"")
SUMMARIES = (
    "Hollow metal leaf in a steel frame, exterior, swings out, 100 lb estimated.",
    "Wood leaf, particle core, in a steel frame, interior, 20 minute label, accessible.",
    "Aluminum storefront leaf with a 3-1/2 in top rail, exterior, swings out.",
    "Hollow metal leaf in a steel frame, interior stair, 90 minute label.",
)
WHY_SIZE = (
    "Size 4: by width, exterior, up to 36 in; by mass 3; one more than interior for parallel arm.",
    "Size 3: the interior table gives 3 up to 38 in wide, and a fire label asks for 3 at least.",
)
WHY_MOUNT = (
    "Parallel arm: the leaf swings out, so the body stays on the push side, inside.",
    "Regular arm: the pull side is the room side.",
)
FINDINGS = (
    FindingNote(
        "note",
        "The leaf weight is estimated from its construction at 100 lb.",
        "Send the weight from the door maker to replace the estimate.",
        "from memory, not read",
    ),
    FindingNote(
        "warn",
        "Set to 5 lbf the closer may not latch against a draft of 10 Pa.",
        "Check the latch with the ventilation running, or ask for a power operator.",
        "ANSI/BHMA A156.4, note on opening force (from memory, not read)",
    ),
    FindingNote(
        "released",
        "The reveal is deeper than the arms serve.",
        "",
        "IBC 2024, 716.2.6",
    ),
)
STOP = "This fire door still needs positive latching hardware, which is not in the kit."
KINDS = 90  # of kits, before the first comes again
CAUTIONS = (
    "Fire, egress and accessible doors protect lives: codes, listings and licensed people decide.",
    "Forces and angles are calculated. Check every opening with a gauge after setting.",
    "Follow the template in the maker's box where it differs from this paper.",
    "A closer holds a loaded spring: never open its body. Support the leaf while you work.",
)
TERMS = (
    "Prices are net, for the quantities shown, and do not include freight or taxes.",
    "Payment is due 30 days after the invoice date.",
    "Items marked as back-ordered ship when the maker delivers.",
)


@dataclass(frozen=True)
class Style:
    """What a test wants to vary."""

    currency: str = "USD"
    locale: str = "en_US"
    page_size: PageSize = PageSize.LETTER
    note: str = ""


def make_head(style: Style = Style()) -> PaperHead:
    return PaperHead(
        letterhead=Letterhead(
            "Larkspur & Teal Door Supply",
            ("1480 Millrace Road, Unit 6", "Fennimore Bay, WA 00000"),
            "(555) 010-0142",
        ),
        number="Q-20417 rev. B",
        issued=date(2026, 11, 25),
        customer="Brindle & Quay General Builders",
        customer_address=("22 Cooper's Yard", "Fennimore Bay, WA 00000"),
        job="Ternhaven School, east addition and gymnasium",
        prepared_by="M. Aldous",
        locale=style.locale,
        page_size=style.page_size,
    )


def make_mark(index: int) -> str:
    return f"{101 + index}{'AB'[index % 2] if index % 9 == 4 else ''}"


def make_quote_line(index: int, step: int, currency: str) -> QuoteLine:
    sku, description, price = ITEMS[(index + step) % len(ITEMS)]
    quantity = 2 if (index + step) % 7 == 3 else 1
    net = Money(price, currency).times(quantity)
    return QuoteLine(sku, description, "689" if step < 6 else "", quantity, net)


def make_quote_kit(index: int, style: Style = Style()) -> QuoteKit:
    """The kit of one opening. Kinds vary with the index: short and long kits, missing pieces,
    notes; each KINDS openings the same comes again."""
    kind = index % KINDS
    lines = tuple(make_quote_line(kind, step, style.currency) for step in range(4 + kind % 5))
    each = Money(sum(line.net.minor for line in lines), style.currency)
    quantity = 1 + kind % 3
    mark = QuoteMark(
        mark=make_mark(index),
        quantity=quantity,
        size=SIZES[index % 4],
        summary=SUMMARIES[index % 4],
        note=style.note if index == 0 else "",
        checks=tuple(range(1, 1 + index % 3)),
    )
    return QuoteKit(
        places=mark.mark,
        quantity=quantity,
        leaves=2 if kind % 8 == 6 else 1,
        mount=MOUNTS[kind % 3],
        size_set=3 + kind % 2,
        finish="689",
        lines=lines,
        each=each,
        price=each.times(quantity),
        marks=(mark,),
        missing=(
            (MissingPiece("Soffit bracket", 1, "none in the catalogue fits this body in 689"),)
            if kind % 11 == 5
            else ()
        ),
    )


def grouped(kits: Sequence[QuoteKit], every: Sequence[str]) -> tuple[QuoteKit, ...]:
    """Kits that are the same, once, with all their marks."""
    found: dict[QuoteKit, list[QuoteKit]] = {}
    for kit in kits:
        bare = replace(kit, places="", quantity=0, price=kit.each, marks=())
        found.setdefault(bare, []).append(kit)
    together = []
    for bare, group in found.items():
        marks = tuple(mark for kit in group for mark in kit.marks)
        count = sum(mark.quantity for mark in marks)
        places = ranges_text([mark.mark for mark in marks], every)
        price = bare.each.times(count)
        together.append(replace(bare, places=places, quantity=count, price=price, marks=marks))
    return tuple(together)


def make_quote(count: int, style: Style = Style(), *, alone: bool = False) -> QuotePaper:
    """alone: each opening's kit is written for itself, however many are alike."""
    kits = [make_quote_kit(index, style) for index in range(count)]
    every = [make_mark(index) for index in range(count)]
    sound = [kit for kit in kits if not kit.missing]
    loose = [kit for kit in kits if kit.missing]
    total = Money(sum(kit.price.minor for kit in sound), style.currency)
    nothing = Money.zero(style.currency)
    why = "Missing: 1 × soffit bracket: none in the catalogue fits this body in 689"
    return QuotePaper(
        head=make_head(style),
        valid_until=date(2026, 12, 25),
        kits=tuple(sound) if alone else grouped(sound, every),
        open_kits=tuple(loose) if alone else grouped(loose, every),
        open=tuple(
            OpenOpenings(kit.places, kit.quantity, (kit.marks[0].size,), (why,))
            for kit in (loose if alone else grouped(loose, every))
        ),
        open_places=ranges_text([mark.mark for kit in loose for mark in kit.marks], every),
        totals=Totals(total, nothing, nothing, total, (), total),
        discount=Fraction(0),
        saved=nothing,
        firm=total,
        openings=sum(kit.quantity for kit in sound),
        leaves=sum(kit.quantity * kit.leaves for kit in sound),
        terms=TERMS,
        assumptions=(
            "Hollow metal leaves and steel frames are reinforced where the closer goes.",
            "Leaves are 1-3/4 in thick.",
        ),
        questions=(
            FrontQuestion(
                "Is the frame head reinforced for a closer?",
                (ranges_text(every[3::5], every),) if every[3::5] else (),
            ),
            FrontQuestion("Which edition of the building code applies?"),
        ),
        cautions=CAUTIONS,
        notes=tuple(QuoteNote(note) for note in FINDINGS),
        appendix=QuoteAppendix(
            fitting=tuple(Told(text) for text in (*WHY_MOUNT, *WHY_SIZE)),
            boxes=(Told("4 × wood screw"),),
            forces=(
                ForceTable(
                    ("opens with about", "latches against about"),
                    (Forces("", ("8.4 lbf at the handle", "19 Pa")),),
                ),
            ),
        ),
    )


def make_pick_opening(index: int) -> PickOpening:
    kit = make_quote_kit(index)
    (mark,) = kit.marks
    return PickOpening(
        mark=mark.mark,
        quantity=kit.quantity,
        bags=kit.quantity * kit.leaves,
        size=mark.size,
        mount=kit.mount,
        size_set=kit.size_set,
        lines=tuple(
            PickLine(
                line.sku,
                line.description,
                line.finish,
                f"{'ABC'[len(line.sku) % 3]}-{len(line.description) % 20:02d}-3",
                line.quantity,
                line.quantity * kit.quantity,
                1 if (index + step) % 13 == 0 else 0,
            )
            for step, line in enumerate(kit.lines)
        ),
        stops=(STOP,) if index % 4 == 3 else (),
        missing=kit.missing,
    )


def make_pick_list(count: int, style: Style = Style()) -> PickListPaper:
    every = [make_pick_opening(index) for index in range(count)]
    sound = tuple(opening for opening in every if not opening.stops and not opening.missing)
    return PickListPaper(
        make_head(style),
        gather_by_bin(sound),
        sound,
        sum(opening.bags for opening in sound),
        tuple(opening for opening in every if opening not in sound),
    )


def gather_by_bin(openings: tuple[PickOpening, ...]) -> tuple[BinLine, ...]:
    """The bags' lines, added up by bin and SKU, in the order of a walk along the bins."""
    lines: dict[tuple[str, str], list[tuple[str, PickLine]]] = {}
    for opening in openings:
        for line in opening.lines:
            lines.setdefault((line.bin, line.sku), []).append((opening.mark, line))
    return tuple(
        BinLine(
            bin=place,
            sku=sku,
            description=found[0][1].description,
            finish=found[0][1].finish,
            quantity=sum(line.quantity for _, line in found),
            short=sum(line.short for _, line in found),
            split=tuple((mark, line.take) for mark, line in found if line.take),
            waits=4,
        )
        for (place, sku), found in sorted(lines.items())
    )


def make_labels(count: int, style: Style = Style()) -> KitLabelsPaper:
    labels = []
    for index in range(count):
        opening = make_pick_opening(index)
        labels += [
            KitLabel(
                mark=opening.mark,
                bag=bag + 1,
                bags=opening.bags,
                size=opening.size,
                mount=opening.mount,
                size_set=opening.size_set,
                hand="LHR, hinges left from the pull side",
                contents=tuple(BagContent(line.sku, line.each) for line in opening.lines),
                finish="689",
                alerts=("FIRE DOOR, 90 MINUTES",) if index % 4 == 3 else (),
                held=bool(opening.stops or opening.missing),
                bag_id=str(BagId(20417, 2, index + 1, bag + 1)),
                card=0 if opening.stops or opening.missing else index + 100,
            )
            for bag in range(opening.bags)
        ]
    return KitLabelsPaper(make_head(style), tuple(labels))


def make_figures(price: int, cost: int, currency: str = "USD") -> Figures:
    rate = Fraction(price - cost, price) if price else None
    return Figures(
        Money(price, currency), Money(cost, currency), Money(price - cost, currency), rate,
        rate is not None and rate < Fraction(1, 5),
    )  # fmt: skip


def make_sheet(count: int, style: Style = Style()) -> InternalSheet:
    rows, kits = [], []
    for index in range(count):
        quote = make_quote_kit(index, style)
        (mark,) = quote.marks
        price = quote.price.minor
        cost = price * (62 + index % 25) // 100
        figures = make_figures(price, cost, style.currency)
        rows.append(
            OpeningFigures(
                mark.mark,
                quote.quantity,
                mark.size,
                quote.mount,
                figures,
                OpeningStanding.INCOMPLETE if quote.missing else OpeningStanding.FIRM,
            )
        )
        line = quote.lines[0]
        mine = SheetLine(
            line.sku, line.description, "Tarrel Works", line.quantity, line.net,
            Fraction(11, 20), line.net, Cost(line.net.minor * 60, style.currency),
            figures, "matched a bid" if index == 0 else "",
        )  # fmt: skip
        kits.append(
            SheetKit((mark.mark,), mark.size, quote.mount, quote.size_set, (mine,), figures)
        )
    total = make_figures(
        sum(row.figures.price.minor for row in rows),
        sum(row.figures.cost.minor for row in rows),
        style.currency,
    )
    nothing = Money.zero(style.currency)
    waiting = Money(ITEMS[2][2] * 5, style.currency)
    when = datetime(2026, 11, 25, 9, tzinfo=UTC)
    return InternalSheet(
        head=make_head(style),
        draft=False,
        firm=total,
        held=None,
        firm_gross=total.price,
        total=total,
        uncosted=nothing,
        freight=nothing,
        tax=nothing,
        gross=total.price,
        discount=Fraction(5, 100),
        reason="a large job",
        saved=nothing,
        floor=Fraction(1, 5),
        floor_today=False,
        openings=tuple(rows),
        kits=tuple(kits),
        suppliers=(SupplierFigures("Tarrel Works", 9, total),),
        extras=(SheetExtra("Hinges, pair", 3, "", Money(6_750, style.currency), None),),
        alternates=(),
        overrides=(Decision("101", "price set", "matched a bid", "ines", when),),
        releases=(),
        approvals=(),
        open_stops=(),
        facts=(),
        basis="Priced on the Tarrel catalogue.",
        shorts=(ShortStock(ITEMS[2][0], ITEMS[2][1], 12, 7, 5, 21, waiting, ("101", "104")),),
        exposure=waiting,
        waiting=3,
    )


DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 120" width="64mm" height="24mm">'
    '<g fill="none" stroke="#000"><path d="M10 60h40v20h-40zM270 60h40v20h-40z"/>'
    '<path d="M50 62h220v12h-220z"/><path d="M90 62v-16h60v16M104 46 180 20 230 56"/></g></svg>'
)


def make_setting(index: int) -> Setting:
    quote = make_quote_kit(index)
    (mark,) = quote.marks
    placing, steps = steps_of(
        Fitting(
            Mount.PARALLEL,
            "2-1/8 in",
            "5-3/4 in",
            size_to_set=quote.size_set,
            limit="5 lbf" if index % 2 else "",
            timed=index % 2 == 1,
            stop_at="110°" if index % 5 == 0 else "",
            backcheck=index % 2 == 0,
            delayed_action=index % 3 == 1,
        ),
        RULES,
    )
    return Setting(
        title=f"{quote.mount}, size {quote.size_set}, {mark.size}",
        marks=(mark.mark, make_mark(index + 20)),
        quantities=(quote.quantity, 1),
        summary=mark.summary,
        parts=(
            Part("closer body", "TRL-K7-BODY-689"),
            Part("main arm, forearm", "TRL-K7-ARM-PA"),
        ),
        mount=quote.mount,
        hand="LHR, hinges at the left seen from the pull side",
        template=f"k7-parallel-{index}",
        size_set=quote.size_set,
        opening_degrees=110,
        placing=tuple(Step(*step) for step in placing),
        steps=tuple(Step(*step) for step in steps),
        positions=(
            Position("upper body holes", "2-1/8 in", "top of leaf, down"),
            Position("nearest body holes", "5-3/4 in", "hinge centre line"),
            Position("pinion", "10-1/4 in", "hinge centre line"),
        ),
        fasteners=(
            Screws("4 machine screws for the body", "drill Ø No. 7 (.201 in), tap 1/4-20", True),
            Screws("4 machine screws for the bracket"),
        ),
        fire=FIRE if index % 4 == 3 else "",
        questions=("reveal assumed: 4 in",) if index % 3 == 0 else (),
        readings=(
            GaugeReading("Force to open, lbf", "at most 5"),
            GaugeReading("Closing from 90°, seconds"),
        ),
        calculated=(("force at the handle to set in motion", "9.1 lbf (40 N)"),),
        warnings=(MAY_NOT_LATCH,) if index % 2 else (),
        cautions=CAUTIONS,
        practice=PRACTICE,
        elevation=DRAWING,
        plan=DRAWING if index % 2 == 0 else "",
    )


def make_setting_cards(count: int, style: Style = Style()) -> SettingCardPaper:
    settings = [make_setting(index) for index in range(count)]
    every = tuple(mark for setting in settings for mark in setting.marks)
    return SettingCardPaper(make_head(style), shared_pages(settings, every))
