"""Taxes and freight rates as the command line writes them."""

import pytest

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import QuantityError
from wholekit.intake.rates import read_freights, read_tax
from wholekit.wording.errors import say_error
from wholekit.wording.problems import say_quantity_error


def refusal(call, *arguments):
    """The sentence somebody reads."""
    try:
        call(*arguments)
    except CallError as error:
        return say_error(error)
    except QuantityError as error:
        return say_quantity_error(error)
    pytest.fail("it was taken")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("45", ("freight", 4_500, "0", None)),
        ("3%", ("freight", 0, "3/100", None)),
        ("parcel=12.50", ("parcel", 1_250, "0", None)),
        ("dock truck=45.00+3%, free from 2000", ("dock truck", 4_500, "3/100", 200_000)),
        ("dock  truck = 2.5% + 45, FREE  FROM 2000", ("dock truck", 4_500, "1/40", 200_000)),
        ("pallet=1%,free from 0.5", ("pallet", 0, "1/100", 50)),
        ("collected=0", ("collected", 0, "0", None)),
    ],
)
def test_a_freight_rate_is_an_amount_a_share_or_both(text, wanted):
    (rate,) = read_freights([text], "USD", None, None)
    free = None if rate.free_from is None else rate.free_from.minor
    assert (rate.name, rate.flat.minor, str(rate.share), free) == wanted


def test_rates_keep_the_order_they_are_given_in():
    texts = ("parcel=12", "crane=90", "45")
    rates = read_freights(texts, "CAD", None, None)
    assert [rate.name for rate in rates] == ["parcel", "crane", "freight"]
    assert {rate.flat.currency for rate in rates} == {"CAD"}
    assert read_freights((), "USD", None, None) == ()


def test_a_share_beside_a_plain_amount_or_alone_is_the_one_rate():
    (rate,) = read_freights(["45"], "USD", "3%", "2000")
    assert rate == read_freights(["45+3%, free from 2000"], "USD", None, None)[0]
    (share,) = read_freights((), "USD", "3%", None)
    assert share == read_freights(["3%"], "USD", None, None)[0]


@pytest.mark.parametrize(
    ("texts", "beside", "words"),
    [
        (["truck="], (None, None), "truck= is no freight rate; right would be an amount"),
        (["=45"], (None, None), "'dock truck=45.00+3%'"),
        (["truck=dear"], (None, None), "is no freight rate"),
        (["truck=45+12"], (None, None), "is no freight rate"),
        (["truck=3%+4%"], (None, None), "is no freight rate"),
        (["truck=45+"], (None, None), "is no freight rate"),
        (["truck=45, free from"], (None, None), "is no freight rate"),
        (["truck=45, free from 2,000"], (None, None), "2,000 is not an amount"),
        (["truck=45.005"], (None, None), "more than 2 decimals"),
        (["truck=-45"], (None, None), "below zero"),
        (["truck=1"], ("3%", None), "not with truck=1; write it in one"),
        (["1", "2"], (None, "9"), "one plain amount only"),
        ([], (None, "2000"), "an amount, a share of the hardware, or both"),
    ],
)
def test_a_freight_rate_that_cannot_be_says_what_would_be_right(texts, beside, words):
    assert words in refusal(read_freights, texts, "USD", *beside)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("vat=5%:hrdware", "hrdware is no kind of line that is taxed; there are hardware, "),
        ("vat=5%:hardware,fright", "fright is no kind of line that is taxed; there are freight, "),
        ("vat", "NAME=RATE"),
        ("=5%", "NAME=RATE"),
        ("vat=5%:", "NAME=RATE:KINDS"),
        ("vat=high", "high is not a share"),
    ],
)
def test_a_tax_that_cannot_be_says_what_would_be_right(text, words):
    assert words in refusal(read_tax, text, None)


def test_a_tax_holds_for_the_kinds_named():
    assert read_tax("gst = 5%: Hardware , freight", None).kinds == {"hardware", "freight"}
    assert read_tax("gst=0.05", None).kinds == frozenset()
