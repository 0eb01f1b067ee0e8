"""An amount beside an answer names its openings wherever it is not for all that are asked about."""

from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.openings import marks_named
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.asking import Answer, Asking, Change, JobQuestion
from wholekit.wording.questions import brief_answers

EVERY = tuple(str(number) for number in range(101, 113))


@given(st.sets(st.sampled_from(EVERY), min_size=1), st.data())
def test_an_amount_of_fewer_openings_than_are_asked_about_names_them(asked, data):
    priced = data.draw(st.sets(st.sampled_from(sorted(asked)), min_size=1))
    dearer = Change(tuple(sorted(priced)), len(priced), Money(1450, "USD"))
    question = JobQuestion(
        "egress", "", tuple(sorted(asked)), len(asked), (Answer("yes", (dearer,)),)
    )
    ((value, text),) = brief_answers(question, Asking((), (), EVERY))
    assert value == "yes"
    assert "+14.50 USD each" in text
    named = text.partition("(")[2].rpartition(")")[0].replace("–", "-")
    if priced == asked:
        assert named == ""
        return
    found = marks_named(named.split(", "), list(EVERY))[0]
    assert set(found) == priced
