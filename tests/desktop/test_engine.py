"""The engine's processes: answers, errors, giving up, a death in mid job, and their end with the window.

The other tests of the window run its jobs on threads, which is quicker; here real processes do.
"""

import multiprocessing
import pickle
from collections.abc import Iterator
from dataclasses import fields
from functools import partial
from typing import Any

import numpy as np
import pytest
from PySide6.QtWidgets import QApplication

from shortgame_gui.advice.advise import Cancelled
from shortgame_gui.desktop import app, jobs
from shortgame_gui.desktop.advisor import Advisor, ask_engine
from shortgame_gui.desktop.engine import CANCEL, Engine, EngineDied, GivenUp, _answer, _sendable
from shortgame_gui.desktop.jobs import Job
from shortgame_gui.desktop.session import Document, Session
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.model.club import Bag
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag

BAG = Bag(clubs=tuple(c for c in packaged_bag().clubs if c.name in ("putter", "sand wedge")))


def job() -> Job:
    return ask_engine(Document(Situation(), BAG))


def wanted() -> bool:
    return False


def ignore(share: float) -> None:
    pass


def kill_engine() -> None:
    """What a crash or the system does to a process: it ends at once and says nothing."""
    for process in multiprocessing.active_children():
        process.kill()
        process.join()


@pytest.fixture(scope="module")
def engine() -> Iterator[Engine]:
    made = Engine()
    yield made
    made.close()
    assert not multiprocessing.active_children()


def test_the_answer_is_that_of_the_same_job_on_a_thread(engine: Engine) -> None:
    shares: list[float] = []
    there = engine.run(job(), shares.append, wanted)
    here = jobs.run_here(job(), ignore, wanted)
    assert len(shares) > 1
    assert shares == sorted(shares)
    assert there.shots
    for one, other in zip(there.shots, here.shots, strict=True):
        assert np.array_equal(one.finishes, other.finishes)
        for name in {f.name for f in fields(one)} - {"finishes", "landings", "left", "track"}:
            told, expected = getattr(one, name), getattr(other, name)
            if isinstance(expected, float) or name in ("landing", "finish_aim", "half"):
                # Where arrays lie in memory may round a figure otherwise.
                expected = pytest.approx(expected, rel=1e-9, abs=1e-9)
            assert told == expected, name


def test_the_answer_is_the_same_where_two_processes_share_the_work(engine: Engine) -> None:
    engine.run(job(), ignore, wanted)  # the second process starts when the first answer is there
    assert all(helper.process is not None for helper in engine._helpers)
    here = jobs.run_here(job(), ignore, wanted)
    for _ in range(3):  # alone while the second one still loads, then shared
        there = engine.run(job(), ignore, wanted)
        for one, other in zip(there.shots, here.shots, strict=True):
            assert one.finishes == pytest.approx(other.finishes, rel=1e-9, abs=1e-9)
            assert one.behind_best == pytest.approx(other.behind_best, abs=1e-9)


def test_what_the_job_raises_is_raised_and_says_where(engine: Engine) -> None:
    with pytest.raises(AttributeError) as caught:
        engine.run(partial(jobs.advice, None, None), ignore, wanted)  # type: ignore[arg-type]
    assert "advise.py" in "".join(caught.value.__notes__)


def test_a_job_that_cannot_be_sent_is_told_so(engine: Engine) -> None:
    with pytest.raises((pickle.PicklingError, AttributeError)):
        engine.run(lambda progress, cancelled: 1, ignore, wanted)


def test_a_job_given_up_ends_soon_and_the_next_is_answered(engine: Engine) -> None:
    shares: list[float] = []
    with pytest.raises(Cancelled):
        engine.run(job(), shares.append, lambda: bool(shares))
    assert engine.run(job(), ignore, wanted).shots


def test_a_process_that_dies_is_replaced_and_the_job_is_answered(engine: Engine) -> None:
    deaths: list[float] = []

    def die_once(share: float) -> None:
        if not deaths:
            deaths.append(share)
            kill_engine()

    assert engine.run(job(), die_once, wanted).shots
    assert deaths
    kill_engine()  # this time between two jobs
    assert engine.run(job(), ignore, wanted).shots


def test_a_job_whose_processes_die_is_told_in_the_window(
    engine: Engine, qapp: QApplication, qtbot: Any, caplog: pytest.LogCaptureFixture
) -> None:
    def deadly(job: Job, progress: jobs.Progress, cancelled: jobs.Cancelled) -> Any:
        return engine.run(job, lambda share: kill_engine(), cancelled)

    advisor = Advisor(Session(Document(Situation(), BAG)), run=deadly)
    told: list[str] = []
    advisor.failed.connect(told.append)
    try:
        with qtbot.waitSignal(advisor.settled, timeout=60_000):
            advisor.start()
    finally:
        advisor.close()
    assert len(told) == 1
    assert EngineDied.__name__ in told[0]
    assert EngineDied.__name__ in caplog.text
    assert engine.run(job(), ignore, wanted).shots


def test_closing_the_window_in_the_middle_of_a_job_ends_the_processes(qapp: QApplication, qtbot: Any) -> None:
    app.application()
    others = set(multiprocessing.active_children())
    engine = Engine()
    engine.start()
    window = app.make_window(Settings(), "light", engine)
    with qtbot.waitSignal(window.advisor.working, timeout=60_000, check_params_cb=lambda share: share > 0.0):
        window.begin(None)
        window.show()
    assert set(multiprocessing.active_children()) - others
    window.close()
    assert not window.session.current
    assert not set(multiprocessing.active_children()) - others
    with pytest.raises(GivenUp):
        engine.run(job(), ignore, wanted)
    window.deleteLater()


def test_an_error_that_cannot_be_copied_is_told_by_its_words() -> None:
    class Local(Exception):
        pass

    error = Local("no way down")
    error.add_note("where")
    kind, told = pickle.loads(_sendable(error))
    assert kind == "failed"
    assert str(told) == "Local: no way down"
    assert told.__notes__ == ["where"]


def test_a_job_hears_on_its_line_that_it_is_not_wanted() -> None:
    ours, theirs = multiprocessing.Pipe()
    with ours, theirs:
        ours.send_bytes(CANCEL)
        kind, what = pickle.loads(_answer(pickle.dumps(job()), theirs))
    assert kind == "failed"
    assert isinstance(what, Cancelled)
