"""The run: skid until the ball rolls, then roll over slopes and surfaces until it stops or drops.

Sliding friction and pure rolling of a solid sphere (5/7 of the slope's pull); the rolling deceleration of
a green is what its stimpmeter reading defines, v^2 / (2 S) with B. W. Holmes's release speed (Phys.
Teacher 24:401, 1986; value from memory). Velocities are kept by their horizontal components; the speed
along the slope includes the climb, so that a plane is treated exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable, Run
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.flight import Path, Points
from shortgame_gui.physics.ground import GREEN, OUT, SURFACES, WATER, Ground
from shortgame_gui.physics.long_roll import PANELS, LongRoll, long_roll, long_skid
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles
from shortgame_gui.physics.plane_roll import ASLANT, PlaneRoll

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY = range(5)
SKID_STEPS = 4
"""Most steps of a skid over a plane that does not end on it."""
SKID = 0.15
"""Way in m that a step of such a skid makes at least, if the skid is as long; up to which one is one step."""
SKID_BENT, SKID_AHEAD = 0.8, 0.05
"""Longest step of the skid where the ground bends: in m; and in s, for balls that make more in it."""
LEVEL = 1e-6
"""Pull over friction below which the pull on the slip may be any."""
TIP = 0.05
"""Angle in rad by which the ground may turn in half of one such step."""
ENDLESS = 1000
"""Steps after which a skid is taken to end, a roll is given up: none was seen that needs a tenth of them."""
LAST = 0.005
"""Way in m that a ball about to stop makes in one step."""
SLOWING = 0.5
"""Share of the time to a stop that one step of the roll may take where the ground bends."""
CHANGE = 0.07
"""What the changes of the force may make of the velocity in m/s in half of one such step."""
BENT = 1.0
"""Longest such step in s."""
LAG = 0.01
"""What the brake's changing direction may make of the velocity in m/s in one such step, as half way tells."""
LESS, MORE, SAME_TIME = 0.7, 1.4, 0.01
"""Bounds of what the force half way may make of the duration of such a step that goes to the end of a piece
of the ground; and what share of it that must change for the force to be taken anew."""
AHEAD = 0.05
"""Longest such step in s of a ball so fast that it makes more than the table's longest step in it."""
STIFF = 2.0
"""Share of its speed that the brake would take from a ball in one such step, from which the ball creeps."""
CREEP = 0.05
"""Way in m of one step of a ball that creeps: so slow that it keeps to the fall line."""
CREPT = 0.02
"""Way in m to the stop that it makes in one step."""
PANEL, LONG = 0.4, 1.0
"""Way in m of a panel of a long roll, if the ball makes no more in `AHEAD`; and the shortest way ahead, over
one piece of bent ground, that is worth one."""
SWEPT, TURNED = 0.9, 8.0
"""Share of the time to a stop that a long roll may take, and of its speed that the brake would take in it."""
SKIDDED = 0.85
"""Share of the time to the end of the slip that a long skid takes."""
SLOW = 0.002
"""Way in m below which the square of a ball's speed over the brake makes it one that creeps, not rolls on."""
AT_ONCE = 512
"""Balls whose long rolls are worked out at a time, as larger products of matrices are split among threads."""
STILL, NEVER = 1e-6, 1e9
"""Speed in m/s of a ball at rest, and time in s to the stop of one that does not lose speed."""
OFF = 2e-5
"""How far in m a cubic may be off the way of one step over a plane, on which something may be met."""
TURN = 0.2
"""Angle in rad by which a ball that creeps may turn in one step, or by any on a way that is short."""
STRAIGHT = 0.002
"""Angle in rad by which a roll that turns no further up to its stop counts as straight."""
BEFORE, HALF_TURN = 0.1, 2.5
"""Way in m before the hole up to which a ball makes one step where it meets nothing, and angle in rad by
which such a step may turn at most."""
LAST_TURN = 0.15
"""Way in m to the stop that is made in one step, however much it turns."""
TOP = 0.02
"""Way in m to where a ball turns round on a bend of a profile, from which on it creeps."""
TURN_WAY = 0.02
"""Way in m on which it may turn by any angle in one step."""
LONGEST = 4.0
"""Longest step in s of a ball that hardly moves on a plane."""
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
AHEAD_OF, UP = 1e-3, 1e-6
"""Way in m ahead of a ball over which the ground's bend is taken; speed in m/s at which it leaves it."""
CLEAR_BY, SOON = 0.3, np.array([0.08, 0.16, 0.24])[:, None]
"""How far in m a ball must come clear of the ground, at one of these times in s, to be said to leave it: what
hops lower runs as well, with strokes that are the same to 0.002, and would double the leaps over a slope."""
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


def green_deceleration(stimp: Array, run: Run) -> Array:
    """Rolling deceleration in m/s2 (n,) of a green of ``stimp`` in m (n,)."""
    return np.asarray(run.stimp_speed**2 / (2.0 * stimp))


@dataclass
class _Balls:
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

    def take(self, keep: Index) -> _Balls:
        return _Balls(*(getattr(self, name).take(keep, axis=-1) for name in _BALLS))

    @classmethod
    def join(cls, parts: list[_Balls]) -> _Balls:
        """All balls of ``parts``."""
        return cls(*(np.concatenate([getattr(p, name) for p in parts], axis=-1) for name in _BALLS))


_BALLS = tuple(f.name for f in fields(_Balls))


