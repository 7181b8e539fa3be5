"""Flight by fixed fourth-order steps up to the ground, met on an interpolant of the last of them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import AirTable, Ball, Flight
from shortgame_gui.physics.falling import falls
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

SHORTEST = 0.02
"""Time in s over which the steps are spread at least, so that a skimming ball still moves."""
GENTLE = 1.0 / 16.0
"""First step of a flight in wind, over the longest one."""
LONGEST = 60
"""Times the vacuum time after which a flight is given up: gravity makes it impossible."""
LOOKS = 8
"""Parts of a step at whose ends uneven ground is looked at."""
DRAWN = 12
"""Points of a traced step."""
CLOSE = 1e-8
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

    def put(self, index: Index, other: Landing) -> None:
        """Replace the landings of the balls ``index`` by those of ``other``."""
        for f in fields(self):
            getattr(self, f.name)[..., index] = getattr(other, f.name)


@dataclass
class Path:
    """Points of traced balls in order of time for each ball; only filled while tracing."""

    time: list[Array] = field(default_factory=list)
    position: list[Array] = field(default_factory=list)
    velocity: list[Array] = field(default_factory=list)
    ball: list[Index] = field(default_factory=list)

    def add(self, time: Array, position: Array, velocity: Array, ball: Index) -> None:
        """Append one point for each ball of ``ball`` (n,): time in s (n,), m and m/s (3, n)."""
        self.time.append(np.array(time))
        self.position.append(np.array(position))
        self.velocity.append(np.array(velocity))
        self.ball.append(np.array(ball))


def hermite(s: Array | float, p0: Array, v0: Array, p1: Array, v1: Array, dt: Array) -> Array:
    """Cubic Hermite interpolant at the share ``s`` of a step ``dt`` between values with derivatives."""
    s2 = s * s
    end = s2 * (3.0 - 2.0 * s)
    return np.asarray(
        p0 + end * (p1 - p0) + (dt * s) * ((1.0 - 2.0 * s + s2) * v0) + (dt * (s2 * s - s2)) * v1
    )


@dataclass
class _Aloft:
    """The balls still in the air at the beginning of a step; arrays end in (n,)."""

    forces: Forces
    ball: Index
    lane: Index
    position: Array
    state: Array
    """Velocity and spin rate, (4, n)."""
    rate: Array
    """Rate of change of the state, (4, n)."""
    time: Array
    dt: Array
    longest: Array
    """The step in s that ``dt`` grows to."""
    above: Array
    """Height above the local ground in m."""

    def take(self, keep: Index) -> _Aloft:
        arrays = (getattr(self, name)[..., keep] for name in _ALOFT)
        return _Aloft(self.forces.take(keep), *arrays)

    def advance(self, ground: Ground) -> tuple[Array, Array]:
        """Place (3, n) and state (4, n) after one classical fourth-order step."""
        forces, state, dt = self.forces, self.state, self.dt
        half, sixth = 0.5 * dt, dt / 6.0

        def above(time: Array, moving: Array) -> Array:
            # Only the wind asks for it.
            if not forces.windy:
                return self.above
            x, y, z = self.position + time * moving[:3]
            return np.asarray(z - ground.height(x, y, self.lane))

        state2 = state + half * self.rate
        rate2 = forces(state2, above(half, state))
        state3 = state + half * rate2
        rate3 = forces(state3, above(half, state2))
        state4 = state + dt * rate3
        rate4 = forces(state4, above(dt, state3))
        place = self.position + sixth * (state[:3] + 2.0 * (state2[:3] + state3[:3]) + state4[:3])
        return place, state + sixth * (self.rate + 2.0 * (rate2 + rate3) + rate4)


_ALOFT = tuple(f.name for f in fields(_Aloft) if f.name != "forces")


@dataclass(frozen=True)
class _Step:
    """One step of n balls, as an interpolant of place and state between its ends; arrays end in (n,)."""

    p0: Array
    state0: Array
    rate0: Array
    p1: Array
    state1: Array
    rate1: Array
    dt: Array
    lane: Index

    def take(self, index: Index) -> _Step:
        return _Step(*(getattr(self, name)[..., index] for name in _STEP))

    def place(self, share: Array | float) -> Array:
        """Place (3, n) at a share of the step."""
        return hermite(share, self.p0, self.state0[:3], self.p1, self.state1[:3], self.dt)

    def state(self, share: Array | float) -> Array:
        """Velocity and spin rate (4, n) at a share of the step."""
        return hermite(share, self.state0, self.rate0, self.state1, self.rate1, self.dt)

    def above(self, share: Array | float, ground: Ground) -> Array:
        """Height over the ground (n,) at a share of the step."""
        x, y, z = self.place(share)
        return np.asarray(z - ground.height(x, y, self.lane))


_STEP = tuple(f.name for f in fields(_Step))


def fly(
    position: Array,
    velocity: Array,
    spin: Array,
    air: Air,
    ground: Ground,
    lane: Index,
    ball: Ball,
    air_table: AirTable,
    table: Flight,
    steps: int,
    path: Path | None = None,
    ids: Index | None = None,
    clock: Array | None = None,
    obstacles: Obstacles | None = None,
) -> Landing:
    """Fly n balls from the ground to their next landing.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n), starting on the ground; ``steps``
    is the least number of steps in the vacuum time of flight. A ball that is not launched away from the local
    ground lands where it is, at once. With ``path`` the ways of the balls, whose numbers there are ``ids``
    (n,), are recorded from their ``clock`` in s (n,), without start and landing. A ball that meets one of the
    ``obstacles`` drops where it did, in front of it, without speed. Every ball lands; a
    RuntimeError after `LONGEST` times the vacuum time says that one did not.
    """
    n = position.shape[1]
    omega = np.sqrt((spin * spin).sum(axis=0))
    axis = spin / np.maximum(omega, 1e-12)
    forces = Forces(axis, air, ball, air_table, table)
    state = np.concatenate([velocity, omega[None]])
    slope_x, slope_y = ground.slopes(position[0], position[1], lane)
    on_ground = np.zeros(n)
    aloft = _Aloft(
        forces, np.arange(n), lane, position, state, forces(state, on_ground), np.zeros(n), np.zeros(n),
        np.zeros(n), on_ground,
    )  # fmt: skip
    climb = velocity[2] - slope_x * velocity[0] - slope_y * velocity[1]
    # Time of flight in vacuum over the local slope or from the level, whichever is longer.
    vacuum = np.maximum(2.0 * np.maximum(climb, velocity[2]) / forces.gravity, SHORTEST)
    aloft.longest = np.minimum(vacuum / steps, table.step_longest)
    # Wind grows fastest just above the ground: there the steps begin short and double.
    aloft.dt = np.where((air.wind_x != 0.0) | (air.wind_y != 0.0), GENTLE, 1.0) * aloft.longest
    end = Landing(
        np.array(position), np.array(velocity), np.array(spin), np.zeros(n), np.array(position[2]),
        np.full(n, CLEAR, dtype=np.intp),
    )  # fmt: skip
    if not (climb > 0.0).all():
        aloft = aloft.take(np.flatnonzero(climb > 0.0))
    most = max(steps, math.ceil(vacuum.max(initial=0.0) / table.step_longest))
    for number in range(LONGEST * most):
        if not len(aloft.ball):
            return end
        p1, state1 = aloft.advance(ground)
        above1 = p1[2] - ground.height(p1[0], p1[1], aloft.lane)
        rate1 = aloft.forces(state1, above1)
        step = _Step(aloft.position, aloft.state, aloft.rate, p1, state1, rate1, aloft.dt, aloft.lane)
        down, low, high = _reach(step, aloft.above, above1, ground)
        landed = np.flatnonzero(down)
        share = np.ones(len(down))
        if len(landed):
            # In the first step the ball starts on the ground, which must not be taken for the landing.
            first = climb[aloft.ball[landed]] * aloft.dt[landed] if number == 0 else None
            last = step.take(landed)
            share[landed] = _root(last, low[landed], high[landed], ground, first)
            _land(end, last, share[landed], aloft.ball[landed], aloft.time[landed], axis, ground)
        if obstacles is not None:
            met, when = obstacles.first(step.place, step.p0[0], step.p1[0], share)
            if (met != CLEAR).any():
                hit = np.flatnonzero(met != CLEAR)
                who, down[hit], share[hit] = aloft.ball[hit], True, when[hit]
                landed = np.flatnonzero(down)
                _land(end, step.take(hit), when[hit], who, aloft.time[hit], axis, ground)
                _stop(end, who, met[hit], ground, lane)
        _peak(end, step, share, aloft.ball)
        if path is not None and ids is not None and clock is not None:
            for k in range(1, DRAWN + 1):
                on = np.flatnonzero(~down) if k == DRAWN else np.arange(len(down))
                way, who = step.take(on), aloft.ball[on]
                part = share[on] * (k / DRAWN)
                time = clock[who] + aloft.time[on] + part * aloft.dt[on]
                path.add(time, way.place(part), way.state(part)[:3], ids[who])
        aloft.position, aloft.state, aloft.rate, aloft.above = p1, state1, rate1, above1
        aloft.time = aloft.time + aloft.dt
        aloft.dt = np.minimum(2.0 * aloft.dt, aloft.longest)
        if len(landed):
            aloft = aloft.take(np.flatnonzero(~down))
    raise RuntimeError("a ball did not come down")


def _reach(step: _Step, above0: Array, above1: Array, ground: Ground) -> tuple[Mask, Array, Array]:
    """Which balls meet the ground in the step, and the shares of it between which they first do.

    The way through the air lies above its chord, and the ground above its own by no more than its
    unevenness allows; only where that leaves room is the ground looked at between the ends.
    """
    down = above1 <= 0.0
    low, high = np.zeros(len(down)), np.ones(len(down))
    uneven = ground.unevenness(step.lane)
    if not uneven.any():
        return down, low, high
    dx, dy = step.p1[0] - step.p0[0], step.p1[1] - step.p0[1]
    room = 0.25 * uneven * np.sqrt(dx * dx + dy * dy)
    close = np.minimum(above0, above1) < room
    near = np.flatnonzero(close & ~ground.flat_between(step.p0[0], step.p1[0], step.lane))
    if not len(near):
        return down, low, high
    numbers = np.arange(1, LOOKS)
    above = step.take(np.repeat(near, LOOKS - 1)).above(np.tile(numbers / LOOKS, len(near)), ground)
    under = above.reshape(len(near), LOOKS - 1) < -CLOSE
    met, first = under.any(axis=1), under.argmax(axis=1)
    down[near] |= met
    high[near] = np.where(met, numbers[first] / LOOKS, 1.0)
    low[near] = np.where(met, first, LOOKS - 1) / LOOKS
    return down, low, high


def _root(step: _Step, low: Array, high: Array, ground: Ground, first: Array | None) -> Array:
    """Share of the step (n,) at which the way meets the ground, between ``low`` and ``high``.

    In the first step of a flight the height over the share is used
    in place of the height, with ``first`` (n,) its value at the start.
    """

    def gap(share: Array) -> Array:
        height = step.above(share, ground)
        return height if first is None else height / np.maximum(share, 1e-12)

    f_low, f_high = gap(low), np.minimum(gap(high), 0.0)
    if first is not None:
        f_low = np.where(low > 0.0, f_low, first)
    return falls(
        gap, low, high, np.maximum(f_low, 1e-15), f_high, f_high > -CLOSE, lambda _, f: np.abs(f) < CLOSE
    )


def _land(
    end: Landing, step: _Step, share: Array, ball: Index, time: Array, axis: Array, ground: Ground
) -> None:
    """Write down where the balls ``ball`` landed, at the ``share`` of a step that began at ``time``."""
    x, y, _ = step.place(share)
    z = ground.height(x, y, step.lane)
    end.position[:, ball] = x, y, z
    end.apex[ball] = np.maximum(end.apex[ball], z)
    state = step.state(share)
    end.velocity[:, ball] = state[:3]
    end.spin[:, ball] = axis[:, ball] * state[3]
    end.time[ball] = time + share * step.dt


def _stop(end: Landing, ball: Index, met: Index, ground: Ground, lane: Index) -> None:
    """Let the balls ``ball`` drop a hand's breadth in front of the obstacles ``met``."""
    end.position[0, ball] -= IN_FRONT
    x, y = end.position[0, ball], end.position[1, ball]
    end.position[2, ball] = ground.height(x, y, lane[ball])
    end.velocity[:, ball] = 0.0
    end.spin[:, ball] = 0.0
    end.met[ball] = met


def _peak(end: Landing, step: _Step, share: Array, ball: Index) -> None:
    """Let the greatest height take in the top of a step, if the ball is not down before, at ``share``."""
    rise, fall = step.state0[2], step.state1[2]
    turns = np.flatnonzero((rise > 0.0) & (fall <= 0.0))
    if not len(turns):
        return
    # From the vertical speeds at the ends of the step: exact enough for a figure in cm.
    at = rise[turns] / (rise[turns] - fall[turns])
    top, who = step.take(turns).place(at)[2], ball[turns]
    end.apex[who] = np.maximum(end.apex[who], np.where(at <= share[turns], top, end.apex[who]))
