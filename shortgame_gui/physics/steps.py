"""Balls that move along the ground, step by step: what they meet on a step, and what becomes of them.

Velocities are kept by their horizontal components; the speed along the slope includes the climb, so that a
plane is treated exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable, Run
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.flight import Points
from shortgame_gui.physics.ground import GREEN, OUT, SURFACES, WATER, Ground
from shortgame_gui.physics.long_roll import PANELS, LongRoll
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY = range(5)
AHEAD = 0.05
"""Longest step in s over bent ground of a ball so fast that it makes more than the table's longest in it."""
PANEL, LONG = 0.4, 1.0
"""Way in m of a panel of a long roll, if the ball makes no more in `AHEAD`; and the shortest way ahead, over
one piece of bent ground, that is worth one."""
AT_ONCE = 512
"""Balls whose long rolls are worked out at a time, as larger products of matrices are split among threads."""
STILL, NEVER = 1e-6, 1e9
"""Speed in m/s of a ball at rest, and time in s to the stop of one that does not lose speed."""
ENDINGS = np.full(len(SURFACES), AT_REST)
"""How a ball ends that comes to rest, by surface, or is in water at all."""
ENDINGS[[OUT, WATER]] = OUT_OF_BOUNDS, IN_WATER
LOOKS, CLOSER = 32, (16, 16)
"""Points of a step at which the surface is looked at: strips of less than 25 cm may be rolled over. And those
between two of them that hold an edge, and so on: to less than a millimetre."""
SHARES = [
    np.arange(1, looks + 1)[:, None] / parts
    for looks, parts in zip((LOOKS, *CLOSER), np.cumprod((LOOKS, *CLOSER)), strict=True)
]
"""The shares of the step at which they lie, after the point before, (looks, 1) each."""
CHORDS = 18
"""Straight pieces of a step along which the hole is looked for."""
DRAWN, DRAWN_WAY = 4, 1.0
"""Points of a traced step that are told, the end among them, at least; and how far apart they are in m."""
SAME = 1e-9
"""Time in s by which such a point must be before the end: a ball may drop at one of these shares."""


@dataclass(frozen=True)
class Turfs:
    """What n balls roll on: per-surface arrays and the green of each ball."""

    slide: Array
    """Sliding friction by surface, (surfaces,)."""
    deceleration: Array
    """Rolling deceleration in m/s2 by surface, (surfaces,); the green's entry is not used."""
    green: Array
    """Rolling deceleration of each ball's green in m/s2, (n,)."""
    roughness: Array | None = None
    """Spread of the deceleration from roll to roll by surface (log), (surfaces,); None: no spread."""
    luck: Array | None = None
    """Standard normal draw of each ball's roll, (n,)."""
    firm: Array | None = None
    """Factor on the deceleration off the green, where each ball's ground is firm or soft, (n,)."""


@dataclass(frozen=True)
class Rest:
    """Where n balls end, and where they began to roll."""

    position: Array
    """m, (3, n)."""
    time: Array
    """Duration of skid and roll in s, (n,)."""
    ending: Index
    """AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS or ROLLED_AWAY, (n,)."""
    roll_position: Array
    """m, (2, n); where it ended for a ball that never rolled."""
    roll_speed: Array
    """Speed at the start of rolling in m/s, (n,); 0 for a ball that never rolled."""
    met: Index
    """Number of the obstacle that stopped the ball, -1 for none, (n,)."""
    going: Index
    """Balls (k,) that go on from their ``position``; their ``ending`` is void."""
    aloft: Mask
    """Who of them left the ground, (k,); the others are about to roll."""
    velocity: Array
    """Velocity in m/s and spin in rad/s of those that go on, (3, k)."""
    spin: Array
    left: bool
    """Whether the rest was left, being enough."""


@dataclass
class Balls:
    """The balls still moving; arrays end in (n,)."""

    ball: Index
    lane: Index
    place: Array
    """m, (2, n)."""
    velocity: Array
    """Horizontal, in m/s, (2, n)."""
    spin: Array
    """rad/s, (3, n); (0, n) of balls that roll, where the velocity gives it."""
    surface: Index
    hole: Array
    time: Array
    skids: Mask

    def take(self, keep: Index) -> Balls:
        return Balls(*(getattr(self, name).take(keep, axis=-1) for name in _BALLS))

    @classmethod
    def join(cls, parts: list[Balls]) -> Balls:
        """All balls of ``parts``."""
        return cls(*(np.concatenate([getattr(p, name) for p in parts], axis=-1) for name in _BALLS))


_BALLS = tuple(f.name for f in fields(Balls))


