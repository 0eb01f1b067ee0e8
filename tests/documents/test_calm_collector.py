"""How often the cyclic collector comes is the process's: pages laid out in several threads at once
leave it as they found it, and what a server froze stays frozen."""

import gc
import subprocess
import sys
import threading
from contextlib import AbstractContextManager

from hypothesis import given
from hypothesis import strategies as st

from wholekit.documents.layout import calm_collector


@given(st.permutations([0, 0, 1, 1, 2, 2]))
def test_thresholds_are_back_when_the_last_of_several_ends_and_not_before(turns: list[int]) -> None:
    # Each number's first turn begins its calm, its second ends it: every order in which three
    # papers of one process may overlap.
    before = gc.get_threshold()
    at_work: dict[int, AbstractContextManager[None]] = {}
    for number in turns:
        if number in at_work:
            at_work.pop(number).__exit__(None, None, None)
        else:
            at_work[number] = calm_collector()
            at_work[number].__enter__()
        assert (gc.get_threshold() != before) is bool(at_work)


def test_threads_that_overlap_leave_the_collector_as_it_was() -> None:
    before, together = gc.get_threshold(), threading.Barrier(8)

    def lay_out() -> None:
        together.wait()
        for _ in range(200):
            with calm_collector():
                assert gc.get_threshold() != before

    threads = [threading.Thread(target=lay_out) for _ in range(8)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert gc.get_threshold() == before


# In a process of its own: among tests nothing is frozen (see conftest).
SERVER = """
import gc
from wholekit.documents.layout import calm_collector

def walked(thing):  # what is frozen is not among the objects that the collector walks
    return any(each is thing for each in gc.get_objects())

loaded = []
print(walked(loaded))
gc.freeze()
with calm_collector():
    print(walked(loaded))
print(walked(loaded))
"""


def test_what_a_server_froze_stays_frozen() -> None:
    done = subprocess.run(
        [sys.executable, "-c", SERVER], check=True, capture_output=True, text=True
    )
    assert done.stdout.split() == ["True", "False", "False"]
