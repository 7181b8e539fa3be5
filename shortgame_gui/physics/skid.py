"""The skid: sliding friction spins the ball up until it rolls (5/7 of its speed, on the level)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics.long_roll import PANELS, long_skid
from shortgame_gui.physics.plane_roll import PlaneRoll
from shortgame_gui.physics.steps import AHEAD, AT_ONCE, LONG, PANEL, STILL, Balls, Move, Steps

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

SKID = 0.15
"""Way in m that a step makes at least of a skid over a plane that does not end on it, if the skid is as long;
up to which one is one step."""
SKID_BENT, SKID_AHEAD = 0.8, 0.05
"""Longest step of the skid where the ground bends: in m; and in s, for balls that make more in it."""
TIP = 0.05
"""Angle in rad by which the ground may turn in half of one such step."""
SKIDDED = 0.85
"""Share of the time to the end of the slip that a long skid takes."""


class Skids(Steps):
    """The steps of a skid."""

    def skid(self, balls: Balls, left: int) -> Move:
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
        move = Move(place, velocity, time.copy(), end, after, np.zeros(len(time), dtype=bool))
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
        begun = np.array([s.take(some) for s in slip])
        course = PlaneRoll.of(begun, pull, nz.take(some), 3.5 * force.take(some))
        way, time, _ = course.step(np.zeros(len(some)))
        gained = time * pull
        end = place + time * (velocity + 0.5 * gained) - (time * (begun + 0.5 * gained) - way) / 3.5
        return time, end, velocity + gained - (begun + gained) / 3.5

    def skid_on(self, balls: Balls) -> bool:
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
        self, balls: Balls, some: Index, time: Array, first: Array, slope: tuple[Array, Array, Array]
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
