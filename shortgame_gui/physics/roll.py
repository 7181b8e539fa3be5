"""The roll: 5/7 of the slope's pull on a solid sphere, less what the surface takes, until the ball rests.

Exact over planes, some metres at a time over surveyed ground, by a rule of fourth order over other bends.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.ground import SURFACES
from shortgame_gui.physics.long_roll import PANELS, LongRoll, long_roll
from shortgame_gui.physics.plane_roll import ASLANT, PlaneRoll
from shortgame_gui.physics.steps import AHEAD, AT_ONCE, LONG, NEVER, PANEL, STILL, Balls, Move, Steps

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

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
STIFF = 2.0
"""Share of its speed that the brake would take from a ball in one such step, from which the ball creeps."""
CREEP = 0.05
"""Way in m of one step of a ball that creeps: so slow that it keeps to the fall line."""
CREPT = 0.02
"""Way in m to the stop that it makes in one step."""
SWEPT, TURNED = 0.9, 8.0
"""Share of the time to a stop that a long roll may take, and of its speed that the brake would take in it."""
SLOW = 0.02
"""Way in m below which the square of a ball's speed over the brake makes it one that creeps, not rolls on."""
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


@dataclass(frozen=True)
class Law:
    """What acts on n rolling balls where they are; arrays end in (n,)."""

    nz: Array
    """Vertical part of the ground's normal."""
    downhill: Array
    """Pull of the slope on the ball in m/s2, horizontal parts (2, n)."""
    pull: Array
    """Its size along the slope, where it is larger."""
    brake: Array
    """What brakes the ball, along the slope, in m/s2."""
    rate: Array
    """Rate of change of the velocity, horizontal parts (2, n)."""
    speed: Array
    """Along the slope, in m/s."""
    losing: Array
    """What it loses a second, in m/s2; negative for a ball that gains speed."""
    turning: Array
    """Rate in rad/s at which the way turns."""


def _speed(velocity: Array, gx: Array, gy: Array) -> Array:
    """Speed along the ground in m/s (n,)."""
    vx, vy = velocity
    climb = gx * vx + gy * vy
    return np.asarray(np.sqrt(vx * vx + vy * vy + climb * climb))


def _in_time(far: Array, speed: Array, square: Array) -> Array:
    """Time in s (n,) for a way ``far`` in m, from the ``speed`` in m/s to the ``square`` of it at the end."""
    return np.asarray(2.0 * far / np.maximum(speed + np.sqrt(np.maximum(square, 0.0)), 1e-3))


