"""The line between both processes of the engine, here between two threads: asked, busy, failed and dead."""

import multiprocessing
import threading
from collections.abc import Callable, Iterator
from functools import partial
from operator import truediv

import numpy as np
import pytest

from shortgame_gui.advice.score import Baseline
from shortgame_gui.desktop.pair import Pair

divide: Callable[[float, float], float] = truediv


@pytest.fixture
def ends() -> Iterator[tuple[Pair, Pair]]:
    ours, theirs = multiprocessing.Pipe()
    with ours, theirs:
        yield Pair(ours), Pair(theirs)


def idle(pair: Pair) -> threading.Thread:
    """A thread that answers until the line ends, as a process without a job does."""

    def answer() -> None:
        while pair.line is not None:
            pair.answer()

    thread = threading.Thread(target=answer, daemon=True)
    thread.start()
    return thread


def begun(pair: Pair, work: Callable[[], float]) -> Callable[[], float | None]:
    """``work`` sent by ``pair``; an idle thread may need more than one moment on a full machine."""
    for _ in range(2_000):
        there = pair.begin(work)
        if there is not None:
            return there
    raise AssertionError("nobody said yes")


def test_an_idle_one_does_the_work(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    idle(theirs)
    for number in range(1, 4):
        assert begun(ours, partial(divide, 6.0, number))() == 6.0 / number


def test_the_table_of_scores_is_sent_once_and_work_meets_its_own(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    idle(theirs)
    tables = [Baseline(np.full((4, 50_000), k), np.zeros((4, 50_000)), k) for k in (1.0, 2.0)]
    for table in (tables[0], tables[0], tables[1], tables[0]):
        assert begun(ours, partial(getattr, table, "penalty"))() == table.penalty
        assert len(ours._packed(partial(getattr, table, "penalty"))) < 1_000


def test_a_busy_one_is_not_waited_for_and_what_it_says_late_is_not_taken_for_an_answer(
    ends: tuple[Pair, Pair],
) -> None:
    ours, theirs = ends
    for _ in range(3):
        assert ours.begin(partial(divide, 1.0, 2.0)) is None
    idle(theirs)
    assert begun(ours, partial(divide, 1.0, 4.0))() == 0.25


def test_both_busy_ask_each_other_and_both_go_on(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    assert theirs.begin(partial(divide, 1.0, 2.0)) is None
    assert ours.begin(partial(divide, 1.0, 2.0)) is None
    idle(theirs)
    assert begun(ours, partial(divide, 1.0, 8.0))() == 0.125


def test_work_that_comes_when_one_has_become_busy_is_sent_back(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    helper = threading.Thread(target=theirs.answer)  # it says yes, and then has a job of its own
    helper.start()
    there = begun(ours, partial(divide, 1.0, 2.0))
    helper.join()
    assert theirs.begin(partial(divide, 1.0, 4.0)) is None
    assert there() is None


def test_an_outcome_waits_for_who_asked_for_it(ends: tuple[Pair, Pair]) -> None:
    """More is asked meanwhile: refused while the other is at work, else done; each has its outcome."""
    ours, theirs = ends
    helper = threading.Thread(target=theirs.answer)  # says yes
    helper.start()
    first = begun(ours, partial(divide, 1.0, 2.0))
    helper.join()
    assert ours.begin(partial(divide, 1.0, 4.0)) is None  # it has the first to do
    theirs.answer()
    idle(theirs)
    second = begun(ours, partial(divide, 1.0, 8.0))
    third = begun(ours, partial(divide, 1.0, 0.0))
    assert (third(), second(), first(), first()) == (None, 0.125, 0.5, 0.5)
    begun(ours, partial(divide, 1.0, 2.0))  # nobody wants its outcome
    assert begun(ours, partial(divide, 1.0, 16.0))() == 0.0625


def test_work_that_fails_comes_to_nothing(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    idle(theirs)
    assert begun(ours, partial(divide, 1.0, 0.0))() is None
    assert begun(ours, partial(divide, 1.0, 2.0))() == 0.5


def test_one_that_dies_is_not_asked_again(ends: tuple[Pair, Pair]) -> None:
    ours, theirs = ends
    helper = threading.Thread(target=theirs.answer)
    helper.start()
    there = begun(ours, partial(divide, 1.0, 2.0))
    helper.join()
    assert theirs.line is not None
    theirs.line.close()
    assert there() is None
    assert ours.line is None
    assert ours.begin(partial(divide, 1.0, 2.0)) is None
