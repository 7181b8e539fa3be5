"""The advisor: edits ask anew, an answer to an old question never shows, errors are told in words."""

import threading
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from shortgame_gui.advice.result import Advice
from shortgame_gui.desktop.advisor import Advisor, ask_engine
from shortgame_gui.desktop.jobs import Cancelled, Job, Progress
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.store.documents import packaged_bag


class Engine:
    """Answers with the green speed that it was asked about; can be held back until it is let go."""

    def __init__(self, answer: Advice) -> None:
        self.answer = answer
        self.asked: list[Document] = []
        self.began, self.go = threading.Event(), threading.Event()
        self.go.set()

    def __call__(self, document: Document) -> Job:
        self.asked.append(document)

        def job(progress: Progress, cancelled: Cancelled) -> Advice:
            self.began.set()
            progress(0.25)
            assert self.go.wait(10)
            return replace(self.answer, situation=document.situation)

        return job


@pytest.fixture
def engine(made_advice: Advice) -> Engine:
    return Engine(made_advice)


@pytest.fixture
def session(qapp: Any) -> Session:
    return Session()


@pytest.fixture
def advisor(session: Session, engine: Engine) -> Iterator[Advisor]:
    made = Advisor(session, engine)
    yield made
    made.close()


def test_an_edit_asks_and_the_answer_is_current(
    advisor: Advisor, session: Session, engine: Engine, qtbot: Any
) -> None:
    with qtbot.waitSignal(advisor.settled):
        session.edit("green.speed", 3.3, "Green speed")
        assert advisor.busy
        assert not session.current
    assert session.current
    assert session.advice is not None
    assert session.advice.situation.green.speed == 3.3
    assert not advisor.busy


def test_a_drag_asks_once_it_rests(advisor: Advisor, session: Session, engine: Engine, qtbot: Any) -> None:
    with qtbot.waitSignal(advisor.settled):
        for step in range(10):
            session.edit("green.speed", 3.0 + 0.05 * step, "Green speed", gesture=1)
    assert len(engine.asked) == 1
    assert session.advice is not None
    assert session.advice.situation == session.situation


def test_a_stale_answer_never_shows(advisor: Advisor, session: Session, engine: Engine, qtbot: Any) -> None:
    shown: list[float] = []

    def note() -> None:
        if session.current and session.advice is not None:
            shown.append(session.advice.situation.green.speed)

    session.advice_changed.connect(note)
    engine.go.clear()
    with qtbot.waitSignal(advisor.working, check_params_cb=lambda share: share == 0.25):
        session.edit("green.speed", 3.1, "Green speed")
    assert engine.began.is_set()
    with qtbot.waitSignal(advisor.settled):
        session.edit("green.speed", 3.2, "Green speed")
        engine.go.set()  # both questions are answered now; only the second may be heard
    assert shown == [3.2]


def test_a_name_asks_nothing(advisor: Advisor, session: Session, engine: Engine, qtbot: Any) -> None:
    with qtbot.waitSignal(advisor.settled):
        advisor.start()
    session.edit("name", "Behind the pond", "Name")
    assert session.current
    assert not advisor.busy
    assert len(engine.asked) == 1


def test_an_error_is_told(session: Session, qtbot: Any, caplog: pytest.LogCaptureFixture) -> None:
    def broken(document: Document) -> Job:
        def job(progress: Progress, cancelled: Cancelled) -> None:
            raise ArithmeticError("no way down")

        return job

    advisor = Advisor(session, broken)
    try:
        told: list[str] = []
        advisor.failed.connect(told.append)
        with qtbot.waitSignal(advisor.settled):
            advisor.start()
        assert len(told) == 1
        assert "no way down" in told[0]
        assert "no way down" in caplog.text
        assert session.advice is None
    finally:
        advisor.close()


def test_the_real_engine_answers_through_the_runner(qapp: Any) -> None:
    clubs = tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge"))
    session = Session(Document(Session().situation, type(packaged_bag())(clubs=clubs)))
    advisor = Advisor(session, ask_engine)
    shares: list[float] = []
    advisor.working.connect(shares.append)
    try:
        advisor.start()
        assert advisor.runner.wait_until_idle(60_000)
    finally:
        advisor.close()
    assert session.current
    assert session.advice is not None
    assert {shot.club.name for shot in session.advice.shots} <= {club.name for club in clubs}
    assert len(shares) > 1
    assert shares == sorted(shares)
