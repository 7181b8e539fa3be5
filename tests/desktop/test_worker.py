"""The runner: newest wins, stale work never shows, errors are never lost, nothing is left running."""

import logging
import threading
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt

from shortgame_gui.desktop.jobs import Cancelled, Progress
from shortgame_gui.desktop.worker import Runner


@pytest.fixture
def runner(qapp: Any) -> Iterator[Runner]:
    made = Runner("test worker")
    yield made
    made.close()


class Slow:
    """A job that says when it began and ends when told to."""

    def __init__(self, answer: str) -> None:
        self.answer = answer
        self.began, self.go = threading.Event(), threading.Event()
        self.saw_cancel = False

    def __call__(self, progress: Progress, cancelled: Cancelled) -> str:
        self.began.set()
        assert self.go.wait(10)
        self.saw_cancel = cancelled()
        return self.answer


def test_result_arrives_on_the_thread_of_the_window(runner: Runner, qtbot: Any) -> None:
    seen = []
    runner.finished.connect(lambda request, result: seen.append((request, result, threading.get_ident())))
    with qtbot.waitSignal(runner.idle):
        asked = runner.ask(lambda progress, cancelled: "answer")
        assert runner.busy
    assert seen == [(asked, "answer", threading.get_ident())]
    assert not runner.busy


def test_newest_wins_and_the_stale_result_is_dropped(runner: Runner, qtbot: Any) -> None:
    got: list[str] = []
    runner.finished.connect(lambda request, result: got.append(result))
    first, second, third = Slow("first"), Slow("second"), Slow("third")
    runner.ask(first)
    assert first.began.wait(10)
    runner.ask(second)  # waits while the first still runs, and is overtaken by the third
    runner.ask(third)
    for job in (first, second, third):
        job.go.set()
    assert runner.wait_until_idle()
    assert got == ["third"]
    assert first.saw_cancel
    assert not second.began.is_set()
    assert not third.saw_cancel


def test_result_that_was_sent_but_not_yet_seen_is_dropped_too(runner: Runner, qtbot: Any) -> None:
    got: list[str] = []
    runner.finished.connect(lambda request, result: got.append(result))
    sent = threading.Event()
    on_its_way = runner._reported.connect(lambda *report: sent.set(), Qt.ConnectionType.DirectConnection)
    runner.ask(lambda progress, cancelled: "first")
    assert sent.wait(10)  # the report of the first lies in the event queue, unread
    runner._reported.disconnect(on_its_way)
    runner.ask(lambda progress, cancelled: "second")
    assert runner.wait_until_idle()
    assert got == ["second"]


def test_cancelled_request_says_nothing_more(runner: Runner, qtbot: Any) -> None:
    got: list[str] = []
    runner.finished.connect(lambda request, result: got.append(result))
    runner.failed.connect(lambda request, error: got.append("error"))
    job = Slow("late")
    runner.ask(job)
    assert job.began.wait(10)
    with qtbot.waitSignal(runner.idle):
        runner.cancel()
    job.go.set()
    runner.ask(lambda progress, cancelled: "next")
    assert runner.wait_until_idle()
    assert job.saw_cancel
    assert got == ["next"]


def test_error_is_reported_and_logged_and_the_runner_goes_on(
    runner: Runner, qtbot: Any, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(progress: Progress, cancelled: Cancelled) -> None:
        raise ValueError("no such green")

    with caplog.at_level(logging.ERROR), qtbot.waitSignal(runner.failed) as caught:
        runner.ask(broken)
    assert str(caught.args[1]) == "no such green"
    assert "no such green" in caplog.text
    with qtbot.waitSignal(runner.finished) as answered:
        runner.ask(lambda progress, cancelled: 7)
    assert answered.args[1] == 7


def test_progress_is_reported_but_not_in_a_flood(runner: Runner, qtbot: Any) -> None:
    shares: list[float] = []
    runner.progressed.connect(lambda request, share: shares.append(share))

    def busy(progress: Progress, cancelled: Cancelled) -> int:
        for k in range(1000):
            progress(k / 1000)
        return 1

    runner.ask(busy)
    assert runner.wait_until_idle()
    assert shares[0] == 0.0
    assert len(shares) < 500


def test_an_answer_may_ask_the_next_question(runner: Runner, qtbot: Any) -> None:
    got: list[str] = []

    def again(request: int, result: str) -> None:
        got.append(result)
        if result == "coarse":
            runner.ask(lambda progress, cancelled: "fine")

    runner.finished.connect(again)
    runner.ask(lambda progress, cancelled: "coarse")
    assert runner.wait_until_idle()
    assert got == ["coarse", "fine"]


def test_closing_ends_the_thread_in_the_middle_of_a_job(qapp: Any) -> None:
    runner = Runner("closing")
    began = threading.Event()

    def patient(progress: Progress, cancelled: Cancelled) -> None:
        began.set()
        while not cancelled():
            pass

    runner.ask(patient)
    assert began.wait(10)
    runner.close()
    runner.close()
    assert "closing" not in {thread.name for thread in threading.enumerate()}
    with pytest.raises(RuntimeError, match="closed"):
        runner.ask(patient)


def test_waiting_gives_up_when_the_time_is_out(runner: Runner, qtbot: Any) -> None:
    job = Slow("never")
    runner.ask(job)
    assert not runner.wait_until_idle(1)
    job.go.set()