@dataclass(frozen=True)
class Move:
    """One step of n balls; a share goes from 0 at its start to 1 at its end, evenly in time.

    On the way the place is a cubic in time with the velocities at both ends.
    """

    start: Array
    """Place in m, (2, n), and velocity in m/s there."""
    before: Array
    time: Array
    """Duration in s, (n,)."""
    end: Array
    """Place and velocity where the step leads."""
    after: Array
    rests: Mask
    """Who is at rest then."""

    def take(self, keep: Index) -> Move:
        return Move(
            self.start.take(keep, axis=1), self.before.take(keep, axis=1), self.time.take(keep),
            self.end.take(keep, axis=1), self.after.take(keep, axis=1), self.rests.take(keep),
        )  # fmt: skip

    @cached_property
    def powers(self) -> tuple[Array, Array, Array]:
        """Coefficients of the place over the powers of the share from the first on, (2, n) each."""
        way, first = self.end - self.start, self.time * self.before
        third = first + self.time * self.after - 2.0 * way
        return first, way - first - third, third

    def places(self, share: Array) -> Array:
        """Places in m at shares (n,) of the step, (2, n), or at (k, 1) or (k, n) of them, (2, k, n)."""
        start, (a, b, c) = self.start, self.powers
        if share.ndim == 2:
            start, a, b, c = start[:, None], a[:, None], b[:, None], c[:, None]
        return np.asarray(start + share * (a + share * (b + share * c)))

    def velocities(self, share: Array) -> Array:
        """Velocities in m/s there."""
        per, (a, b, c) = 1.0 / np.maximum(self.time, 1e-12), self.powers
        if share.ndim == 2:
            a, b, c = a[:, None], b[:, None], c[:, None]
        return np.asarray(per * (a + share * (2.0 * b + (3.0 * share) * c)))

    def cut(self, some: Index, share: Array, part: Move) -> None:
        """End the steps of the balls ``some`` (k,), which ``part`` holds as well, at the ``share`` (k,).

        There they are not at rest.
        """
        self.end[:, some], self.after[:, some] = part.places(share), part.velocities(share)
        self.time[some] *= share
        self.rests[some] = False

    @cached_property
    def bounds(self) -> tuple[Array, Array]:
        """Corners (2, n) of the rectangles within which the balls stay: of the polygon that spans the way.

        They hold for the step as it was when they were first asked for; a step is only ever cut afterwards.
        """
        third = self.time / 3.0
        early, late = self.start + third * self.before, self.end - third * self.after
        low = np.minimum(np.minimum(self.start, self.end), np.minimum(early, late))
        high = np.maximum(np.maximum(self.start, self.end), np.maximum(early, late))
        return low, high


_MOVE = tuple(f.name for f in fields(Move))


@dataclass(frozen=True)
class Step:
    """What a traced step is drawn from: n balls of it, or of all steps of a run; arrays end in (n,)."""

    ball: Index
    lane: Index
    move: Move
    began: Array
    """Time in s."""
    ended: Array
    """The same; before the end of the ``move`` where a ball drops on the way."""
    place: Array
    """Place in m, (2, n), and velocity in m/s then."""
    velocity: Array

    @classmethod
    def join(cls, steps: list[Step]) -> Step:
        """All of ``steps``."""

        def whole(parts: list[Any], name: str) -> Any:
            return np.concatenate([getattr(part, name) for part in parts], axis=-1)

        move = Move(*(whole([step.move for step in steps], name) for name in _MOVE))
        rest = {f.name: whole(steps, f.name) for f in fields(cls) if f.name != "move"}
        return cls(**rest, move=move)

    def points(self, ground: Ground) -> Callable[[Index], Points]:
        """What draws them; those of a ball in order of time."""

        def points(some: Index) -> Points:
            move, ended = self.move.take(some), self.ended[some]
            many = np.maximum(np.ceil(np.hypot(*(move.end - move.start)) / DRAWN_WAY), DRAWN)
            k = int(many.max(initial=1.0)) - 1
            shares = np.arange(1.0, k + 1.0)[:, None] / many
            when = np.concatenate([self.began[some] + shares * move.time, ended[None]])
            place = np.concatenate([move.places(shares), self.place[:, None, some]], axis=1)
            velocity = np.concatenate([move.velocities(shares), self.velocity[:, None, some]], axis=1)
            # Of a ball that drops on the way, only what lies before.
            keep = np.ones((len(some), k + 1), dtype=bool)
            keep[:, :k] = ((shares < 1.0) & (when[:k] < ended - SAME)).T
            step, part = keep.nonzero()
            (x, y), (u, v), lane = place[:, part, step], velocity[:, part, step], self.lane[some[step]]
            gx, gy = ground.slopes(x, y, lane)
            rise = gx * u + gy * v
            return step, when[part, step], np.array([x, y, ground.height(x, y, lane)]), np.array([u, v, rise])

        return points


