"""Asks for the quick picture while an edit goes on, and for landings tried by hand, on a thread of its own.

A question that is being answered is not broken off, or a steady drag would never see an answer; of those that
come meanwhile the newest is asked next. The session knows which document an answer is about.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, Signal

from shortgame_gui.advice.result import Drawn, Shot
from shortgame_gui.desktop import jobs
from shortgame_gui.desktop.jobs import Job, Run, run_here
from shortgame_gui.desktop.session import Document, Session, ShotKey, Spot, key_of
from shortgame_gui.desktop.worker import Runner
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import _


@dataclass(frozen=True)
class Sketch:
    """What is asked: shots with their last head speed and aim, and where the one in front shall land."""

    document: Document
    shots: tuple[Shot, ...]
    before: tuple[Before, ...]
    """Each shot in the picture before."""
    landing: tuple[float, float] | None = None


@dataclass(frozen=True)
class Before:
    """How a shot was played in the picture before, or in the advice."""

    head_speed: float
    """m/s"""
    aim: float
    """rad"""
    landing: float
    """How far along it landed, in m."""
    finish: float | None
    """How far along it was meant to finish, in m; None where it was meant to land somewhere."""
    situation: Situation | None = None
    """Where all that was."""


Artist = Callable[[Sketch], Job]


def meant(shot: Shot, hole: float) -> tuple[float, float]:
    """Where ``shot`` is meant to finish when the hole is ``hole`` m away: along and left of it.

    A shot that does not reach the hole goes as far as before, wherever that is; one that goes round something
    keeps its direction.
    """
    along, left = shot.finish_aim
    now = along if shot.reaches else shot.hole + along - hole
    return now, left * (hole + now) / (shot.hole + along) if shot.past else left


def ask_picture(sketch: Sketch) -> Job:
    """The job that answers ``sketch`` with one `Drawn` or None a shot."""
    hole = sketch.document.situation.hole.distance
    shots = tuple(
        (
            shot.club, shot.technique, last.head_speed, last.aim, meant(shot, hole),
            last.finish if sketch.landing is None else last.landing, last.landing, last.situation,
        )
        for shot, last in zip(sketch.shots, sketch.before, strict=True)
    )  # fmt: skip
    return partial(jobs.quick_picture, sketch.document.situation, shots, sketch.landing)


class Sketcher(QObject):
    """Keeps the session's quick picture up to date; `failed` carries a sentence."""

    failed = Signal(str)

    def __init__(
        self,
        session: Session,
        artist: Artist = ask_picture,
        parent: QObject | None = None,
        run: Run = run_here,
    ) -> None:
        super().__init__(parent)
        self._session, self._artist = session, artist
        self.runner = Runner("picture", self, run)
        self._asked: Sketch | None = None
        self._next: tuple[Document, tuple[Shot, ...], tuple[float, float] | None] | None = None
        self._last: dict[ShotKey, Before] = {}
        self._situation = session.situation
        """What the advice is for."""
        session.changed.connect(self._on_change)
        session.advice_changed.connect(self._on_advice)
        session.spot_wanted.connect(self._on_spot)
        self.runner.finished.connect(self._on_answer)
        self.runner.failed.connect(self._on_error)

    def close(self) -> None:
        """End the worker."""
        self._next = None
        self.runner.close()

    def _on_change(self) -> None:
        if not self._session.current and self._session.shown:
            self._ask(self._session.shown, None)

    def _on_advice(self) -> None:
        if self._session.current:
            self._last.clear()
            self._situation = self._session.situation

    def _on_spot(self, landing: tuple[float, float]) -> None:
        front = self._session.front
        if front is not None:
            self._ask((front,), landing)

    def _ask(self, shots: tuple[Shot, ...], landing: tuple[float, float] | None) -> None:
        self._next = (self._session.document, shots, landing)
        if not self.runner.busy:
            self._start()

    def _start(self) -> None:
        if self._next is not None:
            (document, shots, landing), self._next = self._next, None
            before = tuple(self._last.get(key_of(shot)) or self._advised(shot) for shot in shots)
            self._asked = Sketch(document, shots, before, landing)
            self.runner.ask(self._artist(self._asked))

    def _advised(self, shot: Shot) -> Before:
        finish = self._situation.hole.distance + shot.finish_aim[0]
        return Before(shot.head_speed, shot.aim, shot.landing[0], finish, self._situation)

    def _on_answer(self, request: int, drawn: Any) -> None:
        sketch, self._asked = self._asked, None
        if sketch is not None:
            self._take(sketch, drawn)
        self._start()

    def _take(self, sketch: Sketch, drawn: tuple[Drawn | None, ...]) -> None:
        situation = sketch.document.situation
        hole = situation.hole.distance
        for shot, one in zip(sketch.shots, drawn, strict=True):
            if one is not None:
                finish = hole + meant(shot, hole)[0] if sketch.landing is None else None
                last = Before(one.head_speed, one.aim, one.landing[0], finish, situation)
                self._last[key_of(shot)] = last
        if sketch.landing is None:
            keys = [key_of(shot) for shot in sketch.shots]
            self._session.draw(dict(zip(keys, drawn, strict=True)), sketch.document)
        else:
            spot = Spot(key_of(sketch.shots[0]), sketch.landing, drawn[0])
            self._session.land_there(spot, sketch.document)

    def _on_error(self, request: int, error: BaseException) -> None:
        self.failed.emit(
            _("The picture could not be worked out ({error}).").format(
                error=f"{type(error).__name__}: {error}"
            )
        )
        self._start()
