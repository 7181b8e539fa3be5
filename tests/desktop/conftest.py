"""What the window's tests share: an advice and a map made by hand, for tests without the engine."""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from shortgame_gui.advice.map import Cell, Map
from shortgame_gui.advice.result import Advice, Reason, Refused, SetUp, Shot, Track, Why
from shortgame_gui.desktop import app
from shortgame_gui.desktop.jobs import Cancelled, Job, Progress
from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.map.filler import Partial, Question, Request
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.theme import Theme
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag

#: club, technique, landing and finish in m, top of the flight in m, strokes, behind, tie
SHOTS = (
    ("9-iron", "chip", 7.0, 17.6, 0.8, 2.50, 0.0, True),
    ("8-iron", "bump_and_run", 6.6, 18.2, 0.6, 2.51, 0.01, True),
    ("sand", "pitch", 12.0, 18.4, 3.1, 2.64, 0.14, False),
    ("60", "lob", 15.0, 18.9, 6.0, 2.85, 0.35, False),
    ("putter", "putt", 0.0, 17.1, 0.0, 2.95, 0.45, False),
)


@pytest.fixture
def in_large_letters() -> Iterator[QPainter]:
    """What paints on a small picture in letters of 18 pt."""
    picture = QImage(300, 200, QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    large = painter.font()
    large.setPointSizeF(18.0)
    painter.setFont(large)
    yield painter
    painter.end()


@pytest.fixture
def twice_the_size(qapp: QApplication) -> Iterator[None]:
    """Letters of twice the size in all that is made meanwhile."""
    was, large = QApplication.font(), QApplication.font()
    large.setPointSizeF(2.0 * was.pointSizeF())
    QApplication.setFont(large)
    app.application()
    yield
    QApplication.setFont(was)
    app.application()


def track(landing: float, finish: float, top: float) -> Track:
    """A parabola to the landing, one hop and a run."""
    u = np.linspace(0.0, 1.0, 20)
    hop = 0.3 * (finish - landing)
    air = np.stack([landing * u, 0 * u, 4 * top * u * (1 - u)])
    low = np.stack([landing + hop * u, 0 * u, 4 * 0.2 * top * u * (1 - u)])
    run = np.stack([landing + hop + (finish - landing - hop) * u, 0.1 * u, 0 * u])
    legs = [air, low[:, 1:], run[:, 1:]] if top else [np.stack([finish * u, 0.1 * u, 0 * u])]
    position = np.concatenate(legs, axis=1)
    k = position.shape[1]
    ends = (19, 38, 38) if top else (0, 0, 0)
    return Track(np.linspace(0, 4, k), position, np.linspace(8, 0, k), ends[0], ends[:2], ends[2])


def made_shot(rank: int, row: tuple[Any, ...]) -> Shot:
    club, technique, landing, finish, top, strokes, behind, tie = row
    clubs = packaged_bag().clubs
    found = next((c for c in clubs if club.casefold() in c.name.casefold()), clubs[rank])
    finishes = np.random.default_rng(rank).normal([[finish], [0.0]], [[1.5], [0.5]], (2, 200))
    return Shot(
        rank=rank, club=found, technique=technique, swing="hip", head_speed=10.0, share=0.4, aim=0.01,
        start=0.01, finish_aim=(0.3, 0.0), delivered_loft=0.6, attack=-0.05, ball_speed=12.0, launch=0.5,
        spin=300.0,
        carry=landing, landing=(landing, 0.05), landing_past_edge=landing - 6.0 if landing else None,
        landing_angle=0.6, landing_speed=9.0, apex=top, run=finish - landing, air_share=landing / finish,
        n=200, expected_strokes=strokes, standard_error=0.01, behind_best=behind, behind_best_error=0.01,
        tie=tie, holed=0.05, down_in_two=0.5 - 0.1 * rank, three_or_more=0.4 + 0.1 * rank,
        trouble={"rough": 0.02, "fat": 0.03},
        half=(finish - 1.0, finish + 1.0), finishes=finishes,
        landings=np.random.default_rng(rank).normal([[landing], [0.0]], [[0.6], [0.3]], (2, 200)),
        left=np.hypot(finishes[0] - Situation().hole.distance, finishes[1]),
        track=track(landing, finish, top),
    )  # fmt: skip


@pytest.fixture
def made_advice() -> Advice:
    shots = tuple(made_shot(rank, row) for rank, row in enumerate(SHOTS, start=1))
    names = [(shot.club.name, shot.technique) for shot in shots]
    return Advice(
        situation=Situation(), bag=packaged_bag(), seed=1, samples=200, shots=shots,
        refused=(Refused(names[3][0], "low_check", "no_clean_contact"),),
        why=Why(names[0], names[2], 0.14, 0.01, False, (Reason("run", 10.6, 6.4), Reason("apex", 0.8, 3.1))),
        setup=SetUp((("weight_lead", 0.6), ("ball_position", 0.3))), cautions=("rule_4_3",),
    )  # fmt: skip


CLOSE = (("gap wedge", "chip"),)


@pytest.fixture
def map_by_hand() -> Question:
    """Answers with a map whose winner changes half way, shown early with one row."""

    def question(request: Request, partial: Partial) -> Job:
        def job(progress: Progress, cancelled: Cancelled) -> Map:
            clubs = [request.bag.find("sand wedge"), request.bag.find("8-iron")]
            width, height = len(request.x.values), len(request.y.values)
            row = tuple(
                Cell(clubs[2 * k // width], "chip", 2.4, 0.02, 0.05, 0.01, CLOSE, CLOSE[0], 64)
                for k in range(width)
            )
            early = (row, *((None,) * width,) * (height - 1))
            partial(Map(request.situation, request.bag, request.x, request.y, 64, 1, early))
            progress(0.5)
            return Map(request.situation, request.bag, request.x, request.y, 64, 1, (row,) * height)

        return job

    return question


@pytest.fixture
def session(qapp: Any, made_advice: Advice) -> Session:
    """A session that has its advice."""
    made = Session()
    made.answer(made_advice, made.document)
    return made


def _end(window: MainWindow) -> None:
    for workspace in window.rail.workspaces.values():
        workspace.close_down()
    window.advisor.close()
    window.hide()
    window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def end_window() -> Callable[[MainWindow], None]:
    """Ends a window with all its workers, without a question about what is unsaved."""
    return _end


@pytest.fixture
def window(qapp: QApplication, made_advice: Advice) -> Iterator[MainWindow]:
    """The whole window, answered at once by the advice made by hand."""
    app.application()
    made = MainWindow(Settings(), Theme("light"), lambda document: lambda progress, cancelled: made_advice)
    made.begin(None)
    made.show()
    assert made.advisor.runner.wait_until_idle()
    yield made
    _end(made)