class Steps:
    """The ground and the tables of one run, and what has become of its balls."""

    def __init__(
        self,
        ground: Ground,
        turfs: Turfs,
        radius: float,
        gravity: float,
        table: Run,
        hole_table: HoleTable,
        rest: Rest,
        obstacles: Obstacles | None,
        clock: Array | None,
        holes: bool,
    ) -> None:
        self.ground, self.table, self.hole_table, self.rest = ground, table, hole_table, rest
        self.radius, self.gravity, self.slide = radius, gravity, turfs.slide
        self.obstacles, self.clock, self.holes = obstacles, clock, holes
        self.steps: list[Step] = []
        """Those of traced balls."""
        self.shown: Index = np.arange(0)
        """Balls whose next step is among them already."""
        self.aloft: list[tuple[Index, Array, Array]] = []
        """Balls that left the ground, their velocity and spin then."""
        self.paused: list[tuple[Index, Array, Array]] = []
        """The same of those that wait for them to land."""
        firm = np.ones_like(turfs.green) if turfs.firm is None else turfs.firm
        resist = turfs.deceleration[:, None] * firm
        resist[GREEN] = turfs.green
        if turfs.roughness is not None and turfs.luck is not None:
            resist *= np.exp(turfs.roughness[:, None] * turfs.luck)
        # Rolling deceleration in m/s2 by surface and ball.
        self.resist = resist.ravel()

    def slope(self, lane: Index, place: Array) -> tuple[Array, Array, Array, Array]:
        """Slopes, vertical part of the normal, and gravity along the slope (its horizontal parts, m/s2)."""
        gx, gy = self.ground.slopes(place[0], place[1], lane)
        square = 1.0 / (1.0 + gx * gx + gy * gy)
        downhill = np.empty_like(place)
        pull = -self.gravity * square
        np.multiply(pull, gx, out=downhill[0])
        np.multiply(pull, gy, out=downhill[1])
        return gx, gy, np.sqrt(square), downhill

    def slip(self, balls: Balls, gx: Array, gy: Array, nz: Array) -> tuple[Array, Array, Array]:
        """Velocity of the point of contact in m/s, v - r omega x n, which lies in the ground."""
        (vx, vy), (wx, wy, wz) = balls.velocity, self.radius * balls.spin
        nx, ny = -gx * nz, -gy * nz
        climb = gx * vx + gy * vy
        return vx - (wy * nz - wz * ny), vy - (wz * nx - wx * nz), climb - (wx * ny - wy * nx)

    def meeting(self, balls: Balls, some: Index, time: Array, way: LongRoll) -> Index:
        """The first panel of the long ways of the balls ``some`` (k,) in which they may meet something.

        Or the last; ``time`` in s (k,) is that of all panels.
        """
        place, velocity, _ = way
        # The panels lie within the polygons that span them.
        third = (time * (1.0 / (3.0 * PANELS))) * velocity
        corners = place[:, 1:], (place + third)[:, :-1], (place - third)[:, 1:]
        low = high = place[:, :-1]
        for corner in corners:
            low, high = np.minimum(low, corner), np.maximum(high, corner)
        meets = ~self.ground.one_surface(low, high, balls.lane[some])
        if self.holes:
            meets |= hole_law.near(low, high, balls.hole[:, None, some], self.hole_table)
        if self.obstacles is not None:
            x = place[0]
            meets |= self.obstacles.between(x[:-1].ravel(), x[1:].ravel()).reshape(meets.shape)
        meets[-1] = True
        return np.asarray(meets.argmax(axis=0))

    def trace(self, balls: Balls, who: Index, panel: Array, way: LongRoll, mine: Index, many: Index) -> None:
        """Keep the first ``many`` (k,) panels of the balls ``who`` (k,), to be drawn, if anything shall be.

        They are number ``mine`` of the ``way``, and each ``panel`` takes so many s.
        """
        if self.clock is None:
            return
        number, which = (np.arange(PANELS)[:, None] < many).nonzero()
        (place, velocity, _), whose, dt = way, who[which], panel[which]
        start, end = (slice(None), number, mine[which]), (slice(None), number + 1, mine[which])
        ball, none = balls.ball[whose], np.zeros(len(dt), dtype=bool)
        began = self.clock[ball] + balls.time[whose] + number * dt
        part = Move(place[start], velocity[start], dt, place[end], velocity[end], none)
        self.steps.append(Step(ball, balls.lane[whose], part, began, began + dt, part.end, part.after))

    def to_edges(self, balls: Balls, move: Move) -> None:
        """Cut the steps just past the first edge between surfaces.

        So each surface brakes only its own part of the way.
        """
        unsure = (~self.ground.one_surface(*move.bounds, balls.lane)).nonzero()[0]
        if not len(unsure):
            return
        some, lane, kind = move.take(unsure), balls.lane.take(unsure), balls.surface.take(unsure)
        off = self.off(some, lane, kind, SHARES[0])
        first = off.argmax(axis=0)
        crosses = off[first, np.arange(len(unsure))].nonzero()[0]
        if len(crosses) < len(unsure):
            first, unsure, lane, kind = (a.take(crosses) for a in (first, unsure, lane, kind))
            some = some.take(crosses)
        share = SHARES[0][0] * first
        for shares in SHARES[1:]:
            off = self.off(some, lane, kind, share + shares)
            off[-1] = True
            share += shares[0] * off.argmax(axis=0)
        move.cut(unsure, share + SHARES[-1][0], some)

    def off(self, move: Move, lane: Index, kind: Index, shares: Array) -> Mask:
        """Which of n balls are not on their ``kind`` (n,) of surface at ``shares`` (k, n) or (k, 1)."""
        x, y = move.places(shares)
        return np.asarray(self.ground.surface(x, y, lane) != kind)

    def drops(self, hole: Array, lane: Index, move: Move) -> Array:
        """Share of the ``move`` at which n balls near the ``hole`` (2, n) pass its rim to drop; inf: none.

        By chords.
        """
        slope = self.ground.slopes(hole[0], hole[1], lane)
        chord = np.arange(CHORDS + 1)[:, None]
        (x, y), (vx, vy) = move.places(chord / CHORDS), move.velocities(chord / CHORDS)
        rim = hole_law.drops_rolling(
            x[:-1], y[:-1], vx[:-1], vy[:-1], x[1:], y[1:], vx[1:], vy[1:], hole, slope, self.radius,
            self.gravity, self.hole_table,
        )  # fmt: skip
        first = np.isfinite(rim).argmax(axis=0)
        return np.asarray(np.maximum((first + rim[first, np.arange(len(first))]) / CHORDS, 0.0))

    def stop(self, balls: Balls, move: Move) -> None:
        """Let the balls whose ``move`` leads into an obstacle rest in front of it."""
        assert self.obstacles is not None

        def place(share: Array) -> Array:
            x, y = move.places(share)
            return np.array([x, y, self.ground.height(x, y, balls.lane)])

        met, when = self.obstacles.first(place, move.start[0], move.end[0], np.ones(len(move.time)))
        hit = (met != CLEAR).nonzero()[0]
        if len(hit):
            move.cut(hit, when[hit], move.take(hit))
            move.end[0, hit] -= IN_FRONT
            move.after[:, hit] = 0.0
            move.rests[hit] = True
            self.rest.met[balls.ball[hit]] = met[hit]

    def moved(self, balls: Balls, move: Move, clock: Array | None) -> Balls:
        """The balls after a step, without those that ended in it, which go into ``rest``.

        With the ``clock`` of all balls in s it is kept, to be drawn.
        """
        ground, table, rest = self.ground, self.table, self.rest
        if self.obstacles is not None:
            self.stop(balls, move)
        near, time = balls.ball[:0], move.time
        if self.holes:
            near = hole_law.near(*move.bounds, balls.hole, self.hole_table).nonzero()[0]
        holed = near
        if len(near):
            share = self.drops(balls.hole.take(near, axis=1), balls.lane.take(near), move.take(near))
            caught = np.isfinite(share).nonzero()[0]
            holed, share = near[caught], share[caught]
            time = time.copy()
            time[holed] *= share
        began = balls.time
        balls.place, balls.velocity, balls.time = move.end, move.after, began + time
        if len(holed):
            balls.place, balls.velocity = balls.place.copy(), balls.velocity.copy()
            balls.place[:, holed], balls.velocity[:, holed] = balls.hole[:, holed], 0.0
        x, y = balls.place
        balls.surface = ground.surface(x, y, balls.lane)
        if clock is not None:
            tell = (~np.isin(balls.ball, self.shown)).nonzero()[0]
            start, self.shown = clock[balls.ball[tell]], self.shown[:0]
            self.steps.append(
                Step(
                    balls.ball[tell], balls.lane[tell], move.take(tell), start + began[tell],
                    start + balls.time[tell], balls.place[:, tell], balls.velocity[:, tell],
                )
            )  # fmt: skip
        ends = move.rests | (balls.surface == WATER)
        away = ((balls.time > table.time_limit) | (x * x + y * y > table.distance_limit**2)) & ~ends
        ends |= away
        ends[holed] = True
        some = ends.nonzero()[0]
        if not len(some):
            return balls
        x, y, who = x.take(some), y.take(some), balls.ball.take(some)
        rest.position[:, who] = x, y, ground.height(x, y, balls.lane.take(some))
        rest.time[who], rest.ending[who] = balls.time.take(some), ENDINGS.take(balls.surface.take(some))
        rest.ending[balls.ball[away]] = ROLLED_AWAY
        rest.ending[balls.ball[holed]] = HOLED
        return balls.take((~ends).nonzero()[0])
