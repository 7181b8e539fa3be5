"""The ground cut open along the line of play and the ways of the balls: numbers to draw from."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from shortgame_gui.advice import scene
from shortgame_gui.advice.result import Shot, Track
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics.ground import SURFACES

Array = npt.NDArray[np.float64]

MOST_BEHIND = 0.35
"""How much of the range may lie behind the ball, over what lies ahead."""
WIDER, BEHIND = 2.5, 0.3
"""How many times as much is shown at most for the plan's sake, and how much of the rest behind the ball."""
GRAIN = 0.1
"""Distance in m between two points of a drawn profile."""


@dataclass(frozen=True)
class Stretch:
    """Part of the line of play with one surface, from ``start`` to ``end`` in m."""

    surface: str
    start: float
    end: float


@dataclass(frozen=True)
class Profile:
    """The ground along the line of play: points in m, and the surfaces from ball to far end."""

    x: Array
    z: Array
    stretches: tuple[Stretch, ...]

    def height(self, x: float) -> float:
        """Height in m above the ball at ``x``."""
        return float(np.interp(x, self.x, self.z))


def profile_of(situation: Situation, start: float, end: float) -> Profile:
    """The ground of ``situation`` between ``start`` and ``end`` in m, as the engine sees it."""
    ground = scene.ground([situation])
    x = np.arange(start, end + GRAIN, GRAIN)
    y, lane = np.zeros_like(x), np.zeros(len(x), dtype=np.intp)
    kinds = ground.surface(x, y, lane)
    borders = [0, *(np.flatnonzero(np.diff(kinds)) + 1).tolist(), len(x) - 1]
    stretches = [
        Stretch(SURFACES[int(kinds[a])], float(x[a]), float(x[b])) for a, b in pairwise(borders) if b > a
    ]
    return Profile(x, ground.height(x, y, lane), tuple(stretches))


@dataclass(frozen=True)
class Barrier:
    """What stands upright on the line of play: distance, edges, reach to both sides; all in m."""

    at: float
    low: float
    high: float
    left: float
    right: float


def barriers_of(situation: Situation, profile: Profile) -> list[Barrier]:
    """What stands on the line of play, from the ground up where it stands on it."""
    found = scene.obstacles(situation)
    if found is None:
        return []
    columns = (found.at, found.low, found.high, found.left, found.right)
    told = [Barrier(*map(float, row)) for row in zip(*columns, strict=True)]
    return [
        Barrier(b.at, max(b.low, profile.height(b.at)), b.high, b.left, b.right)
        for b in told
        if b.left >= 0.0 and b.right >= 0.0 and b.high > profile.height(b.at)
    ]


def passed(track: Track, barrier: Barrier) -> str:
    """Past which end of ``barrier`` the ball goes, "left" or "right"; empty where it does not get there, and
    where it goes over or under it.
    """
    x, y, _z = track.position
    beyond = np.flatnonzero(x >= barrier.at)
    if not len(beyond):
        return ""
    k = max(int(beyond[0]), 1)
    aside = float(np.interp(barrier.at, x[k - 1 : k + 1], y[k - 1 : k + 1]))
    if aside > barrier.left:
        return "left"
    return "right" if aside < -barrier.right else ""


def range_of(situation: Situation, shots: tuple[Shot, ...], behind: float = 0.0) -> tuple[float, float]:
    """The part of the line of play that is worth showing, in m: ball, hole, and where the shots end.

    And what lies ``behind`` the ball, as far as that leaves the shots most of the room.
    """
    hole = situation.hole.distance
    green_end = situation.green.front + situation.green.depth
    far = max(hole + 3.0, min(green_end + 1.0, hole * 1.25 + 2.0))
    for shot in shots:
        far = max(far, min(float(np.percentile(shot.finishes[0], 97)), hole * 1.6 + 5.0))
    return -max(1.0, 0.05 * far, min(0.05 * far - behind, MOST_BEHIND * far)), far * 1.03


def widened(low: float, high: float, least: float) -> tuple[float, float]:
    """The part of the line from ``low`` to ``high`` in m, or more of it for a plan that needs ``least`` m.

    At most `WIDER` times as much; most of the rest lies beyond.
    """
    more = min(max(least / (high - low), 1.0), WIDER) * (high - low) - (high - low)
    return low - BEHIND * more, high + (1.0 - BEHIND) * more


def smooth(track: Track, parts: int = 6) -> tuple[Array, Array, Array]:
    """Distance, height (m) and time (s) of a track with ``parts`` points for one, each flight a smooth curve.

    Between two points of one leg a cubic runs through both, with slopes from their neighbours (Catmull and
    Rom); legs meet at the bounces, where corners belong.
    """
    ends = sorted({0, *track.bounces, track.roll, len(track.time) - 1})
    share = np.linspace(0.0, 1.0, parts, endpoint=False)
    pieces = []
    points = np.vstack([track.position[0], track.position[2], track.time])
    for a, b in pairwise(ends):
        leg = points[:, a : b + 1]
        if leg.shape[1] < 3:
            pieces.append(leg[:, :-1])
            continue
        slope = np.gradient(leg, axis=1, edge_order=2)
        p0, p1, m0, m1 = (side[:, :, None] for side in (leg[:, :-1], leg[:, 1:], slope[:, :-1], slope[:, 1:]))
        t = share[None, None, :]
        curve = (
            (2 * t**3 - 3 * t**2 + 1) * p0
            + (t**3 - 2 * t**2 + t) * m0
            + (3 * t**2 - 2 * t**3) * p1
            + (t**3 - t**2) * m1
        )
        pieces.append(curve.reshape(3, -1))
    x, z, time = np.concatenate([*pieces, points[:, -1:]], axis=1)
    return x, z, time