@dataclass(frozen=True)
class _Move:
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

    def take(self, keep: Index) -> _Move:
        return _Move(
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

    def cut(self, some: Index, share: Array, part: _Move) -> None:
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


_MOVE = tuple(f.name for f in fields(_Move))


@dataclass(frozen=True)
class _Step:
    """What a traced step is drawn from: n balls of it, or of all steps of a run; arrays end in (n,)."""

    ball: Index
    lane: Index
    move: _Move
    began: Array
    """Time in s."""
    ended: Array
    """The same; before the end of the ``move`` where a ball drops on the way."""
    place: Array
    """Place in m, (2, n), and velocity in m/s then."""
    velocity: Array

    @classmethod
    def join(cls, steps: list[_Step]) -> _Step:
        """All of ``steps``."""

        def whole(parts: list[Any], name: str) -> Any:
            return np.concatenate([getattr(part, name) for part in parts], axis=-1)

        move = _Move(*(whole([step.move for step in steps], name) for name in _MOVE))
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


def _speed(velocity: Array, gx: Array, gy: Array) -> Array:
    """Speed along the ground in m/s (n,)."""
    vx, vy = velocity
    climb = gx * vx + gy * vy
    return np.asarray(np.sqrt(vx * vx + vy * vy + climb * climb))


def _in_time(far: Array, speed: Array, square: Array) -> Array:
    """Time in s (n,) for a way ``far`` in m, from the ``speed`` in m/s to the ``square`` of it at the end."""
    return np.asarray(2.0 * far / np.maximum(speed + np.sqrt(np.maximum(square, 0.0)), 1e-3))


@dataclass(frozen=True)
class _Plane:
    """What acts on n balls that roll over a plane; arrays end in (n,)."""

    nz: Array
    """Vertical part of the plane's normal."""
    downhill: Array
    """Pull of the slope on the ball in m/s2, horizontal parts (2, n)."""
    level: Array
    """Size of that."""
    pull: Array
    """The same along the slope, where it is larger."""
    brake: Array
    """What brakes the ball, along the slope, in m/s2."""

    def take(self, some: Index) -> _Plane:
        """What acts on ``some`` of the balls."""
        names = (f.name for f in fields(_Plane))
        return _Plane(*(getattr(self, name).take(some, axis=-1) for name in names))


@dataclass(frozen=True)
class _Law(_Plane):
    """What acts on n rolling balls where they are; arrays end in (n,)."""

    rate: Array
    """Rate of change of the velocity, horizontal parts (2, n)."""
    speed: Array
    """Along the slope, in m/s."""
    losing: Array
    """What it loses a second, in m/s2; negative for a ball that gains speed."""
    turning: Array
    """Rate in rad/s at which the way turns."""


class _Course:
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
        self.steps: list[_Step] = []
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

    def slip(self, balls: _Balls, gx: Array, gy: Array, nz: Array) -> tuple[Array, Array, Array]:
        """Velocity of the point of contact in m/s, v - r omega x n, which lies in the ground."""
        (vx, vy), (wx, wy, wz) = balls.velocity, self.radius * balls.spin
        nx, ny = -gx * nz, -gy * nz
        climb = gx * vx + gy * vy
        return vx - (wy * nz - wz * ny), vy - (wz * nx - wx * nz), climb - (wx * ny - wy * nx)

    def take_off(self, balls: _Balls) -> _Balls:
        """The balls without those from which the ground falls away faster than they would fall themselves.

        Over a bend a ball keeps to the ground as long as that presses on it.
        """
        ground, gravity = self.ground, self.gravity
        square = np.add.reduce(balls.velocity * balls.velocity)
        some = (square * ground.crest > gravity).nonzero()[0]
        if not len(some):
            return balls
        lane, (x, y) = balls.lane.take(some), balls.place.take(some, axis=1)
        vx, vy = balls.velocity.take(some, axis=1)
        gx, gy = ground.slopes(x, y, lane)
        soon = AHEAD_OF / np.sqrt(square[some])
        on, aside = ground.slopes(x + soon * vx, y + soon * vy, lane)
        falls = ((gx - on) * vx + (gy - aside) * vy > gravity * soon).nonzero()[0]
        if not len(falls):
            return balls
        some, lane, x, y, vx, vy, gx, gy = (a.take(falls) for a in (some, lane, x, y, vx, vy, gx, gy))
        level, up = ground.height(x, y, lane), gx * vx + gy * vy
        there = np.array([ground.height(x + t * vx, y + t * vy, lane) for t in SOON])
        clear = level + SOON * (up - (0.5 * gravity) * SOON) - there
        off = (clear.max(axis=0) > CLEAR_BY).nonzero()[0]
        if not len(off):
            return balls
        some, x, y, level, vx, vy, up, gx, gy = (a.take(off) for a in (some, x, y, level, vx, vy, up, gx, gy))
        spin = balls.spin.take(some, axis=1)
        if not len(spin):
            turn = 1.0 / (self.radius * np.sqrt(1.0 + gx * gx + gy * gy))
            spin = turn * np.array([-gy * up - vy, vx + gx * up, gy * vx - gx * vy])
        who = balls.ball.take(some)
        self.rest.position[:, who], self.rest.time[who] = (x, y, level), balls.time.take(some)
        self.aloft.append((who, np.array([vx, vy, up + UP]), spin))
        stays = np.ones(len(square), dtype=bool)
        stays[some] = False
        return balls.take(stays.nonzero()[0])

    def pause(self, balls: _Balls) -> None:
        """Let ``balls`` that do not roll yet wait where they are."""
        (x, y), (vx, vy) = balls.place, balls.velocity
        self.rest.position[:, balls.ball] = x, y, self.ground.height(x, y, balls.lane)
        self.rest.time[balls.ball] = balls.time
        self.paused.append((balls.ball, np.array([vx, vy, np.zeros(len(x))]), balls.spin))

    def told(self, path: Path | None) -> Rest:
        """What has become of all balls; the steps of traced ones are added to the ``path``."""
        if path is not None and self.steps:
            # Drawn all at once: most of what each costs is that it is asked for.
            steps = _Step.join(self.steps)
            path.later(steps.ball, steps.points(self.ground))
        if not self.aloft:
            return self.rest
        going, velocity, spin = (
            np.concatenate(part, axis=-1) for part in zip(*self.aloft, *self.paused, strict=True)
        )
        aloft = np.arange(len(going)) < sum(len(who) for who, _, _ in self.aloft)
        return replace(self.rest, going=going, aloft=aloft, velocity=velocity, spin=spin)

    def skid(self, balls: _Balls, left: int) -> _Move:
        """One step of the skid, ``left`` to go at most over a plane; changes balls' spin.

        At most to the end of the piece of the ground, and to the next edge between surfaces. Exact where it
        ends on the plane, else by the midpoint rule.
        """
        place, velocity, lane = balls.place, balls.velocity, balls.lane
        gx, gy, nz, downhill = self.slope(lane, place)
        pull_x, pull_y = downhill
        pull_z = gx * pull_x + gy * pull_y
        sx, sy, sz = self.slip(balls, gx, gy, nz)
        size = np.sqrt(sx * sx + sy * sy + sz * sz)
        scale = 1.0 / np.maximum(size, 1e-12)
        slide = self.slide[balls.surface] * self.gravity
        force = slide * nz
        # Friction slows the ball and spins it up: together the slip loses 7/2 of it. The slope pulls on the
        # slip as well, and where friction loses, as on a wall, the skid goes on.
        losing, least = 3.5 * force - (pull_x * sx + pull_y * sy + pull_z * sz) * scale, 0.1 * force
        ends = (losing > least) | (size < STILL)
        whole = size / np.maximum(losing, least)
        rate = downhill - (force * scale) * np.array([sx, sy])
        until, even = self.ground.piece(place, velocity, rate, lane)
        # A skid shorter than all steps at their least is made in fewer of them.
        speed = np.hypot(*velocity)
        steps = np.minimum(np.ceil(speed * whole / SKID), max(left, 1))
        bent = (~even).nonzero()[0]
        if len(bent):
            longest = np.maximum(SKID_BENT, SKID_AHEAD * speed[bent])
            steps[bent] = np.ceil(speed[bent] * whole[bent] / longest)
        time = np.minimum(whole / np.maximum(steps, 1.0), until)
        # On a wall the pull may turn a slip round that friction brakes now; it is not sure to end.
        sure = pull_x * pull_x + pull_y * pull_y + pull_z * pull_z < (3.5 * force) ** 2
        once = (even & ends & sure & (speed * whole > SKID) & (whole <= until)).nonzero()[0]
        if len(once):
            lasts, over, slowed = self.slid(once, place, velocity, (sx, sy), nz, downhill, force)
            # One that turns may slip for longer.
            some = (lasts <= until[once]).nonzero()[0]
            once, over, slowed = once[some], over[:, some], slowed[:, some]
            time[once] = whole[once] = lasts[some]
        if len(bent):
            # Friction acts as it does half way; the slope pulls by Simpson's rule.
            first, t = downhill.take(bent, axis=1), time.take(bent)
            half_way = self.tipped(balls, bent, t, first, (gx.take(bent), gy.take(bent), nz.take(bent)))
            gx[bent], gy[bent], nz[bent], downhill[:, bent] = half_way
            before, (sx, sy, sz) = size, self.slip(balls, gx, gy, nz)
            size = np.sqrt(sx * sx + sy * sy + sz * sz)
            scale = 1.0 / np.maximum(size, 1e-12)
            force = slide * nz
            pull_z = gx * pull_x + gy * pull_y
            losing = 3.5 * force - (pull_x * sx + pull_y * sy + pull_z * sz) * scale
            # What the ground's turning makes of the slip until half way, it makes once more until the end.
            last = t >= whole[bent]
            to_end = ((2.0 * size - before) / np.maximum(losing, 0.1 * force))[bent]
            time[bent] = np.where(last, np.clip(to_end, 0.5 * t, 1.5 * t), t)
            whole[bent] = np.where(last, time[bent], whole[bent])
        # Direction of the slip at half time, by which friction acts.
        half = 0.5 * time
        keep = np.maximum(1.0 - 3.5 * force * half * scale, 0.0)
        ux, uy, uz = keep * sx + half * pull_x, keep * sy + half * pull_y, keep * sz + half * pull_z
        scale = force / np.maximum(np.sqrt(ux * ux + uy * uy + uz * uz), 1e-12)
        fx, fy, fz = friction = np.array([scale * ux, scale * uy, scale * uz])
        rate = downhill - friction[:2]
        end, after = place + time * (velocity + half * rate), velocity + time * rate
        if len(bent):
            sixth = time[bent] / 6.0
            level = downhill.take(bent, axis=1)
            more = first - level
            third = self.slope(lane.take(bent), end.take(bent, axis=1))[3] - level
            end[:, bent] += (time[bent] * sixth) * more
            after[:, bent] += sixth * (more + third)
        if len(once):
            end[:, once], after[:, once] = over, slowed
        ends &= time >= whole
        move = _Move(place, velocity, time.copy(), end, after, np.zeros(len(time), dtype=bool))
        self.to_edges(balls, move)
        if len(once):
            # Friction in the mean, by what it has made of the velocity.
            lost = (velocity.take(once, axis=1) - move.after.take(once, axis=1)) / move.time.take(once)
            fx[once], fy[once] = level = downhill.take(once, axis=1) + lost
            fz[once] = gx.take(once) * level[0] + gy.take(once) * level[1]
        nx, ny = -gx * nz, -gy * nz
        turn = (2.5 / self.radius) * move.time
        balls.spin = balls.spin + turn * np.array([ny * fz - nz * fy, nz * fx - nx * fz, nx * fy - ny * fx])
        balls.skids = ~ends | (move.time < time)
        return move

    def slid(
        self,
        some: Index,
        place: Array,
        velocity: Array,
        slip: tuple[Array, Array],
        nz: Array,
        downhill: Array,
        force: Array,
    ) -> tuple[Array, Array, Array]:
        """When in s (k,) the slip of the balls ``some`` (k,) ends, and their place and velocity then (2, k).

        They skid over planes, whose normal's vertical part is ``nz``, with the pull ``downhill`` and friction
        of the size ``force`` in m/s2. The slip is pulled and braked as a roll is, by 7/2 of the friction; so
        its way tells what friction has made of the ball's. All arguments but ``some`` are of all balls.
        """
        place, velocity, pull = (a.take(some, axis=1) for a in (place, velocity, downhill))
        (sx, sy), nz, brake = (s.take(some) for s in slip), nz.take(some), 3.5 * force.take(some)
        level = np.sqrt(pull[0] * pull[0] + pull[1] * pull[1])
        # On the level any line does, and next to no pull.
        dx, dy = pull / np.maximum(level, 1e-12)
        dx[level == 0.0] = 1.0
        along, across = (sx * dx + sy * dy) / nz, sy * dx - sx * dy
        course = PlaneRoll.of(along, across, np.maximum(level / nz, LEVEL * brake), brake)
        x, y, time, _, _ = course.step(np.zeros(len(some)))
        x *= nz
        way = np.array([x * dx - y * dy, x * dy + y * dx])
        gained, begun = time * pull, np.array([sx, sy])
        end = place + time * (velocity + 0.5 * gained) - (time * (begun + 0.5 * gained) - way) / 3.5
        return time, end, velocity + gained - (begun + gained) / 3.5

    def skid_on(self, balls: _Balls) -> bool:
        """Let balls skid on over bent ground to where they may meet something or the slip is about to end.

        Returns whether any ball of such a long skid is left: there is no use in asking again where none is.
        """
        lane, velocity = balls.lane, balls.velocity
        until, even = self.ground.piece(balls.place, velocity, np.zeros_like(velocity), lane)
        speed = np.maximum(np.hypot(*velocity), STILL)
        way = np.minimum(PANELS * np.maximum(PANEL, AHEAD * speed), until * speed)
        some = (~even & (way > LONG)).nonzero()[0]
        if not len(some):
            return False
        gx, gy, nz, pull = self.slope(lane, balls.place)
        sx, sy, sz = self.slip(balls, gx, gy, nz)
        size = np.maximum(np.sqrt(sx * sx + sy * sy + sz * sz), 1e-12)
        slide = self.slide[balls.surface]
        force = slide * self.gravity * nz
        # What friction takes from the slip, less what the slope adds.
        losing = 3.5 * force - (pull[0] * sx + pull[1] * sy) / size
        time = np.minimum(SKIDDED * size / np.maximum(losing, force), way / speed)
        some = some[(time * speed > LONG)[some]]
        for first in range(0, len(some), AT_ONCE):
            part = some[first : first + AT_ONCE]
            there, spin = long_skid(
                self.ground, self.gravity, self.radius, lane[part], slide[part], balls.place[:, part],
                velocity[:, part], balls.spin[:, part], time[part],
            )  # fmt: skip
            many = np.minimum(self.meeting(balls, part, time[part], there), there.sure)
            good = many.nonzero()[0]
            who, many, panel = part[good], many[good], (time[part] * (1.0 / PANELS))[good]
            self.trace(balls, who, panel, there, good, many)
            balls.place, balls.velocity = balls.place.copy(), balls.velocity.copy()
            balls.spin, balls.time = balls.spin.copy(), balls.time.copy()
            balls.place[:, who], balls.velocity[:, who] = (
                there.place[:, many, good],
                there.velocity[:, many, good],
            )
            balls.spin[:, who] = spin[:, many, good]
            balls.time[who] += many * panel
        return True

    def tipped(
        self, balls: _Balls, some: Index, time: Array, first: Array, slope: tuple[Array, Array, Array]
    ) -> tuple[Array, Array, Array, Array]:
        """The ground, as `slope` tells it, half way of the steps of the balls ``some`` (k,).

        ``slope`` is its slopes and normal at the start, ``first`` the pull there (2, k); the ``time`` (k,) is
        cut where the ground tips further.
        """
        lane = balls.lane.take(some)
        place, velocity = balls.place.take(some, axis=1), balls.velocity.take(some, axis=1)

        def half_way() -> tuple[Array, Array, Array, Array]:
            return self.slope(lane, place + (0.5 * time) * (velocity + (0.25 * time) * first))

        there = half_way()
        angle = np.hypot(there[0] - slope[0], there[1] - slope[1]) * slope[2] * there[2]
        if np.count_nonzero(angle > TIP):
            time *= TIP / np.maximum(angle, TIP)
            there = half_way()
        return there

    def start_roll(self, balls: _Balls) -> Array:
        """Take what is left of the slip out of the velocity, at once; returns the speed in m/s (n,)."""
        gx, gy, nz, _ = self.slope(balls.lane, balls.place)
        slip = np.array(self.slip(balls, gx, gy, nz)[:2])
        balls.velocity = balls.velocity - (2.0 / 7.0) * slip
        balls.spin = balls.spin[:0]
        return _speed(balls.velocity, gx, gy)

    def acceleration(self, lane: Index, resist: Array, place: Array) -> Callable[[Array], Array]:
        """Acceleration by velocity (horizontal parts, m/s2) of balls that roll at ``place`` in m (2, n).

        On the level ``resist`` (n,) would brake them.
        """
        gx, gy, nz, downhill = self.slope(lane, place)
        pull, brake = (5.0 / 7.0) * downhill, resist * nz
        return lambda velocity: pull - (brake / np.maximum(_speed(velocity, gx, gy), 1e-6)) * velocity

    def law(self, lane: Index, resist: Array, place: Array, velocity: Array) -> _Law:
        """What acts on balls that roll at ``place`` in m with ``velocity`` in m/s, (2, n).

        The velocity of those at rest is changed: to none or, where the slope moves them, to next to nothing.
        """
        gx, gy, nz, downhill = self.slope(lane, place)
        downhill *= 5.0 / 7.0
        (px, py), (vx, vy), speed = downhill, velocity, _speed(velocity, gx, gy)
        level = np.sqrt(px * px + py * py)
        pull, brake = level / nz, resist * nz
        still = (speed < STILL).nonzero()[0]
        if len(still):
            # A ball at rest stays, or moves as the slope pulls.
            moves = pull[still] > brake[still]
            speed[still] = STILL
            velocity[:, still] = STILL * moves * downhill[:, still] / np.maximum(pull[still], 1e-12)
        per = 1.0 / speed
        losing = brake - (px * vx + py * vy) * per / (nz * nz)
        if len(still):
            losing[still[~moves]] = np.inf
        turning = np.abs(px * vy - py * vx) * (per * per)
        return _Law(
            nz, downhill, level, pull, brake, downhill - (brake * per) * velocity, speed, losing, turning
        )

    def roll(self, balls: _Balls) -> _Move:
        """One step of the roll, at most to the next edge between surfaces and to the end of the piece.

        Exact on a plane; where the ground bends by a rule of fourth order, or plane by plane for balls that
        creep.
        """
        table, place, velocity = self.table, balls.place.copy(), balls.velocity.copy()
        resist = self.resist.take(balls.surface * (len(self.resist) // len(SURFACES)) + balls.ball)
        law = self.law(balls.lane, resist, place, velocity)
        until, even = self.ground.piece(place, velocity, law.rate, balls.lane)
        # Time to the stop, were the ball to go on losing speed like that.
        short = np.where(law.losing > 1e-6, law.speed / np.maximum(law.losing, 1e-6), NEVER)
        # What rolls down the fall line does not turn, either.
        aligned = (law.turning * law.speed < ASLANT * law.pull) & (law.losing < law.brake)
        straight = even & ((law.turning * short < STRAIGHT) | aligned)
        far = np.where(even, table.step_plane, np.maximum(table.step_length, AHEAD * law.speed))
        # Square of the speed at the end of the longest step; negative: it stops before.
        square = law.speed * law.speed - 2.0 * far * law.losing
        in_time = np.minimum(_in_time(far, law.speed, square), until)
        creeps = (law.speed < table.stop_speed) | (0.5 * law.speed * short < LAST)
        rests = (law.pull <= law.brake) & (creeps | (straight & (square <= 0.0) & (short <= until)))
        # Ever shorter steps towards a stop, but never past it: there the braking turns round.
        time = np.where(straight, LONGEST, np.minimum(np.maximum(SLOWING * short, 0.01), BENT))
        time = np.minimum(np.minimum(time, in_time), short)
        time = np.where(rests, np.where(short < NEVER, short, 0.0), time)
        end = place + time * (velocity + (0.5 * time) * law.rate)
        move = _Move(place, velocity, time, end, np.where(rests, 0.0, velocity + time * law.rate), rests)
        curved = ~(straight | rests)
        turns = (curved & even).nonzero()[0]
        if len(turns):
            self.turn(balls, turns, in_time.take(turns), move, law.take(turns))
        curved &= ~even
        if np.count_nonzero(curved):
            self.over_bends(balls, curved, until, short, resist, move, law)
        self.to_edges(balls, move)
        return move

    def over_bends(
        self, balls: _Balls, curved: Mask, until: Array, short: Array, resist: Array, move: _Move, law: _Law
    ) -> None:
        """Put the steps of the ``curved`` balls (n,) into ``move``, which has those by the force at first.

        Their piece of the ground ends after ``until`` in s (n,); were they to go on losing speed as they do,
        they would stop after a ``short`` time in s (n,). On the level ``resist`` (n,) would brake them.
        """
        place, velocity, time = move.start, move.before, move.time
        # What is about to turn round on a bend is soon so slow that only creeping follows it.
        tops = (until < NEVER) & (law.pull > law.brake) & (0.5 * law.speed * short < TOP)
        stiff = curved & (tops | (law.brake * time > STIFF * law.speed))
        slow = tops | (law.speed * law.speed < SLOW * law.brake)
        ahead = np.where(until < short, until * law.speed, NEVER)
        some = (curved & (until >= short) & (until < NEVER)).nonzero()[0]
        if len(some):
            # A ball that turns round or stops within its piece has a long way ahead where the piece is long.
            there, on = place.take(some, axis=1), velocity.take(some, axis=1)
            until_end, _ = self.ground.piece(there, on, np.zeros_like(on), balls.lane.take(some))
            ahead[some] = until_end * law.speed.take(some)
        way = np.minimum(PANELS * np.maximum(PANEL, AHEAD * law.speed), ahead)
        some = (curved & ~(stiff & slow) & (way > LONG)).nonzero()[0]
        if len(some):
            balls.time = balls.time.copy()
        for first in range(0, len(some), AT_ONCE):
            part = some[first : first + AT_ONCE]
            done = self.roll_on(
                balls, part, way[part], resist[part], np.minimum(SWEPT * short, until)[part], move, law
            )
            curved[done], stiff[done] = False, False
        some = (curved & ~stiff).nonzero()[0]
        if len(some):
            self.bend(
                balls.lane.take(some), some, resist.take(some), until.take(some), move,
                law.rate.take(some, axis=1),
            )  # fmt: skip
        some = stiff.nonzero()[0]
        if len(some):
            self.creep(balls.lane.take(some), some, resist.take(some), move, law.take(some))

    def roll_on(
        self, balls: _Balls, some: Index, far: Array, resist: Array, until: Array, move: _Move, law: _Law
    ) -> Index:
        """Let the balls ``some`` (k,) run on over bent ground, ``far`` in m, ``until`` in s (k,) at most.

        That is done panel by panel up to the one before which something may be met, or as far as the long
        roll is sure; this panel is their ``move``. Returns who has one.
        """
        lane, speed = balls.lane[some], law.speed[some]
        time = np.minimum(_in_time(far, speed, speed * speed - 2.0 * far * law.losing[some]), until)
        time = np.minimum(time, TURNED * speed / law.brake[some])
        start, before, rate = (a.take(some, axis=1) for a in (move.start, move.before, law.rate))
        way = long_roll(self.ground, self.gravity, lane, resist, start, before, rate, time)
        # The last panel is the step, and may meet something.
        last = np.minimum(self.meeting(balls, some, time, way), way.sure - 1)
        good = (last >= 0).nonzero()[0]
        who: Index = some[good]
        last, panel = last[good], (time * (1.0 / PANELS))[good]
        self.trace(balls, who, panel, way, good, last)
        balls.time[who] += last * panel
        place, velocity, _ = way
        begins, ends = (slice(None), last, good), (slice(None), last + 1, good)
        move.start[:, who], move.before[:, who], move.time[who] = place[begins], velocity[begins], panel
        move.end[:, who], move.after[:, who] = place[ends], velocity[ends]
        return who

    def meeting(self, balls: _Balls, some: Index, time: Array, way: LongRoll) -> Index:
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

    def trace(self, balls: _Balls, who: Index, panel: Array, way: LongRoll, mine: Index, many: Index) -> None:
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
        part = _Move(place[start], velocity[start], dt, place[end], velocity[end], none)
        self.steps.append(_Step(ball, balls.lane[whose], part, began, began + dt, part.end, part.after))

    def bend(self, lane: Index, bends: Index, resist: Array, until: Array, move: _Move, first: Array) -> None:
        """Put steps of the balls ``bends`` (k,) into ``move`` on whose way the force changes.

        ``first`` (2, k) is the rate of their velocity at the start, with which the piece of the ground ends
        after ``until`` in s (k,). E. J. Nystrom's rule of fourth order (Abramowitz and Stegun, 25.5.20; value
        from memory).
        """
        time = move.time.take(bends)
        place, velocity = move.start.take(bends, axis=1), move.before.take(bends, axis=1)

        def middle(some: Index | slice) -> tuple[Array, Array]:
            half, u, a = 0.5 * time[some], velocity[:, some], first[:, some]
            rate = self.acceleration(lane[some], resist[some], place[:, some] + half * (u + (0.5 * half) * a))
            second = rate(u + half * a)
            return second, rate(u + half * second)

        second, third = middle(slice(None))
        # What the velocity half way makes of the force there tells the error: of third order.
        change, lag = 0.5 * time * np.hypot(*(second - first)), time * np.hypot(*(third - second))
        over = np.minimum(CHANGE / np.maximum(change, CHANGE), (LAG / np.maximum(lag, LAG)) ** (2.0 / 3.0))
        much = over < 1.0
        whole = ((time == until) & ~much).nonzero()[0]
        if len(whole):
            # The force half way tells better when the piece ends.
            t, mean = time[whole], (first[:, whole] + 2.0 * third[:, whole]) * (1.0 / 3.0)
            there, _ = self.ground.piece(place[:, whole], velocity[:, whole], mean, lane[whole])
            time[whole] = np.minimum(np.maximum(there, LESS * t), MORE * t)
            much[whole] = np.abs(time[whole] - t) > SAME_TIME * t
        some = much.nonzero()[0]
        if len(some):
            time[some] *= np.sqrt(over[some])
            second[:, some], third[:, some] = middle(some)
        end = place + time * (velocity + (0.5 * time) * third)
        last = self.acceleration(lane, resist, end)(velocity + time * third)
        both = second + third
        move.end[:, bends] = place + time * (velocity + (time / 6.0) * (first + both))
        move.after[:, bends] = velocity + (time / 6.0) * (first + 2.0 * both + last)
        move.time[bends] = time

    def creep(self, lane: Index, creeps: Index, resist: Array, move: _Move, law: _Plane) -> None:
        """Put steps of the balls ``creeps`` (k,) into ``move``, so slow that they follow the fall line.

        There the brake turns them within a small part of a step, which no rule of steps follows; it is exact
        over the plane that touches the ground half way.
        """

        def step(law: _Plane) -> None:
            course, fall = self.aslant(creeps, move, law)
            share = np.minimum(course.gone(TURN_WAY), course.turned(np.minimum(course.angle(), TURN)))
            share = np.maximum(share, course.gone(CREEP))
            self.lead(creeps, move, law, course, fall, np.where(course.left() < CREPT, 0.0, share))

        step(law)
        half_way = 0.5 * (move.start.take(creeps, axis=1) + move.end.take(creeps, axis=1))
        _, _, nz, downhill = self.slope(lane, half_way)
        downhill *= 5.0 / 7.0
        level = np.maximum(np.hypot(*downhill), 1e-9)
        step(_Plane(nz, downhill, level, level / nz, resist * nz))

    def turn(self, balls: _Balls, turns: Index, until: Array, move: _Move, law: _Plane) -> None:
        """Put exact steps of the balls ``turns`` (k,) that roll aslant over a plane into ``move``.

        They last ``until`` in s (k,) at most, and where they may meet something on the way turn no more than
        a cubic in time follows.
        """
        course, fall = self.aslant(turns, move, law)
        along = course.along
        # What rises is looked at again near its top, as it may rise a little further than ``until`` knows.
        top = along * course.speed / np.minimum(law.brake * along - law.pull * course.speed, -1e-12)
        top = np.maximum(top, np.sqrt((2.0 * TURN_WAY) / (law.pull + law.brake)))
        time = np.where(along < 0.0, np.minimum(until, top), until)
        stops = course.stops()
        share = np.where(stops <= time, 0.0, course.after(time))
        angle = course.angle()
        turned = angle - 2.0 * np.arctan(course.u * share)
        # About how far in m a cubic is off, by how much the brake turns in which time.
        time = np.minimum(time, stops)
        off = (time * turned) ** 2 * law.brake * (1.0 / 384.0)
        some = ((off > OFF) & (course.left() >= LAST_TURN)).nonzero()[0]
        long: Index = some[:0]
        if len(some):
            part = course.turned(np.minimum(turned * np.sqrt(OFF / np.maximum(off, OFF)), angle))
            near = np.maximum(share, np.minimum(part, course.gone(TURN_WAY)))
            hole = balls.hole.take(turns, axis=1) - move.start.take(turns, axis=1)
            up_to = np.hypot(*hole) - (self.hole_table.radius + BEFORE)
            before = np.maximum(share, course.gone(np.maximum(up_to, 0.0)))
            whole, share = share, share.copy()
            share[some] = near[some]
            for longer in (whole, before):
                asked = some[longer[some] < share[some]]
                if len(asked):
                    free = asked[self.free(balls, turns, asked, move, law, course, fall, longer)]
                    share[free] = longer[free]
                    long = np.concatenate([long, free])
        self.lead(turns, move, law, course, fall, share)
        if self.clock is not None and len(long):
            self.draw(balls, turns, np.unique(long), move, law, course, fall)

    def draw(
        self,
        balls: _Balls,
        turns: Index,
        long: Index,
        move: _Move,
        law: _Plane,
        course: PlaneRoll,
        fall: Array,
    ) -> None:
        """Trace by panels the ``move`` of balls, ``long`` (j,) of ``turns`` (k,), which no cubic follows."""
        who, course, law = turns.take(long), course.take(long), law.take(long)
        (dx, dy), panel = fall.take(long, axis=1), move.time[turns[long]] * (1.0 / PANELS)
        place, velocity = (np.empty((2, PANELS + 1, len(long))) for _ in range(2))
        place[:, 0], velocity[:, 0] = move.start[:, who], move.before[:, who]
        for number in range(1, PANELS):
            x, y, _, v1, v2 = course.step(course.after(number * panel))
            x, v1 = x * law.nz, v1 * law.nz
            place[:, number] = place[:, 0] + (x * dx - y * dy, x * dy + y * dx)
            velocity[:, number] = v1 * dx - v2 * dy, v1 * dy + v2 * dx
        place[:, PANELS], velocity[:, PANELS] = move.end[:, who], move.after[:, who]
        each, all_of_them = np.arange(len(long)), np.full(len(long), PANELS)
        self.trace(balls, who, panel, LongRoll(place, velocity, all_of_them), each, all_of_them)
        self.shown = balls.ball.take(who)

    def free(
        self,
        balls: _Balls,
        turns: Index,
        some: Index,
        move: _Move,
        law: _Plane,
        course: PlaneRoll,
        fall: Array,
        share: Array,
    ) -> Mask:
        """Whether ``some`` (j,) of the balls ``turns`` (k,) surely meet nothing up to the ``share`` (k,).

        A way that turns to one side lies within the triangle of its ends and of where the tangents there
        meet; the cubic that stands for it, within the polygon that spans it.
        """
        turns, course, law = turns.take(some), course.take(some), law.take(some)
        (dx, dy), share = fall.take(some, axis=1), share.take(some)
        x, y, time, v1, v2 = course.step(share)
        x, v1 = x * law.nz, v1 * law.nz
        start, before = move.start.take(turns, axis=1), move.before.take(turns, axis=1)
        way = np.array([x * dx - y * dy, x * dy + y * dx])
        angle = 2.0 * np.arctan(course.u * share)
        c, s = np.cos(angle) * law.nz, np.sin(angle) * course.side
        last = np.array([c * dx - s * dy, c * dy + s * dx])
        turned = before[0] * last[1] - before[1] * last[0]
        reach = (way[0] * last[1] - way[1] * last[0]) / np.where(turned == 0.0, 1.0, turned)
        third = time / 3.0
        late = way - third * np.array([v1 * dx - v2 * dy, v1 * dy + v2 * dx])
        corners = [np.zeros_like(way), way, reach * before, third * before, late]
        low, high = start + np.minimum.reduce(corners), start + np.maximum.reduce(corners)
        free = (course.angle() - angle < HALF_TURN) & self.ground.one_surface(
            low, high, balls.lane.take(turns)
        )
        if self.holes:
            free &= ~hole_law.near(low, high, balls.hole.take(turns, axis=1), self.hole_table)
        if self.obstacles is not None:
            free &= ~self.obstacles.between(low[0], high[0])
        return free

    def aslant(self, turns: Index, move: _Move, law: _Plane) -> tuple[PlaneRoll, Array]:
        """The courses of the balls ``turns`` (k,) over planes, and directions of their fall lines (2, k)."""
        fall = law.downhill / np.maximum(law.level, 1e-12)
        (dx, dy), (vx, vy) = fall, move.before.take(turns, axis=1)
        # In the plane the fall line is longer than its horizontal part.
        along, across = (vx * dx + vy * dy) / law.nz, vy * dx - vx * dy
        return PlaneRoll.of(along, across, law.pull, law.brake), fall

    def lead(
        self, turns: Index, move: _Move, law: _Plane, course: PlaneRoll, fall: Array, share: Array
    ) -> None:
        """Put the steps that lead the balls ``turns`` (k,) to a ``share`` of their courses into ``move``."""
        x, y, time, v1, v2 = course.step(share)
        (dx, dy), x, v1 = fall, x * law.nz, v1 * law.nz
        move.end[:, turns] = move.start.take(turns, axis=1) + np.array([x * dx - y * dy, x * dy + y * dx])
        move.after[:, turns] = np.array([v1 * dx - v2 * dy, v1 * dy + v2 * dx])
        move.time[turns], move.rests[turns] = time, share == 0.0

    def to_edges(self, balls: _Balls, move: _Move) -> None:
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

    def off(self, move: _Move, lane: Index, kind: Index, shares: Array) -> Mask:
        """Which of n balls are not on their ``kind`` (n,) of surface at ``shares`` (k, n) or (k, 1)."""
        x, y = move.places(shares)
        return np.asarray(self.ground.surface(x, y, lane) != kind)

    def drops(self, hole: Array, lane: Index, move: _Move) -> Array:
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

    def stop(self, balls: _Balls, move: _Move) -> None:
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

    def moved(self, balls: _Balls, move: _Move, clock: Array | None) -> _Balls:
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
                _Step(
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


def run(
    position: Array,
    velocity: Array,
    spin: Array,
    ground: Ground,
    lane: Index,
    turfs: Turfs,
    hole: Array,
    radius: float,
    gravity: float,
    table: Run,
    hole_table: HoleTable,
    path: Path | None = None,
    clock: Array | None = None,
    obstacles: Obstacles | None = None,
    enough: Callable[[Rest, Index], bool] | None = None,
    skids: Mask | None = None,
    take_off: bool = True,
) -> Rest:
    """Run n balls along the ground to rest; a ball that rolls into one of the ``obstacles`` rests there.

    One from which the ground falls away faster than it would fall itself leaves it, if it may ``take_off``.
    All skid at first, or those that ``skids`` (n,) says.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n); ``hole`` in m is (2, n), NaN
    where there is none. Balls still moving at the table's limit of time or distance, or after `ENDLESS`
    steps, are reported as ROLLED_AWAY where they are. With ``path`` every step is recorded, from each ball's
    ``clock`` in s (n,). ``enough`` is asked after steps of the roll in which some have come to rest, with the
    numbers of the balls that still move: once it says so these are left, and what is told of them is void.
    """
    n = position.shape[1]
    none = np.zeros((3, 0))
    rest = Rest(
        np.array(position), np.zeros(n), np.full(n, ROLLED_AWAY, dtype=np.intp), np.array(position[:2]),
        np.zeros(n), np.full(n, CLEAR, dtype=np.intp), np.arange(0), np.zeros(0, dtype=bool), none, none,
        False,
    )  # fmt: skip
    clock = None if path is None else clock
    holes = bool(np.count_nonzero(hole == hole))
    course = _Course(ground, turfs, radius, gravity, table, hole_table, rest, obstacles, clock, holes)
    balls = _Balls(
        np.arange(n), lane, position[:2], velocity[:2], spin, ground.surface(position[0], position[1], lane),
        hole, np.zeros(n), np.ones(n, dtype=bool) if skids is None else skids,
    )  # fmt: skip
    ready = [balls.take((~balls.skids).nonzero()[0])]
    balls = balls if skids is None else balls.take(skids.nonzero()[0])
    left, long, over = SKID_STEPS, True, False
    take_off = take_off and ground.crest > 0.0
    while True:
        balls = course.take_off(balls) if take_off else balls
        if not len(balls.ball):
            break
        long = long and course.skid_on(balls)
        balls = course.moved(balls, course.skid(balls, left), clock)
        left -= 1
        if left == -ENDLESS:
            balls.skids[:] = False
        ready.append(balls.take((~balls.skids).nonzero()[0]))
        balls = balls.take(balls.skids.nonzero()[0])
    balls = _Balls.join(ready)
    if course.aloft:
        # All roll at once, when these have landed.
        course.pause(balls)
        return course.told(path)
    rest.roll_position[:, balls.ball] = balls.place
    rest.roll_speed[balls.ball] = course.start_roll(balls)
    for _ in range(ENDLESS):
        balls = course.take_off(balls) if take_off else balls
        if not (count := len(balls.ball)):
            break
        balls = course.moved(balls, course.roll(balls), clock)
        if enough is not None and 0 < len(balls.ball) < count:
            moving = np.concatenate([balls.ball, *(who for who, _, _ in course.aloft)])
            if enough(rest, moving):
                over = True
                break
    else:
        x, y = balls.place
        rest.position[:, balls.ball] = x, y, ground.height(x, y, balls.lane)
        rest.time[balls.ball] = balls.time
    still = (rest.roll_speed == 0.0).nonzero()[0]
    rest.roll_position[:, still] = rest.position[:2].take(still, axis=1)
    return replace(course.told(path), left=over)
