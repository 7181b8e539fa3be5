"""A hop: a leap or a flight so short and slow that air bends its way but little.

The forces are taken at three times (Gauss's) along the way that gravity alone, or for faster balls the force
at take-off, would give, and are a parabola in time; for the longest once or twice more along the way thus
found. None of the times is take-off or landing, near which wind changes fast with height. The landing on a
plane then needs no search; over bent ground it is looked for on that way. This agrees with `flight` to 3 mm
(tested). What is longer is left to that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import cached_property, lru_cache
from math import gamma

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable
from shortgame_gui.physics.arc import height, weighed
from shortgame_gui.physics.falling import falls
from shortgame_gui.physics.flight import Landing, Path, Points, touches
from shortgame_gui.physics.forces import Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

FASTEST, RISING = 24.0, 9.0
"""Speed and vertical speed in m/s up to which a leap is a hop in still air."""
FASTEST_IN_WIND, RISING_IN_WIND = 12.0, 3.5
"""The same in wind, which three times tell less well."""
GENTLER_IN_WIND, HIGHER_IN_WIND = 8.0, 4.5
"""And of slower balls: what is left on the level hardly counts."""
MILD, BRISK = 4.0, (30.0, 120.0)
"""Products of the two from which the way is guessed by the forces at take-off, as by gravity alone forces
would be found in the wrong places, and from which they need a second look, and a third."""
SMOOTH = 0.19
"""The wind's floor over the top of a hop from which its law is smooth enough for three times (by solving)."""
GUSTY = 3.0
"""By how much more these products count in wind for looks after the first."""
NODES = 0.5 + np.sqrt(0.15) * np.array([-1.0, 0.0, 1.0])
"""Where forces are taken, over the duration of the hop: Gauss's rule of three points."""
POWERS = np.linalg.inv(np.vander(NODES, increasing=True))
"""Values there -> coefficients over the powers of the share, (3, 3)."""
UP_TO = (NODES[:, None] ** np.arange(1, 4) / np.arange(1, 4)) @ POWERS
"""Values there -> their integrals up to each of the times."""
ONCE = np.array([5.0, 8.0, 5.0]) / 18.0
"""Weights of the values for their integral over the hop."""
WHOLE = np.array([ONCE, ONCE * (1.0 - NODES)])
"""The same, and those for the integral of the integral."""
TIMES = NODES[:, None]
LONGEST, LONGER = 2.5, 1.5
"""Time in s, and share of the time in vacuum, up to which a leap is a hop."""
FURTHER = 1.3
"""Share of the hop over a plane up to which it is followed over bent ground."""
GENTLY, SOON = 6.0, 0.3
"""Speed in m/s up to which a ball is followed so long in s at least: over a crest such hops last much longer,
and their forces hardly change."""
SHORT = 1e-6
"""Duration in s that a hop over a plane is taken to last at least, to tell shares of it."""
BENT = 5.0
"""Way in m ahead up to which that is done."""
FAR, DEEPEST, STRIDE, STRIDES = 10.0, 2.5, 0.3, 48
"""Of hops in still air the way in m ahead; how far in m the ground may fall away below them; and the looks at
the ground on the way then, so far apart in m at most."""
SHARES = np.arange(STRIDES)[:, None] / STRIDES
"""The shares of the way at which they lie, before the landing."""
LOOKS = 10
"""Points of a hop over bent ground at which it is looked whether it has come down."""
DRAWN = 3
"""Points of a traced hop."""
CLOSE = 1e-7
"""Height in m, over the share of the hop, at which a landing on bent ground counts as met."""


@lru_cache(maxsize=8)
def lower(exponent: float) -> float:
    """What is to be taken off heights along a parabola for the wind's power law to have its true mean there.

    The law of this ``exponent``, infinitely steep at both ends, comes out 1 % too large by the three times.
    """
    whole = gamma(1.0 + exponent) ** 2 / gamma(2.0 + 2.0 * exponent)
    there = float(ONCE @ (NODES * (1.0 - NODES)) ** exponent)
    return float(1.0 - (whole / there) ** (1.0 / exponent))


