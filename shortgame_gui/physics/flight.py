"""Flight: the way through the air to where it meets the ground or an obstacle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics.arc import Arc, Rule, arcs, height
from shortgame_gui.physics.falling import falls
from shortgame_gui.physics.forces import Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

RULE = Rule(points=6, rounds=4)
"""How finely a stretch is worked out."""
STEEP = 0.2
"""Share of the vertical speed that counts beside the level one in how steep a way is."""
LATER, IN_WIND = 0.8, 0.52
"""Longest way of later stretches over that of a first one, as errors of several add; and of any in wind."""
SHORTEST = 0.02
"""Duration in s of a stretch at least, so that a skimming ball still moves."""
GENTLE, GROWING = 1.0 / 16.0, 4.0
"""First stretch of a flight in wind, over its whole time, and how much longer each next one is."""
CALM = 10.0
"""Way in m up to which a flight in wind begins no shorter than one without."""
MOST = 400
"""Stretches after which a flight is given up: gravity makes it impossible."""
EIGHTHS = tuple(k / 8.0 for k in range(1, 8))
CUTS = ((0.125, 0.875), EIGHTHS, EIGHTHS, EIGHTHS)
"""Where a stretch over uneven ground is cut to look at the ground, then those parts that come near it."""
FINE = 0.15
"""Way in m that is not cut any more."""
DRAWN, DRAWN_LEAP, DRAWN_LEAST = 40, 10, 3
"""Points of a traced flight that is one stretch, and of a leap; the fewest of a stretch of several."""
CLOSE = 5e-8
"""Height in m at which a landing counts as met."""


@dataclass(frozen=True)
class Landing:
    """Where n balls come down."""

    position: Array
    """m, (3, n), on the ground."""
    velocity: Array
    """m/s, (3, n)."""
    spin: Array
    """rad/s, (3, n)."""
    time: Array
    """Time in the air in s, (n,)."""
    apex: Array
    """Greatest height reached in m, (n,), in the frame of the start."""
    met: Index
    """Number of the obstacle that stopped the ball, -1 for none, (n,)."""

    def take(self, index: Index) -> Landing:
        """The landings of the balls in ``index``."""
        return Landing(*(getattr(self, f.name).take(index, axis=-1) for f in fields(self)))

    def joined(self, mine: Index, other: Landing, theirs: Index) -> Landing:
        """The landings of these balls, whose numbers are ``mine``, and of the ``other`` ones, ``theirs``."""
        order = np.concatenate([mine, theirs]).argsort()
        pairs = ((getattr(self, f.name), getattr(other, f.name)) for f in fields(self))
        return Landing(*(np.concatenate(pair, axis=-1).take(order, axis=-1) for pair in pairs))


Points = tuple[Index, Array, Array, Array]
"""Of some traced balls: whose each point is, as a number among those asked for, time, place and velocity."""


@dataclass
class Path:
    """Points of traced balls; only filled while tracing.

    They are worked out when they are asked for: of many balls that are tried few are drawn.
    """

    parts: list[tuple[Index, Callable[[Index], Points]]] = field(default_factory=list)
    """Numbers of balls (k,), and what gives the points of those among them whose places are asked for."""
    single: list[tuple[Index, Array, Array, Array]] = field(default_factory=list)
    """Balls (k,), and of each one point: time (k,), place and velocity (3, k)."""

    def add(self, time: Array, position: Array, velocity: Array, ball: Index) -> None:
        """Append one point for each ball of ``ball`` (n,): time in s (n,), m and m/s (3, n)."""
        self.single.append((np.array(ball), np.array(time), np.array(position), np.array(velocity)))

    def later(self, ball: Index, points: Callable[[Index], Points]) -> None:
        """Append what ``points`` will say of the balls ``ball`` (n,); it must keep what it needs."""
        self.parts.append((np.array(ball), points))

    def _whole(self) -> list[tuple[Index, Callable[[Index], Points]]]:
        """All parts, with the single points as the first."""
        if not self.single:
            return self.parts
        ball, *point = (np.concatenate(of, axis=-1) for of in zip(*self.single, strict=True))

        def points(some: Index) -> Points:
            time, place, velocity = (a.take(some, axis=-1) for a in point)
            return np.arange(len(some)), time, place, velocity

        return [(ball, points), *self.parts]

    def by_ball(self) -> tuple[Index, Array, Array, Array]:
        """Ball (k,), time (k,), place and velocity (3, k) of all points, ball by ball in order of time."""
        done = [(ball, points(np.arange(len(ball)))) for ball, points in self._whole() if len(ball)]
        who = np.concatenate([ball[which] for ball, (which, _, _, _) in done])
        time, place, velocity = (np.concatenate([d[k] for _, d in done], axis=-1) for k in (1, 2, 3))
        # Single points, and then what was added first, stand first where times are the same.
        order = np.lexsort((time, who))
        return who.take(order), time.take(order), place.take(order, axis=1), velocity.take(order, axis=1)

    def take(self, balls: Index) -> Path:
        """The paths of ``balls`` (k,), no two of them the same: they are number 0 to k - 1 in the new one."""
        path, parts = Path(), self._whole()
        most = max(int(ball.max(initial=-1)) for ball, _ in parts)
        number = np.full(max(most, int(balls.max())) + 1, -1, dtype=np.intp)
        number[balls] = np.arange(len(balls))
        for ball, points in parts:
            at = (number[ball] >= 0).nonzero()[0]
            if len(at):
                path.later(number[ball[at]], _of_some(points, at))
        return path

    def join(self, other: Path, ball: Index) -> None:
        """Append the points of another path, whose ball k is number ``ball[k]`` here."""
        self.parts += [(ball[who], points) for who, points in other._whole()]


def _of_some(points: Callable[[Index], Points], at: Index) -> Callable[[Index], Points]:
    """``points`` of the balls ``at`` alone, numbered anew."""
    return lambda some: points(at[some])


@dataclass
class _Aloft:
    """The balls still in the air at the beginning of a stretch; arrays end in (n,)."""

    ball: Index
    lane: Index
    place: Array
    state: Array
    """Velocity and spin rate, (4, n)."""
    rate: Array
    """Rate of change of the state, (4, n)."""
    time: Array
    above: Array
    """Height above the local ground in m."""
    last: Array
    """Duration in s of the stretch before; 0 in the first."""
    climb: Array
    """Speed away from the ground at take-off in m/s; NaN after the first stretch."""
    slope: Array
    """Slope of the ground at take-off, (2, n)."""

    def take(self, keep: Index) -> _Aloft:
        return _Aloft(*(getattr(self, name).take(keep, axis=-1) for name in _ALOFT))

    def left(self, gravity: float) -> Array:
        """Time in s until it lands in vacuum, over the ground's slope or from the level: the longer (n,)."""
        up = np.fmax(self.state[2], self.climb)
        return np.asarray((up + np.sqrt(up * up + (2.0 * gravity) * np.maximum(self.above, 0.0))) / gravity)


