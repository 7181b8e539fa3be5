"""The run: skid until the ball rolls, then roll over slopes and surfaces until it stops or drops.

Sliding friction and pure rolling of a solid sphere (5/7 of the slope's pull); the rolling deceleration of
a green is what its stimpmeter reading defines, v^2 / (2 S) with B. W. Holmes's release speed (Phys.
Teacher 24:401, 1986; value from memory). Velocities are kept by their horizontal components; the speed
along the slope includes the climb, so that a plane is treated exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable, Run
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.flight import Path, Points
from shortgame_gui.physics.ground import GREEN, OUT, WATER, Ground
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles
from shortgame_gui.physics.plane_roll import PlaneRoll

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

AT_REST, HOLED, IN_WATER, OUT_OF_BOUNDS, ROLLED_AWAY = range(5)
SKID_STEPS = 4
"""Most steps of a skid; the last ends where the slip is zero (on a cross-slope nearly)."""
SKID = 0.15
"""Way in m that a step of a skid makes at least, if the skid is as long."""
LAST = 0.01
"""Way in m that a ball about to stop makes in one step."""
BENT = 0.3
"""Longest step in s of the roll where the force changes on the way."""
SLOWING = 0.4
"""Share of the time to a stop that one such step may take."""
TURN = 0.3
"""Angle in rad by which the roll may turn in one step over a plane."""
STRAIGHT = 0.002
"""Angle in rad by which a roll that turns no further up to its stop counts as straight."""
LAST_TURN = 0.15
"""Way in m to the stop that is made in one step, however much it turns."""
LONGEST = 2.0
"""Longest step in s of a ball that hardly moves on a plane."""
LOOKS = 8
"""Points of a step at which the surface is looked at: strips of less than 25 cm may be rolled over."""
CHORDS = 6
"""Straight pieces of a step along which the hole is looked for."""
HALVINGS = 8
"""Halvings of the stretch between two of them that holds an edge: a millimetre of the longest one."""


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
    drop: Array
    """Time in s at which a ball that ran over the hole would have dropped, NaN for none, (n,)."""


def green_deceleration(stimp: Array, run: Run) -> Array:
    """Rolling deceleration in m/s2 (n,) of a green of ``stimp`` in m (n,)."""
    return np.asarray(run.stimp_speed**2 / (2.0 * stimp))


@dataclass
class _Balls:
    """The balls still moving; arrays end in (n,)."""

    ball: Index
    lane: Index
    x: Array
    y: Array
    vx: Array
    vy: Array
    spin: Array
    surface: Index
    hole: Array
    green: Array
    time: Array
    skids: Mask

    def take(self, keep: Index) -> _Balls:
        return _Balls(*(getattr(self, name).take(keep, axis=-1) for name in _BALLS))

    @classmethod
    def join(cls, parts: list[_Balls]) -> _Balls:
        """All balls of ``parts``."""
        return cls(*(np.concatenate([getattr(p, name) for p in parts], axis=-1) for name in _BALLS))

    def after(self, time: Array, ax: Array, ay: Array) -> tuple[Array, Array]:
        """Place after ``time`` in s under a constant acceleration in m/s2."""
        return self.x + time * (self.vx + 0.5 * time * ax), self.y + time * (self.vy + 0.5 * time * ay)

    def drawn(self, ground: Ground, clock: Array) -> Callable[[Index], Points]:
        """What draws them where they are now; ``clock`` in s is that of all balls at the start of the run."""
        lane, x, y, vx, vy, time = self.lane, self.x, self.y, self.vx, self.vy, clock[self.ball] + self.time

        def drawn(some: Index) -> Points:
            at, u, v = (x[some], y[some], lane[some]), vx[some], vy[some]
            gx, gy = ground.slopes(*at)
            place = np.stack([*at[:2], ground.height(*at)])
            return np.arange(len(some)), time[some], place, np.stack([u, v, gx * u + gy * v])

        return drawn


_BALLS = tuple(f.name for f in fields(_Balls))


@dataclass(frozen=True)
class _Move:
    """One step of n balls: its duration, where it leads, the velocity there, and who is at rest then."""

    time: Array
    x: Array
    y: Array
    vx: Array
    vy: Array
    rests: Mask

    def take(self, keep: Index) -> _Move:
        return _Move(*(getattr(self, name).take(keep) for name in _MOVE))


_MOVE = tuple(f.name for f in fields(_Move))


def _speed(vx: Array, vy: Array, gx: Array, gy: Array) -> Array:
    """Speed along the ground in m/s (n,)."""
    climb = gx * vx + gy * vy
    return np.asarray(np.sqrt(vx * vx + vy * vy + climb * climb))


class _Course:
    """The ground and the tables of one run: what every step has in common."""

    def __init__(self, ground: Ground, turfs: Turfs, radius: float, gravity: float, table: Run) -> None:
        self.ground, self.turfs, self.table = ground, turfs, table
        self.radius, self.gravity = radius, gravity

    def slope(self, lane: Index, x: Array, y: Array) -> tuple[Array, Array, Array, Array, Array]:
        """Slopes, vertical part of the normal, and gravity along the slope (horizontal parts, m/s2)."""
        gx, gy = self.ground.slopes(x, y, lane)
        square = 1.0 / (1.0 + gx * gx + gy * gy)
        pull = -self.gravity * square
        return gx, gy, np.sqrt(square), pull * gx, pull * gy

    def slip(self, balls: _Balls, gx: Array, gy: Array, nz: Array) -> tuple[Array, Array, Array]:
        """Velocity of the point of contact in m/s, v - r omega x n, which lies in the ground."""
        wx, wy, wz = self.radius * balls.spin
        nx, ny = -gx * nz, -gy * nz
        climb = gx * balls.vx + gy * balls.vy
        return balls.vx - (wy * nz - wz * ny), balls.vy - (wz * nx - wx * nz), climb - (wx * ny - wy * nx)

    def skid(self, balls: _Balls, left: int) -> _Move:
        """One step of the skid with ``left`` steps to go at most (midpoint rule); changes the balls' spin."""
        gx, gy, nz, pull_x, pull_y = self.slope(balls.lane, balls.x, balls.y)
        pull_z = gx * pull_x + gy * pull_y
        sx, sy, sz = self.slip(balls, gx, gy, nz)
        size = np.sqrt(sx * sx + sy * sy + sz * sz)
        scale = 1.0 / np.maximum(size, 1e-12)
        force = self.turfs.slide[balls.surface] * self.gravity * nz
        # Friction slows the ball and spins it up: together the slip loses 7/2 of it. The slope pulls on the
        # slip as well; were friction to lose, the skid is cut short.
        pull = (pull_x * sx + pull_y * sy + pull_z * sz) * scale
        time = size / np.maximum(3.5 * force - pull, 0.1 * force)
        # A skid shorter than all steps at their least is made in fewer of them.
        way = np.sqrt(balls.vx * balls.vx + balls.vy * balls.vy) * time
        steps = np.clip(np.ceil(way / SKID), 1.0, left)
        balls.skids, time = steps > 1.0, time / steps
        # Direction of the slip at half time, by which friction acts.
        half = 0.5 * time
        keep = np.maximum(1.0 - 3.5 * force * half * scale, 0.0)
        ux, uy, uz = keep * sx + half * pull_x, keep * sy + half * pull_y, keep * sz + half * pull_z
        scale = 1.0 / np.maximum(np.sqrt(ux * ux + uy * uy + uz * uz), 1e-12)
        fx, fy, fz = force * scale * ux, force * scale * uy, force * scale * uz
        ax, ay = pull_x - fx, pull_y - fy
        x, y = balls.after(time, ax, ay)
        nx, ny = -gx * nz, -gy * nz
        turn = (2.5 / self.radius) * time
        balls.spin = balls.spin + turn * np.stack([ny * fz - nz * fy, nz * fx - nx * fz, nx * fy - ny * fx])
        rests = np.zeros(len(time), dtype=bool)
        return _Move(time, x, y, balls.vx + time * ax, balls.vy + time * ay, rests)

    def start_roll(self, balls: _Balls) -> Array:
        """Take what is left of the slip out of the velocity, at once; returns the speed in m/s (n,)."""
        gx, gy, nz, _, _ = self.slope(balls.lane, balls.x, balls.y)
        sx, sy, _ = self.slip(balls, gx, gy, nz)
        balls.vx, balls.vy = balls.vx - (2.0 / 7.0) * sx, balls.vy - (2.0 / 7.0) * sy
        return _speed(balls.vx, balls.vy, gx, gy)

    def acceleration(
        self, lane: Index, resist: Array, x: Array, y: Array, vx: Array, vy: Array
    ) -> tuple[Array, Array]:
        """Acceleration of rolling balls (horizontal parts, m/s2) that ``resist`` brakes on the level."""
        gx, gy, nz, pull_x, pull_y = self.slope(lane, x, y)
        scale = resist * nz / np.maximum(_speed(vx, vy, gx, gy), 1e-6)
        return (5.0 / 7.0) * pull_x - scale * vx, (5.0 / 7.0) * pull_y - scale * vy

    def roll(self, balls: _Balls) -> _Move:
        """One step of the roll, at most to the next edge between surfaces.

        Exact on a plane; where the ground bends by the midpoint rule.
        """
        resist = self.turfs.deceleration[balls.surface]
        if self.turfs.firm is not None:
            resist = resist * self.turfs.firm[balls.ball]
        resist = np.where(balls.surface == GREEN, balls.green, resist)
        if self.turfs.roughness is not None and self.turfs.luck is not None:
            resist = resist * np.exp(self.turfs.roughness[balls.surface] * self.turfs.luck[balls.ball])
        gx, gy, nz, pull_x, pull_y = self.slope(balls.lane, balls.x, balls.y)
        pull_x, pull_y, brake = (5.0 / 7.0) * pull_x, (5.0 / 7.0) * pull_y, resist * nz
        vx, vy, speed = balls.vx, balls.vy, _speed(balls.vx, balls.vy, gx, gy)
        level = np.sqrt(pull_x * pull_x + pull_y * pull_y)
        # Along the slope the pull is larger than its horizontal part.
        pull = level / nz
        # A ball at rest is braked against the pull.
        still = speed < 1e-6
        slow, scale = 1.0 / np.maximum(pull, 1e-12), 1.0 / np.maximum(speed, 1e-6)
        ax = pull_x - brake * np.where(still, pull_x * slow, vx * scale)
        ay = pull_y - brake * np.where(still, pull_y * slow, vy * scale)
        slow = np.maximum(speed, 1e-9)
        losing = -(ax * vx + ay * vy) / slow
        stop = np.where(losing > 1e-6, speed / np.maximum(losing, 1e-6), np.inf)
        short = np.minimum(stop, 1e9)
        turning = np.abs(ax * vy - ay * vx) / (slow * slow)
        reach = self.table.step_plane / slow
        even = self.ground.flat_between(balls.x, balls.x + reach * vx, balls.lane)
        straight = even & (turning * short < STRAIGHT)
        # A ball that gains speed makes the longest step in less time.
        far = np.where(even, self.table.step_plane, self.table.step_length)
        gain = 2.0 * far * np.maximum(-losing, 0.0)
        in_time = 2.0 * far / np.maximum(speed + np.sqrt(speed * speed + gain), 1e-3)
        creeps = (speed < self.table.stop_speed) | (0.5 * speed * short < LAST)
        rests = (pull <= brake) & (creeps | (straight & (stop <= in_time)))
        # Ever shorter steps towards a stop, but never past it: there the braking turns round.
        time = np.where(straight, LONGEST, np.minimum(np.maximum(SLOWING * short, 0.01), BENT))
        time = np.minimum(np.minimum(time, in_time), short)
        time = np.where(rests, np.where(np.isfinite(stop), stop, 0.0), time)
        bends = np.flatnonzero(~(straight | rests))
        if len(bends):
            half, lane = 0.5 * time[bends], balls.lane[bends]
            bx, by, bvx, bvy = balls.x[bends], balls.y[bends], vx[bends], vy[bends]
            ax[bends], ay[bends] = self.acceleration(
                lane, resist[bends], bx + half * bvx, by + half * bvy,
                bvx + half * ax[bends], bvy + half * ay[bends],
            )  # fmt: skip
        x, y = balls.after(time, ax, ay)
        move = _Move(
            time, x, y, np.where(rests, 0.0, vx + time * ax), np.where(rests, 0.0, vy + time * ay), rests
        )
        turns = np.flatnonzero(even & ~straight & ~rests)
        if len(turns):
            down = np.stack([pull_x, pull_y])[:, turns] / np.maximum(level[turns], 1e-12)
            self.turn(balls, turns, move, down, nz[turns], pull[turns], brake[turns])
        first = self.first_off(balls, move)
        crossing = np.flatnonzero(first)
        if len(crossing):
            share = self.edge(balls.take(crossing), move.take(crossing), first[crossing])
            cut = _between(balls.take(crossing), move.take(crossing), share)
            move.x[crossing], move.y[crossing], move.vx[crossing], move.vy[crossing] = cut
            move.time[crossing] *= share
            move.rests[crossing] = False
        return move

    def turn(
        self, balls: _Balls, turns: Index, move: _Move, down: Array, nz: Array, pull: Array, brake: Array
    ) -> None:
        """Put exact steps of the balls ``turns`` (k,) that roll aslant over a plane into ``move``.

        ``down`` (2, k) is the horizontal direction of the fall line, ``nz`` (k,) the vertical part of the
        normal; ``pull`` and ``brake`` (k,) in m/s2 along the plane.
        """
        vx, vy = balls.vx[turns], balls.vy[turns]
        # In the plane the fall line is longer than its horizontal part.
        along, across = (vx * down[0] + vy * down[1]) / nz, vy * down[0] - vx * down[1]
        course = PlaneRoll.of(along, across, pull, brake)
        far = self.table.step_plane
        angle = 2.0 * np.arctan(course.u)
        x, y, time = course.to_stop()
        left = np.sqrt(x * x + y * y)
        ends = (left < LAST_TURN) | ((angle < TURN) & (left < far))
        # The longest way in terms of the angle: the ball loses speed, so it makes no more than that.
        turn = course.pull * np.abs(across) * far / np.maximum(course.speed, 1e-9) ** 3
        share = course.turned(np.minimum(np.minimum(turn, TURN), angle))
        step = course.way(share)
        x, y, time = (np.where(ends, whole, part) for whole, part in zip((x, y, time), step, strict=True))
        v1, v2 = (np.where(ends, 0.0, v) for v in course.velocity(share))
        fits = np.flatnonzero(course.fits)
        i, x, v1 = turns[fits], x * nz, v1 * nz
        move.x[i] = (balls.x[turns] + x * down[0] - y * down[1])[fits]
        move.y[i] = (balls.y[turns] + x * down[1] + y * down[0])[fits]
        move.vx[i], move.vy[i] = (v1 * down[0] - v2 * down[1])[fits], (v1 * down[1] + v2 * down[0])[fits]
        move.time[i], move.rests[i] = time[fits], ends[fits]

    def first_off(self, balls: _Balls, move: _Move) -> Index:
        """The first of `LOOKS` points of a step that is on another surface (n,); 0: none is."""
        # The way lies within the corners of the polygon that spans it.
        third = move.time / 3.0
        low, high = np.empty((2, 2, len(third)))
        for k, (start, end, v0, v1) in enumerate(
            ((balls.x, move.x, balls.vx, move.vx), (balls.y, move.y, balls.vy, move.vy))
        ):
            early, late = start + third * v0, end - third * v1
            np.minimum(np.minimum(start, end), np.minimum(early, late), out=low[k])
            np.maximum(np.maximum(start, end), np.maximum(early, late), out=high[k])
        found = np.zeros(len(third), dtype=np.intp)
        unsure = (~self.ground.one_surface(low, high, balls.lane)).nonzero()[0]
        if not len(unsure):
            return found
        some = balls.take(unsure)
        x, y, _, _ = _between(some, move.take(unsure), np.arange(1, LOOKS + 1)[:, None] / LOOKS)
        surface = self.ground.surface(x.ravel(), y.ravel(), np.tile(some.lane, LOOKS)).reshape(x.shape)
        off = surface != some.surface
        found[unsure] = np.where(off.any(axis=0), off.argmax(axis=0) + 1, 0)
        return found

    def edge(self, balls: _Balls, move: _Move, first: Index) -> Array:
        """Share of a step (n,) just past the edge that lies before its point ``first`` (n,).

        So each surface brakes only its own part of the way.
        """
        low, high = (first - 1) / LOOKS, first / LOOKS
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            x, y, _, _ = _between(balls, move, middle)
            past = self.ground.surface(x, y, balls.lane) != balls.surface
            low, high = np.where(past, low, middle), np.where(past, middle, high)
        return np.asarray(high)