def _heights(rise: Array, table: AirTable) -> Array:
    """Heights in m over the ground at the three times, (3, n), for climb times duration ``rise`` in m (n,).

    They tell the mean of the wind: a little lower, but for hops so low that the wind passes smoothly to what
    it is at the floor.
    """
    if table.wind_exponent > 0.0:
        flat = np.minimum((4.0 * table.wind_floor / SMOOTH) / np.maximum(rise, 1e-9), 1.0)
        rise = rise * (1.0 - lower(table.wind_exponent) * (1.0 - flat))
    return np.asarray(TIMES * (1.0 - TIMES) * rise)


def slow(position: Array, velocity: Array, forces: Forces, ground: Ground, lane: Index) -> Mask:
    """Which balls only hop that leave the ``ground`` at ``position`` in m with ``velocity`` in m/s, (3, n).

    What would go far over bent ground is left out: `_Way.down` looks for the ground at few places.
    """
    square = np.add.reduce(velocity * velocity)
    fastest: Array | float = FASTEST
    rising: Array | float = RISING
    reach: Array | float = FAR
    if forces.windy:
        windy = forces.in_wind
        fastest = np.where(windy, FASTEST_IN_WIND, FASTEST)
        in_wind = np.where(square < GENTLER_IN_WIND * GENTLER_IN_WIND, HIGHER_IN_WIND, RISING_IN_WIND)
        rising = np.where(windy, in_wind, RISING)
        reach = np.where(windy, BENT, FAR)
    small: Mask = (square < fastest * fastest) & (np.abs(velocity[2]) < rising)
    ahead = (2.0 / forces.gravity) * velocity[0] * velocity[2]
    far = (small & (np.abs(ahead) > reach)).nonzero()[0]
    if len(far):
        x = position[0, far]
        small[far] = ground.flat_between(x, x + ahead[far], lane[far])
    return small