_ALOFT = tuple(f.name for f in fields(_Aloft))


def fly(
    position: Array,
    velocity: Array,
    spin: Array,
    forces: Forces,
    ground: Ground,
    lane: Index,
    path: Path | None = None,
    ids: Index | None = None,
    clock: Array | None = None,
    obstacles: Obstacles | None = None,
    points: int = DRAWN,
) -> Landing:
    """Fly n balls from the ground to their next landing.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n), starting on the ground. A ball
    that is not launched away from the local ground lands where it is, at once. ``forces`` are those of the
    air, without spin. With ``path`` the ways of the
    balls, whose numbers there are ``ids`` (n,), are recorded from their ``clock`` in s (n,), without start
    and landing, by about so many ``points``. A ball that meets one of the ``obstacles`` drops where it did,
    in front of it, without speed. Every ball lands; a RuntimeError after `MOST` stretches says that one did
    not.
    """
    n = position.shape[1]
    omega = np.sqrt(np.add.reduce(spin * spin))
    axis = spin / np.maximum(omega, 1e-12)
    every = forces.about(axis)
    state = np.concatenate([velocity, omega[None]])
    slope = np.array(ground.slopes(position[0], position[1], lane))
    climb = velocity[2] - slope[0] * velocity[0] - slope[1] * velocity[1]
    end = Landing(
        np.array(position), np.array(velocity), np.array(spin), np.zeros(n), np.array(position[2]),
        np.full(n, CLEAR, dtype=np.intp),
    )  # fmt: skip
    up = climb > 0.0
    gravity = np.zeros_like(state)
    # At first nothing but gravity is known to act.
    gravity[2] = -every.gravity
    zero = np.zeros(n)
    aloft = _Aloft(np.arange(n), lane, position, state, gravity, zero, zero, zero, climb, slope)
    if np.count_nonzero(up) < n:
        aloft = aloft.take(np.flatnonzero(up))

    def stretch(aloft: _Aloft, dt: Array, most: Array, left: Array) -> _Aloft:
        """Make stretches that last ``dt`` in s, up to ``most`` where that is not 0; returns who is aloft.

        What is ``left`` of the flights in s is about known.
        """
        some = every if len(dt) == n else every.take(aloft.ball)
        arc = arcs(some, aloft.place, aloft.state, aloft.rate, dt, most, ground, aloft.lane, RULE)
        meeting = _reach(arc, aloft.above, ground)
        down, share = meeting.down, np.ones(len(dt))
        landed = down.nonzero()[0]
        if len(landed):
            all_land = len(landed) == len(down)
            last = arc if all_land else arc.take(landed)
            known = (aloft, meeting) if all_land else (aloft.take(landed), meeting.take(landed))
            share[landed] = _root(last, *known, ground)
            _land(end, last, share[landed], aloft.ball[landed], aloft.time[landed], axis, ground)
        if obstacles is not None:
            met, when = obstacles.first(arc.place, arc.start[0], arc.place1[0], share)
            hit = (met != CLEAR).nonzero()[0]
            if len(hit):
                who, down[hit], share[hit] = aloft.ball[hit], True, when[hit]
                _land(end, arc.take(hit), when[hit], who, aloft.time[hit], axis, ground)
                _stop(end, who, met[hit], ground, lane)
        _peak(end, arc, share, aloft.ball)
        if path is not None and ids is not None and clock is not None:
            many = np.ceil(points * arc.dt / (aloft.time + left)).clip(DRAWN_LEAST, points)
            path.later(ids[aloft.ball], _drawn(arc, share, down, clock[aloft.ball] + aloft.time, many))
        return _Aloft(
            aloft.ball, aloft.lane, arc.place1, arc.state1, arc.rate1, aloft.time + arc.dt, meeting.above,
            arc.dt, np.full(len(dt), np.nan), aloft.slope,
        ).take((~down).nonzero()[0])  # fmt: skip

    windy, flight_way = every.in_wind, every.table.flight_way
    for _ in range(MOST):
        if not len(aloft.ball):
            return end
        left = np.maximum(aloft.left(every.gravity), SHORTEST)
        vx, vy, vz, _ = aloft.state
        level = vx * vx + vy * vy
        # Steep ways are worked out in shorter stretches: the forces change fast where the ball turns over.
        way = (level + vz * vz) / np.sqrt(level + STEEP * vz * vz) * left
        begins = np.isfinite(aloft.climb)
        gentle = windy[aloft.ball] & ~(begins & (way <= CALM))
        reach = flight_way * np.where(gentle, IN_WIND, np.where(begins, 1.0, LATER))
        # Wind grows fastest just above the ground: there the stretches begin short.
        longest = np.where(gentle, np.where(begins, GENTLE * left, GROWING * aloft.last), np.inf)
        dt = np.minimum(left / np.ceil(way / reach), longest)
        # A way that turns out longer is not made in one stretch after all.
        most = np.where(dt >= left, np.maximum(dt * reach / way, SHORTEST), 0.0)
        aloft = stretch(aloft, dt, most, left)
    raise RuntimeError("a ball did not come down")