def _between(balls: _Balls, move: _Move, share: Array) -> tuple[Array, Array, Array, Array]:
    """Place in m and velocity in m/s at a ``share`` of the time of a step: x, y, vx, vy."""
    s2, time = share * share, move.time
    end, late = s2 * (3.0 - 2.0 * share), s2 * (share - 1.0)
    early = share - s2 + late
    d_end, d_late = 6.0 * (share - s2), 3.0 * s2 - 2.0 * share
    d_early = 1.0 - 2.0 * share + d_late
    per = 1.0 / np.maximum(time, 1e-12)
    dx, dy = move.x - balls.x, move.y - balls.y
    return (
        balls.x + end * dx + time * (early * balls.vx + late * move.vx),
        balls.y + end * dy + time * (early * balls.vy + late * move.vy),
        d_end * per * dx + d_early * balls.vx + d_late * move.vx,
        d_end * per * dy + d_early * balls.vy + d_late * move.vy,
    )


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
    over: bool = False,
) -> Rest:
    """Run n balls along the ground to rest; a ball that rolls into one of the ``obstacles`` rests there.

    Those that would drop run on ``over`` the hole if that is wanted, and when they would have is told.

    ``position`` in m, ``velocity`` in m/s and ``spin`` in rad/s are (3, n); ``hole`` in m is (2, n), NaN
    where there is none. Balls still moving at the table's limit of time or distance are reported as
    ROLLED_AWAY where they are. With ``path`` every step is recorded, from each ball's ``clock`` in s (n,).
    """
    n = position.shape[1]
    course = _Course(ground, turfs, radius, gravity, table)
    rest = Rest(
        np.array(position), np.zeros(n), np.full(n, ROLLED_AWAY, dtype=np.intp), np.array(position[:2]),
        np.zeros(n), np.full(n, CLEAR, dtype=np.intp), np.full(n, np.nan),
    )  # fmt: skip
    balls = _Balls(
        np.arange(n), lane, position[0], position[1], velocity[0], velocity[1], spin,
        ground.surface(position[0], position[1], lane), hole, turfs.green, np.zeros(n),
        np.ones(n, dtype=bool),
    )  # fmt: skip
    ready = [balls.take(np.arange(0))]
    for left in range(SKID_STEPS, 0, -1):
        if not len(balls.ball):
            break
        balls = _move(course, balls, course.skid(balls, left), rest, hole_table, path, clock, obstacles, over)
        ready.append(balls.take(np.flatnonzero(~balls.skids)))
        balls = balls.take(np.flatnonzero(balls.skids))
    balls = _Balls.join(ready)
    rest.roll_position[:, balls.ball] = balls.x, balls.y
    rest.roll_speed[balls.ball] = course.start_roll(balls)
    while len(balls.ball):
        balls = _move(course, balls, course.roll(balls), rest, hole_table, path, clock, obstacles, over)
    return rest