def hop(
    position: Array,
    velocity: Array,
    spin: Array,
    forces: Forces,
    ground: Ground,
    lane: Index,
    top: Array,
    traced: Traced | None = None,
    ids: Index | None = None,
    clock: Array | None = None,
    obstacles: Obstacles | None = None,
    points: int = DRAWN,
) -> tuple[Landing, Mask]:
    """Move n balls that are `slow` to their next landing; arguments as in `flight.fly`.

    They have been as high as ``top`` in m (n,): their apex is worked out where they may get higher.
    Also returns which of them (n,) only hop, with none of the ``obstacles`` in reach; what is said of the
    others is void. In place of a path the hops that are ``traced`` take in those that do.
    """
    n = len(lane)
    state = np.empty((4, n))
    state[:3] = velocity
    state[3] = omega = np.sqrt(np.add.reduce(spin * spin))
    per = 1.0 / np.maximum(omega, 1e-12)
    forces = forces.about(spin * per)
    gx, gy = ground.slopes(position[0], position[1], lane)
    climb = velocity[2] - gx * velocity[0] - gy * velocity[1]
    time = vacuum = np.maximum((2.0 / forces.gravity) * climb, 0.0)
    change = np.zeros((4, n))
    np.multiply(time, -forces.gravity, out=change[2])
    haste = np.add.reduce(velocity * velocity) * (velocity[2] * velocity[2])
    fast = (haste >= MILD * MILD).nonzero()[0]
    if len(fast):
        every = len(fast) == n
        some, s, up, x, y = (
            (forces, state, climb, gx, gy)
            if every
            else (forces.take(fast), state.take(fast, axis=1), climb.take(fast), gx.take(fast), gy.take(fast))
        )
        guess = some(s, np.zeros(len(fast)) if forces.windy else None)
        sink = np.minimum(guess[2] - x * guess[0] - y * guess[1], -forces.gravity / LONGER)
        soon = np.maximum((-2.0 / sink) * up, 0.0)
        if every:
            time, change = soon, soon * guess
        else:
            time = time.copy()
            time[fast], change[:, fast] = soon, soon * guess
    states = TIMES * change[:, None]
    states += state[:, None]
    above = _heights(climb * time, forces.air_table) if forces.windy else None
    rates = forces(states, above)
    whole = weighed(WHOLE, rates)
    time = _landing(climb, time, whole, gx, gy)
    if forces.windy:
        haste = np.where(forces.in_wind, (GUSTY * GUSTY) * haste, haste)
    for brisk in BRISK:
        fast = (haste >= brisk * brisk).nonzero()[0]
        if not len(fast):
            break
        # Once more where the ball really is at these times.
        t, later = time.take(fast), weighed(UP_TO, rates.take(fast, axis=2))
        later *= t
        later += state.take(fast, axis=1)[:, None]
        r = forces.take(fast)(later, None if above is None else above.take(fast, axis=1))
        w = weighed(WHOLE, r)
        time[fast] = _landing(climb.take(fast), t, w, gx.take(fast), gy.take(fast))
        rates[:, :, fast], whole[:, :, fast] = r, w
    once, twice = whole.transpose(1, 0, 2)
    place, end = position + time * (velocity + time * twice[:3]), state + time * once
    # Of a ball that is carried on and on, by lift or the wind, this knows nothing.
    sure, lasts = time < np.minimum(LONGER * vacuum, LONGEST), time
    # What uneven turf throws into the ground bounces again where it is.
    lands = sure & ground.flat_between(position[0], place[0], lane) | (climb < 0.0)
    if np.count_nonzero(lands) < n or traced is not None or obstacles is not None:
        way = _Way(position, velocity, state, rates, time, lane)
        bent = (sure & ~lands & (np.abs(place[0] - position[0]) < BENT)).nonzero()[0]
        if len(bent):
            over = way.take(bent)
            gently = np.add.reduce(velocity[:, bent] ** 2) < GENTLY * GENTLY
            soon = np.where(gently, SOON / np.maximum(time[bent], SHORT), 0.0)
            share, comes = over.down(ground, (climb * time)[bent], np.maximum(soon, FURTHER))
            # The ways keep the time that they are reckoned by.
            time = time.copy()
            time[bent] *= share
            lands[bent] = comes & (time[bent] < LONGEST)
            place[:, bent], end[:, bent] = over.place(share), over.moving(share)
        # In wind the height over what falls away is not known.
        deep = (~(lands | forces.in_wind) if forces.windy else ~lands).nonzero()[0]
        if len(deep):
            deep, over, share = _falling(way.take(deep), climb.take(deep), forces.take(deep), ground, deep)
            lasts, time = lasts.copy(), time.copy()
            lasts[deep], rates[:, :, deep] = over.time, over.rates
            way = _Way(position, velocity, state, rates, lasts, lane)
            time[deep], lands[deep] = share * over.time, True
            place[:, deep], end[:, deep] = over.place(share), over.moving(share)
        if obstacles is not None:
            lands &= ~obstacles.between(position[0], place[0])
        if traced is not None and ids is not None and clock is not None:
            if np.count_nonzero(lands) == n:
                traced.add(points, ids, way, clock, time)
            else:
                who = lands.nonzero()[0]
                traced.add(points, ids.take(who), way.take(who), clock.take(who), time.take(who))
    place[2] = ground.height(place[0], place[1], lane)
    top, rise = np.maximum(top, place[2]), velocity[2] * time
    high = (position[2] + rise > top).nonzero()[0]
    if len(high):
        up = _rise(velocity[2].take(high), rates[2].take(high, axis=1), lasts.take(high), time.take(high))
        top[high] = np.maximum(top.take(high), position[2].take(high) + up)
    spun = spin * (np.maximum(end[3], 0.0) * per)
    return Landing(place, end[:3], spun, time, top, np.full(n, CLEAR, dtype=np.intp)), lands