class _Meeting(NamedTuple):
    """Whether n balls meet the ground in a stretch, (n,) each."""

    above: Array
    """Height over the ground at the end in m."""
    down: Mask
    low: Array
    high: Array
    """Shares of the stretch between which they first meet it."""
    at_high: Array
    """Height over the ground in m at the second of them."""

    def take(self, index: Index) -> _Meeting:
        above, down, low, high, at_high = self
        return _Meeting(
            above.take(index), down.take(index), low.take(index), high.take(index), at_high.take(index)
        )


def _reach(arc: Arc, above0: Array, ground: Ground) -> _Meeting:
    """Which balls meet the ground in the stretch.

    The way through the air lies above its chords, and the ground above its own by no more than its hump; only
    where that leaves room is the ground looked at more closely.
    """
    above1 = arc.place1[2] - ground.height(arc.place1[0], arc.place1[1], arc.lane)
    down, low, high = above1 <= 0.0, np.zeros(len(above1)), np.ones(len(above1))
    meeting = _Meeting(above1, down, low, high, above1.copy())
    if not np.count_nonzero(ground.unevenness(arc.lane)):
        return meeting
    ball = (~ground.flat_between(arc.start[0], arc.place1[0], arc.lane)).nonzero()[0]
    # Parts of the ways to be looked at: from one share to another, with the places and heights there.
    shares = np.array([low, high]).take(ball, axis=1)
    ends = np.stack([arc.start, arc.place1], axis=1).take(ball, axis=2)
    above = np.array([above0, above1]).take(ball, axis=1)
    for cuts in CUTS:
        if not len(ball):
            break
        part = arc.take(ball)
        inner = shares[0] + np.array(cuts)[:, None] * (shares[1] - shares[0])
        place = part.place(inner)
        ends = np.concatenate([ends[:, :1], place, ends[:, 1:]], axis=1)
        above = np.concatenate([above[:1], place[2] - height(ground, place, part.lane), above[1:]])
        shares = np.concatenate([shares[:1], inner, shares[1:]])
        under = above[1:-1] < -CLOSE
        comes, last = under.any(axis=0), np.where(under.any(axis=0), under.argmax(axis=0), len(cuts))
        # From the last one to the first, so that the first one stands.
        new = np.flatnonzero(comes)[::-1]
        at, who = last[new], ball[new]
        down[who], low[who], high[who] = True, shares[at, new], shares[at + 1, new]
        meeting.at_high[who] = above[at + 1, new]
        # Nothing beyond the first end that is under the ground can be met first.
        dx, dy = ends[0, 1:] - ends[0, :-1], ends[1, 1:] - ends[1, :-1]
        longer = (dx * dx + dy * dy > FINE * FINE) & (np.arange(len(cuts) + 1)[:, None] <= last)
        number, which = longer.T.nonzero()
        (x0, y0), (x1, y1) = ends[:2, which, number], ends[:2, which + 1, number]
        hump = ground.hump(x0, y0, x1, y1, part.lane[number])
        near = touches(above[which, number], above[which + 1, number], hump).nonzero()[0]
        near = near[~ground.flat_between(x0[near], x1[near], part.lane[number[near]])]
        number, which = number[near], which[near]
        ball = ball[number]
        pair = np.array([which, which + 1])
        shares, above, ends = shares[pair, number], above[pair, number], ends[:, pair, number]
    return meeting