class Rolls(Steps):
    """The steps of a roll."""

    def start_roll(self, balls: Balls) -> Array:
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

    def law(self, lane: Index, resist: Array, place: Array, velocity: Array) -> Law:
        """What acts on balls that roll at ``place`` in m with ``velocity`` in m/s, (2, n).

        The velocity of those at rest is changed: to none or, where the slope moves them, to next to nothing.
        """
        gx, gy, nz, downhill = self.slope(lane, place)
        downhill *= 5.0 / 7.0
        (px, py), (vx, vy), speed = downhill, velocity, _speed(velocity, gx, gy)
        pull, brake = np.sqrt(px * px + py * py) / nz, resist * nz
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
        return Law(nz, downhill, pull, brake, downhill - (brake * per) * velocity, speed, losing, turning)

    def roll(self, balls: Balls) -> Move:
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
        move = Move(place, velocity, time, end, np.where(rests, 0.0, velocity + time * law.rate), rests)
        curved = ~(straight | rests)
        turns = (curved & even).nonzero()[0]
        if len(turns):
            self.turn(balls, turns, in_time.take(turns), move, self.course(turns, move, law))
        curved &= ~even
        if np.count_nonzero(curved):
            self.over_bends(balls, curved, until, short, resist, move, law)
        self.to_edges(balls, move)
        return move

    def over_bends(
        self, balls: Balls, curved: Mask, until: Array, short: Array, resist: Array, move: Move, law: Law
    ) -> None:
        """Put the steps of the ``curved`` balls (n,) into ``move``, which has those by the force at first.

        Their piece of the ground ends after ``until`` in s (n,); were they to go on losing speed as they do,
        they would stop after a ``short`` time in s (n,). On the level ``resist`` (n,) would brake them.
        """
        place, velocity, time = move.start, move.before, move.time
        # What is about to turn round on a bend is soon so slow that only creeping follows it.
        tops = (until < NEVER) & (law.pull > law.brake) & (0.5 * law.speed * short < TOP)
        stiff = curved & (tops | (law.brake * time > STIFF * law.speed))
        ahead = np.where(until < short, until * law.speed, NEVER)
        some = (curved & (until >= short) & (until < NEVER)).nonzero()[0]
        if len(some):
            # A ball that turns round or stops within its piece has a long way ahead where the piece is long.
            there, on = place.take(some, axis=1), velocity.take(some, axis=1)
            until_end, _ = self.ground.piece(there, on, np.zeros_like(on), balls.lane.take(some))
            ahead[some] = until_end * law.speed.take(some)
        way = np.minimum(PANELS * np.maximum(PANEL, AHEAD * law.speed), ahead)
        goes_far, slow = curved & (way > LONG), tops | (law.speed * law.speed < SLOW * law.brake)
        stiff |= goes_far & slow
        some = (goes_far & ~slow).nonzero()[0]
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
            self.creep(balls.lane.take(some), some, resist.take(some), move, self.course(some, move, law))

    def roll_on(
        self, balls: Balls, some: Index, far: Array, resist: Array, until: Array, move: Move, law: Law
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

    def bend(self, lane: Index, bends: Index, resist: Array, until: Array, move: Move, first: Array) -> None:
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

    def course(self, some: Index, move: Move, law: Law) -> PlaneRoll:
        """The rolls of the balls ``some`` (k,) over the planes that touch the ground where they are."""
        return PlaneRoll.of(
            move.before.take(some, axis=1), law.downhill.take(some, axis=1), law.nz.take(some),
            law.brake.take(some),
        )  # fmt: skip

    def creep(self, lane: Index, creeps: Index, resist: Array, move: Move, course: PlaneRoll) -> None:
        """Put steps of the balls ``creeps`` (k,) into ``move``, so slow that they follow the fall line.

        There the brake turns them within a small part of a step, which no rule of steps follows; it is exact
        over the plane that touches the ground half way. ``course`` is over the one where they are.
        """

        def step(course: PlaneRoll) -> None:
            share = np.minimum(course.gone(TURN_WAY), course.turned(np.minimum(course.angle(), TURN)))
            share = np.maximum(share, course.gone(CREEP))
            self.lead(creeps, move, course, np.where(course.left() < CREPT, 0.0, share))

        step(course)
        half_way = 0.5 * (move.start.take(creeps, axis=1) + move.end.take(creeps, axis=1))
        _, _, nz, downhill = self.slope(lane, half_way)
        step(PlaneRoll.of(move.before.take(creeps, axis=1), (5.0 / 7.0) * downhill, nz, resist * nz))

    def turn(self, balls: Balls, turns: Index, until: Array, move: Move, course: PlaneRoll) -> None:
        """Put exact steps of the balls ``turns`` (k,) that roll aslant over a plane into ``move``.

        They last ``until`` in s (k,) at most, and where they may meet something on the way turn no more than
        a cubic in time follows.
        """
        along, brake = course.along, course.brake
        # What rises is looked at again near its top, as it may rise a little further than ``until`` knows.
        top = along * course.speed / np.minimum(brake * along - course.pull * course.speed, -1e-12)
        top = np.maximum(top, np.sqrt((2.0 * TURN_WAY) / (course.pull + brake)))
        time = np.where(along < 0.0, np.minimum(until, top), until)
        stops = course.stops()
        share = np.where(stops <= time, 0.0, course.after(time))
        angle = course.angle()
        turned = angle - 2.0 * np.arctan(course.u * share)
        # About how far in m a cubic is off, by how much the brake turns in which time.
        time = np.minimum(time, stops)
        off = (time * turned) ** 2 * brake * (1.0 / 384.0)
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
                    free = asked[self.free(balls, turns, asked, move, course, longer)]
                    share[free] = longer[free]
                    long = np.concatenate([long, free])
        self.lead(turns, move, course, share)
        if self.clock is not None and len(long):
            self.draw(balls, turns, np.unique(long), move, course)

    def draw(self, balls: Balls, turns: Index, long: Index, move: Move, course: PlaneRoll) -> None:
        """Trace by panels the ``move`` of balls, ``long`` (j,) of ``turns`` (k,), which no cubic follows."""
        who, course = turns.take(long), course.take(long)
        panel = move.time[who] * (1.0 / PANELS)
        place, velocity = (np.empty((2, PANELS + 1, len(long))) for _ in range(2))
        place[:, 0], velocity[:, 0] = move.start[:, who], move.before[:, who]
        for number in range(1, PANELS):
            way, _, velocity[:, number] = course.step(course.after(number * panel))
            place[:, number] = place[:, 0] + way
        place[:, PANELS], velocity[:, PANELS] = move.end[:, who], move.after[:, who]
        each, all_of_them = np.arange(len(long)), np.full(len(long), PANELS)
        self.trace(balls, who, panel, LongRoll(place, velocity, all_of_them), each, all_of_them)
        self.shown = balls.ball.take(who)

    def free(
        self, balls: Balls, turns: Index, some: Index, move: Move, course: PlaneRoll, share: Array
    ) -> Mask:
        """Whether ``some`` (j,) of the balls ``turns`` (k,) surely meet nothing up to the ``share`` (k,).

        A way that turns to one side lies within the triangle of its ends and of where the tangents there
        meet; the cubic that stands for it, within the polygon that spans it.
        """
        turns, course, share = turns.take(some), course.take(some), share.take(some)
        way, time, after = course.step(share)
        start, before = move.start.take(turns, axis=1), move.before.take(turns, axis=1)
        angle = 2.0 * np.arctan(course.u * share)
        last = course.heading(angle)
        turned = before[0] * last[1] - before[1] * last[0]
        reach = (way[0] * last[1] - way[1] * last[0]) / np.where(turned == 0.0, 1.0, turned)
        third = time / 3.0
        late = way - third * after
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

    def lead(self, turns: Index, move: Move, course: PlaneRoll, share: Array) -> None:
        """Put the steps that lead the balls ``turns`` (k,) to a ``share`` of their courses into ``move``."""
        way, time, velocity = course.step(share)
        move.end[:, turns] = move.start.take(turns, axis=1) + way
        move.after[:, turns] = velocity
        move.time[turns], move.rests[turns] = time, share == 0.0