def _falling(
    way: _Way, climb: Array, forces: Forces, ground: Ground, ball: Index
) -> tuple[Index, _Way, Array]:
    """Those of n hops that come down where the ground has fallen away from the plane through the take-off.

    ``ball`` (n,) are their numbers, ``climb`` (n,) in m/s is how fast they leave the ground. Returns the
    numbers of those, their ways, and the shares of them at which they land. The way that the force at
    take-off would give tells about when; along it the force is taken three times, and once more.
    """
    state, gravity = way.state, forces.gravity
    lasts = (state[2] + np.sqrt(state[2] * state[2] + (2.0 * DEEPEST) * gravity)) / gravity
    level = np.sqrt(np.add.reduce(state[:2] * state[:2]))
    near = ((lasts < LONGEST) & (level * lasts < STRIDE * STRIDES)).nonzero()[0]
    way, climb, forces, ball, lasts = way.take(near), climb[near], forces.take(near), ball[near], lasts[near]
    first = forces(way.state, None)
    rates = np.repeat(first[:, None], len(NODES), axis=1)
    guess = replace(way, rates=rates, time=lasts)
    share, comes = guess.down(ground, climb * lasts, np.ones(len(near)), STRIDES)
    some = comes.nonzero()[0]
    way, climb, forces, ball = way.take(some), climb[some], forces.take(some), ball[some]
    time = np.maximum((share * lasts)[some], SHORT)
    rates = rates[..., some]
    for _ in range(2):
        later = weighed(UP_TO, rates)
        later *= time
        later += way.state[:, None]
        rates = forces(later, None)
    way = replace(way, rates=rates, time=time)
    share, comes = way.down(ground, climb * time, np.full(len(some), FURTHER), STRIDES)
    # What may have brushed the ground before, between two looks, is left out: a lip, say.
    x, y, z = way.place(share * SHARES)
    above = z - height(ground, np.array([x, y, z]), way.lane)
    above[0] = 0.0
    x0, y0, x1, y1 = (a.ravel() for a in (x[:-1], y[:-1], x[1:], y[1:]))
    hump = ground.hump(x0, y0, x1, y1, np.tile(way.lane, len(x) - 1)).reshape(len(x) - 1, len(share))
    some = (comes & ~touches(above[:-1], above[1:], hump).any(axis=0)).nonzero()[0]
    return ball[some], way.take(some), share[some]


def _rise(climb: Array, rates: Array, lasts: Array, time: Array) -> Array:
    """How far in m n balls rise that leave with the vertical speed ``climb`` in m/s and last a ``time``.

    ``rates`` (3, n) are vertical accelerations at the three times of what ``lasts`` so long in s. What brakes
    the rise is taken as linear: its mean up to the top, at half of the time there, stops the ball; a mean
    that counts what acts early twice, at a third of it, tells the height.
    """
    more = (rates[0] - rates[1]) / (NODES[1] - NODES[0])
    first = -rates[0] - NODES[0] * more
    top = climb / np.maximum(lasts * (first + 0.25 * more), 1e-9)
    mean, early = (np.maximum(first + part * top * more, 1.0) for part in (1.0 / 2.0, 1.0 / 3.0))
    up = np.minimum(climb / mean, time)
    return np.asarray(up * (climb - 0.5 * up * early))


def _landing(climb: Array, time: Array, whole: Array, gx: Array, gy: Array) -> Array:
    """Time in s (n,) of the landing on the plane through the take-off, by one step of Newton's rule.

    ``whole`` (4, 2, n) is what the forces in the mean make of the speed and, with the time once more, of the
    way.
    """
    sink, left = climb + time * (whole[2] - gx * whole[0] - gy * whole[1])
    return np.asarray(time * (1.0 - left / np.minimum(sink, -1e-6)))