def touches(a: Array, b: Array, hump: Array) -> Array:
    """Whether ways that end at heights ``a`` and ``b`` in m over the ground (n,) may meet it between.

    At the share u of a chord the ground lies above it by 4 u (1 - u) times the ``hump`` in m (n,) at most; so
    a way that leaves the ground steeply enough is clear of it.
    """
    rise, hump = np.abs(b - a), np.maximum(hump, 1e-12)
    low = 0.5 * (a + b) - hump - rise * rise / (16.0 * hump)
    return np.asarray((np.minimum(a, b) < 0.0) | ((rise < 4.0 * hump) & (low < 0.0)))


def _root(arc: Arc, aloft: _Aloft, meeting: _Meeting, ground: Ground) -> Array:
    """Share of the stretch (n,) at which the way meets the ground, by what is known of the ``meeting``.

    In the first stretch of a flight the height over the share is used in place of the height, lest the start
    be taken for the landing.
    """
    low, high, slope = meeting.low, meeting.high, aloft.slope
    begins = np.isfinite(aloft.climb)
    any_begins = begins.any()

    def gap(share: Array) -> Array:
        above = arc.above(share, ground)
        return above / np.where(begins, np.maximum(share, 1e-12), 1.0) if any_begins else above

    at_high = np.minimum(meeting.at_high, 0.0) / np.where(begins, high, 1.0)
    # First by the fall at the end of the stretch, or in the middle of what is known of it.
    vx, vy, vz, _ = arc.state1
    fall = np.minimum(arc.dt * (vz - slope[0] * vx - slope[1] * vy), -1e-9)
    guess = np.where(high == 1.0, 1.0 - at_high / fall, 0.5 * (low + high))
    guess = np.where((guess > low) & (guess < high), guess, 0.5 * (low + high))
    return falls(gap, low, high, at_high, guess, CLOSE)


