"""The run: skid until the ball rolls, then roll over slopes and surfaces until it stops or drops.

Sliding friction and pure rolling of a solid sphere (5/7 of the slope's pull); the rolling deceleration of
a green is what its stimpmeter reading defines, v^2 / (2 S) with B. W. Holmes's release speed (Phys.
Teacher 24:401, 1986; value from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import HoleTable, Run
from shortgame_gui.physics.flight import Path
from shortgame_gui.physics.ground import Ground
from shortgame_gui.physics.obstacles import CLEAR, Obstacles
from shortgame_gui.physics.roll import Rolls
from shortgame_gui.physics.skid import Skids
from shortgame_gui.physics.steps import ROLLED_AWAY, Balls, Rest, Step, Turfs

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

SKID_STEPS = 4
"""Most steps of a skid over a plane that does not end on it."""
ENDLESS = 1000
"""Steps after which a skid is taken to end, a roll is given up: none was seen that needs a tenth of them."""
AHEAD_OF, UP = 1e-3, 1e-6
"""Way in m ahead of a ball over which the ground's bend is taken; speed in m/s at which it leaves it."""
CLEAR_BY, SOON = 0.3, np.array([0.08, 0.16, 0.24])[:, None]
"""How far in m a ball must come clear of the ground, at one of these times in s, to be said to leave it: what
hops lower runs as well, with strokes that are the same to 0.002, and would double the leaps over a slope."""


def green_deceleration(stimp: Array, run: Run) -> Array:
    """Rolling deceleration in m/s2 (n,) of a green of ``stimp`` in m (n,)."""
    return np.asarray(run.stimp_speed**2 / (2.0 * stimp))


class _Run(Skids, Rolls):
    """One run: skid, roll, and who leaves the ground on the way."""

    def take_off(self, balls: Balls) -> Balls:
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

    def pause(self, balls: Balls) -> None:
        """Let ``balls`` that do not roll yet wait where they are."""
        (x, y), (vx, vy) = balls.place, balls.velocity
        self.rest.position[:, balls.ball] = x, y, self.ground.height(x, y, balls.lane)
        self.rest.time[balls.ball] = balls.time
        self.paused.append((balls.ball, np.array([vx, vy, np.zeros(len(x))]), balls.spin))

    def told(self, path: Path | None) -> Rest:
        """What has become of all balls; the steps of traced ones are added to the ``path``."""
        if path is not None and self.steps:
            # Drawn all at once: most of what each costs is that it is asked for.
            steps = Step.join(self.steps)
            path.later(steps.ball, steps.points(self.ground))
        if not self.aloft:
            return self.rest
        going, velocity, spin = (
            np.concatenate(part, axis=-1) for part in zip(*self.aloft, *self.paused, strict=True)
        )
        aloft = np.arange(len(going)) < sum(len(who) for who, _, _ in self.aloft)
        return replace(self.rest, going=going, aloft=aloft, velocity=velocity, spin=spin)


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
    course = _Run(ground, turfs, radius, gravity, table, hole_table, rest, obstacles, clock, holes)
    balls = Balls(
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
    balls = Balls.join(ready)
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