@dataclass(frozen=True)
class _Way:
    """The way of n hops at any share of their ``time``, by forces that are a parabola in time."""

    position: Array
    """At take-off, in m, and velocity in m/s, (3, n)."""
    velocity: Array
    state: Array
    """Velocity and spin rate then, (4, n)."""
    rates: Array
    """Their rates at the three times, (4, 3, n)."""
    time: Array
    lane: Index

    @cached_property
    def forces(self) -> Array:
        """Coefficients of the forces over the powers of the share, (3, 4, n)."""
        return weighed(POWERS, self.rates).transpose(1, 0, 2)

    def take(self, index: Index) -> _Way:
        """The ways of the hops in ``index``."""
        return _Way(
            self.position.take(index, axis=1), self.velocity.take(index, axis=1),
            self.state.take(index, axis=1), self.rates.take(index, axis=2), self.time.take(index),
            self.lane.take(index),
        )  # fmt: skip

    def place(self, share: Array) -> Array:
        """Place in m (3, n), or (3, k, n) for k shares of each."""
        rows = (self.position, self.velocity, *self.forces[:, :3])
        start, speed, rate, linear, square = (a[:, None] for a in rows) if share.ndim == 2 else rows
        t = share * self.time
        return np.asarray(
            start + t * (speed + t * (0.5 * rate + share * (linear / 6.0 + share / 12.0 * square)))
        )

    def moving(self, share: Array) -> Array:
        """Velocity and spin rate (4, n), or (4, k, n)."""
        rows = (self.state, *self.forces)
        start, rate, linear, square = (a[:, None] for a in rows) if share.ndim == 2 else rows
        return np.asarray(start + share * self.time * (rate + share * (0.5 * linear + share / 3.0 * square)))

    def down(self, ground: Ground, first: Array, further: Array, looks: int = LOOKS) -> tuple[Array, Mask]:
        """Shares (n,) at which they first come down, and which of them do up to the shares ``further`` (n,).

        At so many ``looks`` the ground is looked at. ``first`` (n,) is the height over the ground over the
        share at take-off, where both vanish.
        """

        def above(share: Array) -> Array:
            place = self.place(share)
            return np.asarray((place[2] - height(ground, place, self.lane)) / np.maximum(share, 1e-12))

        each = np.arange(len(first))
        shares = further * (np.arange(1, looks + 1)[:, None] / looks)
        gap = above(shares)
        under = gap <= 0.0
        comes, at = under.any(axis=0), under.argmax(axis=0)
        high, f_high = shares[at, each], np.minimum(gap[at, each], 0.0)
        low = np.where(at > 0, shares[at - 1, each], 0.0)
        f_low = np.maximum(np.where(at > 0, gap[at - 1, each], first), 1e-12)
        guess = low + (high - low) * f_low / (f_low - f_high)
        return falls(above, low, high, np.where(comes, f_high, 0.0), guess, CLOSE), np.asarray(comes)


class Traced:
    """Hops of traced balls, leap by leap, which are drawn all at once: most of what each costs is that it is
    asked for."""

    def __init__(self) -> None:
        self.leaps: dict[int, list[tuple[Index, _Way, Array, Array]]] = {}

    def add(self, points: int, ids: Index, way: _Way, clock: Array, time: Array) -> None:
        """Take in the hops of the balls ``ids``, which begin at ``clock`` and last ``time`` in s (n,).

        So many ``points`` of each will be told.
        """
        self.leaps.setdefault(points, []).append((ids, way, clock, time))

    def tell(self, path: Path) -> None:
        """Add all of them to the ``path``."""
        for points, leaps in self.leaps.items():
            ids, ways, clocks, times = zip(*leaps, strict=True)
            way = _Way(*(np.concatenate([getattr(w, f.name) for w in ways], axis=-1) for f in fields(_Way)))
            path.later(
                np.concatenate(ids), _drawn(way, points, np.concatenate(clocks), np.concatenate(times))
            )


def _drawn(way: _Way, points: int, clock: Array, time: Array) -> Callable[[Index], Points]:
    """What draws n hops by so many ``points`` each; they begin at ``clock`` and last ``time`` in s (n,)."""
    shares = np.arange(1, points + 1)[:, None] / (points + 1)

    def drawn(some: Index) -> Points:
        mine, lasts = way.take(some), time.take(some)
        share = shares * (lasts / np.maximum(mine.time, 1e-12))
        when = clock.take(some) + shares * lasts
        which = np.tile(np.arange(len(some)), points)
        return which, when.ravel(), mine.place(share).reshape(3, -1), mine.moving(share)[:3].reshape(3, -1)

    return drawn