def _land(
    end: Landing, arc: Arc, share: Array, ball: Index, time: Array, axis: Array, ground: Ground
) -> None:
    """Write down where the balls ``ball`` landed, at the ``share`` of a stretch that began at ``time``."""
    place, state = arc.place(share), arc.state(share)
    place[2] = ground.height(place[0], place[1], arc.lane)
    end.position[:, ball] = place
    end.apex[ball] = np.maximum(end.apex[ball], place[2])
    end.velocity[:, ball] = state[:3]
    end.spin[:, ball] = axis.take(ball, axis=1) * np.maximum(state[3], 0.0)
    end.time[ball] = time + share * arc.dt


def _stop(end: Landing, ball: Index, met: Index, ground: Ground, lane: Index) -> None:
    """Let the balls ``ball`` drop a hand's breadth in front of the obstacles ``met``."""
    end.position[0, ball] -= IN_FRONT
    x, y = end.position[0, ball], end.position[1, ball]
    end.position[2, ball] = ground.height(x, y, lane[ball])
    end.velocity[:, ball] = 0.0
    end.spin[:, ball] = 0.0
    end.met[ball] = met


def _peak(end: Landing, arc: Arc, share: Array, ball: Index) -> None:
    """Let the greatest height take in the top of a stretch up to the ``share`` (n,) of it."""
    rise, fall = arc.state0[2], arc.state1[2]
    per = 1.0 / np.maximum(rise - fall, 1e-9)
    # Where it stops to rise, from the vertical speeds at the ends and by how far that misses.
    at = np.minimum(np.maximum(rise * per, 0.0), share)
    at = np.minimum(np.maximum(at + per * arc.rising(at), 0.0), share)
    end.apex[ball] = np.maximum(end.apex[ball], arc.high(at))


def _drawn(arc: Arc, share: Array, down: Mask, time: Array, points: Array) -> Callable[[Index], Points]:
    """What draws the ways up to the ``share`` (n,) of a stretch that began at ``time``, without landings.

    ``points`` (n,) says by how many points.
    """

    def drawn(some: Index) -> Points:
        many, way = points[some], arc.take(some)
        number = np.arange(1.0, many.max(initial=0.0) + 1.0)[:, None]
        keep, which = ((number < many) | ((number == many) & ~down[some])).nonzero()
        part = share[some] * np.minimum(number / many, 1.0)
        place, state, when = way.place(part), way.state(part), time[some] + part * way.dt
        return which, when[keep, which], place[:, keep, which], state[:3, keep, which]

    return drawn
