"""The balls in motion: the way of each shown shot as numbers that views draw, read off and play back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.result import Shot, Track
from shortgame_gui.desktop.session import Session, as_drawn
from shortgame_gui.report.section import smooth
from shortgame_gui.words.language import _
from shortgame_gui.words.numbers import Style
from shortgame_gui.words.text import shot_name

Array = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Moment:
    """Where a ball is: m from the ball's first place, s, m/s."""

    x: float
    y: float
    z: float
    time: float
    speed: float


class Moving(Protocol):
    """What a playback moves: a ball with a place among those shown, and where it is at any time."""

    @property
    def place(self) -> int: ...

    @property
    def time(self) -> Array:
        """Times in s of the points of its way."""
        ...

    @property
    def stops(self) -> tuple[float, ...]:
        """Times in s of the strike, of each landing, of the start of the roll and of the end."""
        ...

    def at(self, time: float) -> Moment:
        """The ball ``time`` s after the strike; before it, at its start, and afterwards at rest."""
        ...


@dataclass(frozen=True)
class Way:
    """One drawn shot: its place among those shown, and its points, close together; m, s and m/s."""

    place: int
    shot: Shot
    x: Array
    y: Array
    z: Array
    time: Array
    speed: Array

    def at(self, time: float) -> Moment:
        """The ball ``time`` s after the strike; before it, at its start, and afterwards at rest."""
        x, y, z, speed = (float(np.interp(time, self.time, v)) for v in (self.x, self.y, self.z, self.speed))
        return Moment(x, y, z, time, 0.0 if time >= self.time[-1] else speed)

    @property
    def stops(self) -> tuple[float, ...]:
        return stops_of(self.shot.track)


def stops_of(track: Track) -> tuple[float, ...]:
    """Times in s of the strike, of each landing, of the start of the roll and of the end."""
    marks = [0, *track.bounces, track.roll, len(track.time) - 1]
    return tuple(sorted({round(float(track.time[k]), 6) for k in marks}))


class _Same:
    """A track that is equal to itself only, so that what was worked out of it can be kept."""

    def __init__(self, track: Track) -> None:
        self.track = track

    def __hash__(self) -> int:
        return id(self.track)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.track is self.track


@lru_cache(maxsize=24)
def _points(same: _Same) -> tuple[Array, Array, Array, Array, Array]:
    """Distance, left, height, time and speed of a track, close together; kept, as three parts ask for it."""
    track = same.track
    x, z, time = smooth(track)
    y, speed = (np.interp(time, track.time, value) for value in (track.position[1], track.speed))
    return x, y, z, time, speed


def way_of(place: int, shot: Shot) -> Way:
    """The way of ``shot``, drawn in ``place``."""
    return Way(place, shot, *_points(_Same(shot.track)))


def ways_of(shots: tuple[Shot, ...]) -> tuple[Way, ...]:
    """The ways of ``shots``, the first in front."""
    return tuple(way_of(place, shot) for place, shot in enumerate(shots))


def spot_way(session: Session) -> Way | None:
    """The landing tried by hand as a way to draw; None where there is none."""
    spot, front = session.spot, session.front
    if spot is None or spot.drawn is None or front is None:
        return None
    return way_of(0, as_drawn(front, spot.drawn, session.situation.green.front))


def shown_ways(session: Session) -> tuple[Way, ...]:
    """All ways that are shown: the one in front first, the landing tried by hand last."""
    spot = spot_way(session)
    return ways_of(session.ways) + (() if spot is None else (spot,))


def reading(moment: Moment, style: Style) -> str:
    """Distance, height, time and speed in words: "12.3 yd out, 8.1 ft up, after 1.24 s, 22 mph"."""
    parts = [
        _("{distance} out").format(distance=style.long(moment.x, 1)),
        _("{height} up").format(height=style.short(moment.z)),
    ]
    if abs(moment.y) >= 0.05:
        side = _("{gap} left") if moment.y > 0.0 else _("{gap} right")
        parts.append(side.format(gap=style.short(abs(moment.y))))
    after = _("after {time}").format(time=f"{style.number(moment.time, 2)} s")
    return ", ".join([*parts, after, style.speed(moment.speed)])


def named_reading(way: Way, moment: Moment, style: Style) -> tuple[str, str]:
    """The shot's rank and name, and the reading."""
    name = shot_name(way.shot.club.name, way.shot.technique)
    return f"{way.shot.rank} {name}", reading(moment, style)
