"""An allocation and its weights as people read them."""

import doctest
from dataclasses import replace
from pathlib import Path

import pytest
from tests.support.house import RULES

from wholekit.domain.allocation import (
    Allocation,
    Given,
    HowFound,
    WaitingKit,
    weight_of,
    why_weight,
)
from wholekit.wording.allocation import (
    say_choice,
    say_counts,
    say_instead,
    say_lacking,
    say_short,
    say_waiting,
)
from wholekit.wording.reasons import say_reason
from wholekit.wording.speech import speaking

PAGE = Path(__file__).parents[2] / "docs" / "allocation.md"
ARM, CLOSER, EQUAL = ("maker", "A-4"), ("maker", "C-1"), ("maker", "C-2")
OTHERS_ARM = ("another", "A-4")
ANSWER = Allocation(
    chosen=(Given("12/1-1", ((ARM, ARM, 1), (CLOSER, EQUAL, 2))),),
    waiting=(WaitingKit("12/1-2", ((ARM, 1), (CLOSER, 2))), WaitingKit("12/1-3", ((CLOSER, 1),))),
    value=8,
    bound=20,
    first_come=4,
    greedy=8,
    total=24,
    lacking=((ARM, 2), (CLOSER, 3)),
    found=HowFound.TIME,
)


def told(locale: str) -> list[str]:
    with speaking(locale):
        return [
            say_counts(1, 2),
            say_choice(ANSWER),
            *map(say_waiting, ANSWER.waiting),
            say_lacking(ANSWER),
            say_instead(ANSWER.chosen[0]),
        ]


def test_an_answer_is_told_whole_in_each_language():
    assert told("en") == [
        "1 bag is promised all it lacked; 2 bags wait for goods.",
        (
            "By weight the choice comes to 8 of at most 20, 60.0 % under; first come would be 4, "
            "scarcest first 8. The time for the search ran out; another choice could reach 20."
        ),
        "12/1-2 waits for A-4 (1 short) and C-1 (2 short)",
        "12/1-3 waits for C-1 (1 short)",
        "For all that wait there must come: 2 A-4 and 3 C-1",
        "2 C-2 in place of C-1",
    ]
    assert told("fr_CA") == [
        "1 sac reçoit tout ce qui lui manquait; 2 sacs attendent des articles.",
        (
            "Par poids, le choix vaut 8 sur au plus 20, 60,0\xa0% en dessous; par ordre d'arrivée "
            "4, le plus rare d'abord 8. Le temps de recherche est écoulé; un autre choix pourrait "
            "atteindre 20."
        ),
        "12/1-2 attend A-4 (il en manque 1) et C-1 (il en manque 2)",
        "12/1-3 attend C-1 (il en manque 1)",
        "Pour tout ce qui attend il faut recevoir\xa0: 2 A-4 et 3 C-1",
        "2 C-2 à la place de C-1",
    ]
    assert told("es_MX")[2] == "12/1-2 espera A-4 (faltan 1) y C-1 (faltan 2)"


def test_nothing_is_compared_where_there_was_nothing_to_choose():
    fits = replace(ANSWER, waiting=(), value=8, bound=8, total=8, found=HowFound.ALL_FIT)
    assert say_choice(fits) == ""
    assert say_choice(replace(ANSWER, chosen=())) == ""
    assert say_counts(3, 0) == "3 bags are promised all they lacked; none waits."
    assert say_counts(0, 1) == "No bag can be made whole; 1 bag waits for goods."


def test_two_makers_of_one_sku_are_told_apart_and_a_long_list_is_cut():
    assert (
        say_short(((ARM, 1), (OTHERS_ARM, 2)))
        == "A-4 (maker) (1 short) and A-4 (another) (2 short)"
    )
    many = tuple((("maker", f"X-{n}"), 1) for n in range(9))
    assert say_short(many).endswith("X-5 (1 short) and 3 more")


@pytest.mark.parametrize(
    ("priority", "days", "said"),
    [
        (0, 1, "weighs 16: 8 for a promise due in 1 working day, times 2 for priority 0"),
        (2, -3, "weighs 96: 12 for a promise that is 3 working days late, times 8 for priority 2"),
        (-1, None, "weighs 2: 2 without a promise, times 1 for priority -1"),
    ],
)
def test_why_a_bag_weighs_what_it_weighs(priority, days, said):
    why = why_weight(RULES, priority, days)
    assert say_reason(why) == said
    rule = "promise-weight-later" if days is None else "promise-weights"
    assert why.rules == (rule, "priority-times")


def test_the_example_of_the_page_holds():
    found = doctest.testfile(str(PAGE), module_relative=False)
    assert found.attempted > 5
    assert found.failed == 0


def test_the_page_shows_the_weights_of_the_rules():
    page = PAGE.read_text(encoding="utf-8")
    weights = [*(row["weight"] for row in RULES.rows("promise-weights"))]
    later = RULES.whole("promise-weight-later")
    assert f"| {' | '.join(map(str, [*weights, later]))} |" in page
    times = [weight_of(RULES, priority, None) // later for priority in range(-1, 3)]
    assert f"| times | {' | '.join(map(str, times))} |" in page