def _move(
    course: _Course,
    balls: _Balls,
    move: _Move,
    rest: Rest,
    hole_table: HoleTable,
    path: Path | None,
    clock: Array | None,
    obstacles: Obstacles | None,
    runs_over: bool,
) -> _Balls:
    """The balls after a step, without those that ended in it, which go into ``rest``."""
    ground, table = course.ground, course.table
    if obstacles is not None:
        heights = (ground.height(balls.x, balls.y, balls.lane), ground.height(move.x, move.y, balls.lane))
        start, end = np.stack([balls.x, balls.y]), np.stack([move.x, move.y])
        met, when = obstacles.on_the_way(start, end, np.zeros(len(balls.x)), heights)
        for i in np.flatnonzero(met != CLEAR):
            move.time[i] *= when[i]
            move.x[i], move.y[i] = start[:, i] + when[i] * (end[:, i] - start[:, i])
            move.x[i] -= IN_FRONT
            move.vx[i] = move.vy[i] = 0.0
            move.rests[i] = True
            rest.met[balls.ball[i]] = met[i]
    holed = np.zeros(len(balls.ball), dtype=bool)
    near = np.flatnonzero(hole_law.near(balls.x, balls.y, move.x, move.y, balls.hole, hole_table))
    if len(near):
        holed[near] = _drops(course, balls, move, near, hole_table)
        if runs_over:
            who, holed = holed.nonzero()[0], np.zeros(len(holed), dtype=bool)
            rest.drop[balls.ball[who]] = np.fmin(rest.drop[balls.ball[who]], (balls.time + move.time)[who])
    balls.x, balls.y, balls.vx, balls.vy = move.x, move.y, move.vx, move.vy
    if len(near) and np.count_nonzero(holed):
        balls.x, balls.y = np.where(holed, balls.hole[0], balls.x), np.where(holed, balls.hole[1], balls.y)
        balls.vx, balls.vy = np.where(holed, 0.0, balls.vx), np.where(holed, 0.0, balls.vy)
    balls.time = balls.time + move.time
    balls.surface = ground.surface(balls.x, balls.y, balls.lane)
    if path is not None and clock is not None:
        path.later(balls.ball, balls.drawn(ground, clock))
    away = (balls.time > table.time_limit) | (balls.x**2 + balls.y**2 > table.distance_limit**2)
    water = balls.surface == WATER
    over = holed | water | move.rests | away
    if not np.count_nonzero(over):
        return balls
    ended = balls.take(np.flatnonzero(over))
    x, y, who = ended.x, ended.y, ended.ball
    rest.position[:, who] = x, y, ground.height(x, y, ended.lane)
    rest.roll_position[:, who] = np.where(rest.roll_speed[who] > 0.0, rest.roll_position[:, who], (x, y))
    rest.time[who] = ended.time
    ending = np.where(ended.surface == OUT, OUT_OF_BOUNDS, AT_REST)
    ending = np.where(away[over] & ~move.rests[over], ROLLED_AWAY, ending)
    ending = np.where(water[over], IN_WATER, ending)
    rest.ending[who] = np.where(holed[over], HOLED, ending)
    return balls.take((~over).nonzero()[0])


def _drops(course: _Course, balls: _Balls, move: _Move, near: Index, table: HoleTable) -> Mask:
    """Which of the balls ``near`` (k,) the hole drop into it on the way of the ``move``, by short chords."""
    balls, move = balls.take(near), move.take(near)
    slope = course.ground.slopes(balls.hole[0], balls.hole[1], balls.lane)
    x, y, vx, vy = _between(balls, move, np.arange(CHORDS + 1)[:, None] / CHORDS)
    drops = hole_law.drops_rolling(
        x[:-1], y[:-1], vx[:-1], vy[:-1], x[1:], y[1:], vx[1:], vy[1:], balls.hole, slope, course.radius,
        course.gravity, table,
    )  # fmt: skip
    return np.asarray(drops.any(axis=0))
