"""The chain: from the launch through flight, bounces and run to rest, for n shots at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields
from itertools import pairwise
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients, Turf
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.bounce import Contact, bounce, dot
from shortgame_gui.physics.flight import DRAWN, DRAWN_LEAP, Landing, Path, fly
from shortgame_gui.physics.forces import Air, Forces
from shortgame_gui.physics.ground import GREEN, WATER, Ground, SurfaceArrays
from shortgame_gui.physics.hop import DRAWN as DRAWN_HOP
from shortgame_gui.physics.hop import Traced, hop, slow
from shortgame_gui.physics.obstacles import CLEAR, Obstacles
from shortgame_gui.physics.run import green_deceleration, run
from shortgame_gui.physics.steps import HOLED, IN_WATER, Rest, Turfs

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]
Number = TypeVar("Number", bound=np.generic)

MOST_BOUNCES = 20
MOST_TAKE_OFFS = 8
"""Times that a ball which runs may leave the ground; then it keeps to it. None was seen that needs half."""
PART = 16384
"""Balls that are played at a time at most, for memory's sake: a part costs as much as 1,000 balls more."""


@dataclass(frozen=True)
class Conditions:
    """The ground and air as n shots meet them; arrays are (n,) unless said otherwise."""

    ground: Ground
    lane: Index
    """Which ground of ``ground`` each ball is on."""
    stimp: Array
    """Green speed in m of stimp."""
    firmness: Array
    """Firmness of the ground ahead in g (0.5 kg impact hammer)."""
    wet: Array
    """1 where the green is wet, else 0."""
    hole: Array
    """Place of the hole in m, (2, n); NaN where there is none."""
    air: Air
    grip: Array
    """How well the green grips a spinning ball, over its usual friction."""
    scatter: Array
    """Standard normal draws of the turf, (3, bounces, n): liveliness, and uneven ground along and across.

    Zeros for an unperturbed shot.
    """
    obstacles: Obstacles | None = None
    """What stands in the way, the same for all balls."""

    def part(self, some: slice) -> Conditions:
        """The conditions of ``some`` shots that stand together, without a copy."""
        air = Air(*(getattr(self.air, f.name)[some] for f in fields(Air)))
        return Conditions(
            self.ground, self.lane[some], self.stimp[some], self.firmness[some], self.wet[some],
            self.hole[:, some], air, self.grip[some], self.scatter[..., some], self.obstacles,
        )  # fmt: skip


@dataclass(frozen=True)
class Bounces:
    """What every bounce did: (MOST_BOUNCES, 3, n), times in s (MOST_BOUNCES, n); NaN after the last."""

    position: Array
    velocity_in: Array
    velocity_out: Array
    spin_in: Array
    spin_out: Array
    time: Array


@dataclass(frozen=True)
class Result:
    """What became of n shots; arrays are (n,) unless said otherwise."""

    landing: Array
    """First landing in m, (3, n); the start for a ball that never flew."""
    landing_velocity: Array
    """m/s, (3, n)."""
    landing_spin: Array
    """rad/s, (3, n)."""
    landing_time: Array
    apex: Array
    bounces: Bounces | None
    """Only when traced."""
    count: Index
    """Number of bounces."""
    roll_position: Array
    """Where rolling began in m, (2, n)."""
    roll_speed: Array
    roll_time: Array
    """Time from launch to the end of bouncing in s."""
    rest: Array
    """m, (3, n)."""
    time: Array
    """Whole duration in s."""
    ending: Index
    """An ending of physics.run."""
    met: Index
    """Number of the obstacle that stopped the flight, -1 for none."""
    path: Path | None = field(default=None)

    def take(self, index: Index) -> Result:
        """What became of the shots in ``index``, no two of them the same."""
        values = {f.name: getattr(self, f.name) for f in fields(Result)}
        bounces, path = values.pop("bounces"), values.pop("path")
        some = {name: value.take(index, axis=-1) for name, value in values.items()}
        if bounces is not None:
            bounces = Bounces(*(getattr(bounces, f.name).take(index, axis=-1) for f in fields(Bounces)))
        return Result(**some, bounces=bounces, path=None if path is None else path.take(index))


Enough = Callable[[Result, Mask], bool]
"""Told, while balls roll, what has become of all so far and which of them (n,) still move: whether it is
enough, so that these may be left where they are. It is not asked where shots are played in parts."""


def _empty_log(n: int) -> Bounces:
    wide = (MOST_BOUNCES, 3, n)
    return Bounces(
        position=np.full(wide, np.nan),
        velocity_in=np.full(wide, np.nan),
        velocity_out=np.full(wide, np.nan),
        spin_in=np.full(wide, np.nan),
        spin_out=np.full(wide, np.nan),
        time=np.full((MOST_BOUNCES, n), np.nan),
    )


def softness(conditions: Conditions, table: Coefficients) -> Array:
    """What firmness and water do to the turf under n balls, (4, n).

    Factors on restitution, on friction off the green and on it, and on the tilt of the pitch mark. Firmness
    moves restitution up and the tilt down (an estimate: no published map from impact hammer to restitution
    exists). Water takes friction, so that the first bounce skids on, and softens the turf, so that the ball
    then stops.
    """
    turf, wet = table.turf, conditions.wet
    firm = steps_from_medium(conditions.firmness, turf)
    friction = 1.0 - wet * (1.0 - turf.wet_friction)
    return np.array(
        [
            np.exp(turf.firmness_restitution * firm) * (1.0 - wet * (1.0 - turf.wet_restitution)),
            friction,
            friction * conditions.grip,
            np.exp(-turf.firmness_tilt * firm) * (1.0 - wet * (1.0 - turf.wet_tilt)),
        ]
    )


def contact(
    ground: Ground,
    position: Array,
    lane: Index,
    soft: Array,
    draw: Array,
    surfaces: SurfaceArrays,
    table: Coefficients,
) -> tuple[Contact, Index]:
    """The turf under n balls that land on ``ground`` at ``position`` (3, n) in m, and its surface (n,).

    ``soft`` (4, n) is their `softness`, ``draw`` (3, n) are standard normal.
    """
    kind = ground.surface(position[0], position[1], lane)
    gx, gy = ground.slopes(position[0], position[1], lane)
    # No turf is flat where a ball meets it: pitch marks, tufts and undulations turn the ground a little.
    uneven = surfaces.uneven.take(kind)
    gx, gy = gx + uneven * draw[1], gy + uneven * draw[2]
    normal = np.empty((3, len(kind)))
    normal[2] = nz = 1.0 / np.sqrt(1.0 + gx * gx + gy * gy)
    np.multiply(gx, -nz, out=normal[0])
    np.multiply(gy, -nz, out=normal[1])
    sigma = surfaces.scatter.take(kind)
    spread = np.exp(np.minimum(sigma * (draw[0] - 0.5 * sigma), table.turf.scatter_limit))
    met = Contact(
        normal=normal,
        restitution=surfaces.restitution.take(kind) * soft[0] * spread,
        friction=surfaces.friction.take(kind) * np.where(kind == GREEN, soft[2], soft[1]),
        tilt=surfaces.tilt.take(kind) * soft[3],
    )
    return met, kind


def steps_from_medium(firmness: Array, turf: Turf) -> Array:
    """Firmness in g (n,) as steps above (below: negative) medium."""
    return np.asarray((firmness - turf.firmness_medium) / turf.firmness_step)


def simulate(
    velocity: Array,
    spin: Array,
    conditions: Conditions,
    table: Coefficients,
    *,
    rolling: Array | None = None,
    trace: bool = False,
    enough: Enough | None = None,
) -> Result:
    """Play n shots from the origin.

    ``velocity`` in m/s and ``spin`` in rad/s are (3, n). ``rolling`` (n,) marks balls that start on the
    ground in contact (putts). With ``trace`` the result carries the path of every shot. Whoever asks for
    part of it only says when it is ``enough``. State in, state out: nothing is kept between calls, and one
    shot gives the same answer alone or in a batch.
    """
    n = velocity.shape[1]
    if n > PART:
        # Parts of a size, for a small last one would cost nearly as much as a large one.
        ends = np.linspace(0, n, -(-n // PART) + 1).round().astype(int).tolist()
        parts = [slice(first, end) for first, end in pairwise(ends)]
        done = [
            simulate(
                velocity[:, part], spin[:, part], conditions.part(part), table,
                rolling=None if rolling is None else rolling[part], trace=trace,
            )
            for part in parts
        ]  # fmt: skip
        return _joined(done, parts)
    chain = _Chain(velocity, spin, conditions, table, trace)
    balls = np.arange(n) if rolling is None else np.flatnonzero(~rolling.astype(bool))
    for number in range(MOST_TAKE_OFFS + 1):
        for leap in range(MOST_BOUNCES):
            if not len(balls):
                break
            balls = chain.leap(balls, None if number else leap)
        # A ball that still hops after all these is skimming: it runs on from here.
        balls = chain.run(enough, first=number == 0, take_off=number < MOST_TAKE_OFFS)
        if not len(balls):
            break
    chain.tell()
    return chain.result


def _joined(done: list[Result], parts: list[slice]) -> Result:
    """The results of ``parts`` of the shots as one."""
    first = done[0]
    values = {f.name: [getattr(d, f.name) for d in done] for f in fields(Result)}
    bounces, paths = values.pop("bounces"), values.pop("path")
    whole = {name: np.concatenate(value, axis=-1) for name, value in values.items()}
    if first.bounces is not None:
        names = [f.name for f in fields(Bounces)]
        bounces = [Bounces(*(np.concatenate([getattr(b, n) for b in bounces], axis=-1) for n in names))]
    path = None
    if first.path is not None:
        path = Path()
        for one, part in zip(paths, parts, strict=True):
            path.join(one, np.arange(part.start, part.stop))
    return Result(**whole, bounces=bounces[0], path=path)


class _Chain:
    """What has become of n shots so far; ``result`` is filled in on the way."""

    def __init__(
        self,
        velocity: Array,
        spin: Array,
        conditions: Conditions,
        table: Coefficients,
        trace: bool,
    ) -> None:
        n = velocity.shape[1]
        self.table, self.surfaces = table, SurfaceArrays.of(table.surface)
        self.conditions, self.soft = conditions, softness(conditions, table)
        self.forces = Forces(conditions.air, table.ball, table.air, table.flight)
        self.velocity, self.spin = np.array(velocity), np.array(spin)
        place = np.zeros((3, n))
        place[2] = conditions.ground.height(place[0], place[1], conditions.lane)
        self.result = Result(
            landing=np.array(place),
            landing_velocity=np.array(velocity),
            landing_spin=np.array(spin),
            landing_time=np.zeros(n),
            apex=np.array(place[2]),
            bounces=_empty_log(n) if trace else None,
            count=np.zeros(n, dtype=np.intp),
            roll_position=np.array(place[:2]),
            roll_speed=np.zeros(n),
            roll_time=np.zeros(n),
            rest=place,
            time=np.zeros(n),
            ending=np.full(n, -1, dtype=np.intp),
            met=np.full(n, CLEAR, dtype=np.intp),
            path=Path() if trace else None,
        )
        self.holes = bool(np.count_nonzero(conditions.hole == conditions.hole))
        self.hops = Traced() if trace else None
        self.skids = np.ones(n, dtype=bool)
        """Who has yet to skid, or will again."""
        self.record(np.arange(n))

    def tell(self) -> None:
        """Add the hops to the path, if there is one."""
        if self.result.path is not None and self.hops is not None:
            self.hops.tell(self.result.path)

    def record(self, balls: Index) -> None:
        """Add where the ``balls`` are now to the path, if there is one."""
        if self.result.path is not None:
            place, velocity = self.of(self.result.rest, balls), self.of(self.velocity, balls)
            self.result.path.add(self.of(self.result.time, balls), place, velocity, balls)

    def fly(self, balls: Index, lane: Index, first: bool) -> Landing:
        """Fly ``balls`` to their next landing, perhaps the ``first``, and put them there."""
        result = self.result
        down = self.leapt(balls, lane, (DRAWN, DRAWN) if first else (DRAWN_HOP, DRAWN_LEAP))
        who = self.index(balls)
        if first:
            result.landing[:, who], result.landing_velocity[:, who] = down.position, down.velocity
            result.landing_spin[:, who], result.landing_time[who] = down.spin, down.time
        if self.conditions.obstacles is not None:
            result.met[who] = np.where(down.met != CLEAR, down.met, result.met[who])
        result.rest[:, who] = down.position
        result.time[who] += down.time
        result.apex[who] = np.maximum(result.apex[who], down.apex)
        return down

    def index(self, balls: Index) -> Index | slice:
        """What ``balls`` are written by: all of them at once is quicker."""
        return slice(None) if len(balls) == len(self.result.time) else balls

    def of(self, array: npt.NDArray[Number], balls: Index) -> npt.NDArray[Number]:
        """The part of ``array`` (..., n) that is of ``balls``."""
        return array if len(balls) == len(self.result.time) else array.take(balls, axis=-1)

    def start(self, balls: Index) -> tuple[Array, Array, Array]:
        """Where ``balls`` are, their velocity and spin."""
        now = self.of(self.result.rest, balls), self.of(self.velocity, balls), self.of(self.spin, balls)
        # A path keeps what it is drawn from later on, so what changes here must not be the same arrays.
        return now if self.result.path is None else (now[0].copy(), now[1].copy(), now[2])

    def air(self, balls: Index) -> Forces:
        """What acts on ``balls`` in the air."""
        return self.forces if len(balls) == len(self.result.time) else self.forces.take(balls)

    def flown(self, balls: Index, lane: Index, points: int) -> Landing:
        """The next landings of ``balls``, a traced one told by so many ``points`` a stretch."""
        here, result = self.conditions, self.result
        return fly(
            *self.start(balls), self.air(balls), here.ground, lane, result.path, balls, result.time[balls],
            here.obstacles, points,
        )  # fmt: skip

    def leapt(self, balls: Index, lane: Index, points: tuple[int, int]) -> Landing:
        """The next landings of ``balls``; so many ``points`` of a traced hop and stretch are told."""
        here, result, forces, start = self.conditions, self.result, self.air(balls), self.start(balls)
        small = slow(*start[:2], forces, here.ground, lane)
        many = np.count_nonzero(small)
        if not many:
            return self.flown(balls, lane, points[1])
        hops, who, on = np.arange(len(balls)), balls, lane
        if many < len(balls):
            hops = small.nonzero()[0]
            who, on, forces = balls.take(hops), lane.take(hops), forces.take(hops)
            start = self.start(who)
        down, lands = hop(
            *start, forces, here.ground, on, self.of(result.apex, who), self.hops, who, result.time[who],
            here.obstacles, points[0],
        )  # fmt: skip
        if np.count_nonzero(lands) == len(balls):
            return down
        small[hops] = lands
        kept, large = lands.nonzero()[0], (~small).nonzero()[0]
        flown = self.flown(balls.take(large), lane.take(large), points[1])
        return down.take(kept).joined(hops.take(kept), flown, large)

    def leap(self, balls: Index, number: int | None) -> Index:
        """Fly ``balls`` to the ground and bounce them; returns those that leave it again.

        It is bounce ``number`` of all of them; None for balls that have run, each with its own.
        """
        table, result, here = self.table, self.result, self.conditions
        lane, soft = self.of(here.lane, balls), self.of(self.soft, balls)
        each: int | Index = MOST_BOUNCES - 1
        if number is None:
            each = np.minimum(result.count.take(balls), each)
            draw = here.scatter[:, each, balls]
        else:
            each, draw = number, self.of(here.scatter[:, number], balls)
        down = self.fly(balls, lane, number == 0)
        met, kind = contact(here.ground, down.position, lane, soft, draw, self.surfaces, table)
        live = kind != WATER
        if np.count_nonzero(live) < len(balls):
            result.ending[balls[~live]] = IN_WATER
        if self.holes:
            hole = self.of(here.hole, balls)
            near = hole_law.over(down.position, hole, table.hole).nonzero()[0]
            if len(near):
                hole, velocity = hole.take(near, axis=1), down.velocity.take(near, axis=1)
                drops = hole_law.drops_landing(
                    down.position.take(near, axis=1), velocity,
                    -dot(velocity, met.normal.take(near, axis=1)), hole,
                    here.ground.slopes(hole[0], hole[1], lane.take(near)), table.ball.radius,
                    table.air.gravity, table.hole,
                )  # fmt: skip
                caught = near[drops]
                live[caught] = False
                self.drop(balls[caught])
        out, spin = bounce(down.velocity, down.spin, met, table.turf, table.ball.radius)
        # Grass that is landed in holds the ball: it takes speed in all directions and spin alike.
        grass = self.surfaces.grass.take(kind)
        out *= grass
        spin *= grass
        rebound = dot(out, met.normal)
        on = live & (rebound > table.turf.rest_speed)
        # A rebound too small to count is dropped: the ball starts to run along the ground.
        who, every = self.index(balls), np.count_nonzero(on) == len(balls)
        self.velocity[:, who] = out if every else (out - np.where(on, 0.0, rebound) * met.normal) * live
        self.spin[:, who] = spin
        if result.bounces is not None:
            self.log(result.bounces, balls, live.nonzero()[0], each, down, out, spin)
        result.count[who] = np.minimum(result.count[who] + live, MOST_BOUNCES)
        self.record(balls)
        return balls if every else balls[on]

    def drop(self, balls: Index) -> None:
        """Put ``balls`` into the hole."""
        result, lane = self.result, self.conditions.lane[balls]
        x, y = self.conditions.hole[:, balls]
        result.rest[:, balls] = x, y, self.conditions.ground.height(x, y, lane)
        result.ending[balls] = HOLED

    def log(
        self,
        log: Bounces,
        balls: Index,
        live: Index,
        number: int | Index,
        down: Landing,
        out: Array,
        spin: Array,
    ) -> None:
        """Write down bounce ``number``, of all or of each, of the ``live`` ones among ``balls``."""
        told = [down.position, down.velocity, down.spin, out, spin]
        kept = (log.position, log.velocity_in, log.spin_in, log.velocity_out, log.spin_out)
        if len(live) < len(balls):
            balls, told = balls[live], [a.take(live, axis=1) for a in told]
        if isinstance(number, int):
            i = self.index(balls)
            log.time[number][i] = self.result.time[i]
            for what, where in zip(told, kept, strict=True):
                where[number][:, i] = what
            return
        at = number[live]
        log.time[at, balls] = self.result.time[balls]
        for what, where in zip(told, kept, strict=True):
            where[at, :, balls] = what.T

    def run(self, enough: Enough | None, *, first: bool, take_off: bool) -> Index:
        """Run all balls that are still in play to their end, or until it is ``enough``.

        Returns those that left the ground, if they may ``take_off``. The ``first`` time all are told to have
        ended on the fly that have.
        """
        table, result, here = self.table, self.result, self.conditions
        balls = (result.ending < 0).nonzero()[0]
        told: Index | slice = slice(None) if first else balls[self.skids[balls]]
        result.roll_time[told] = result.time[told]
        stimp, wet, firmness, hole, luck = (
            self.of(a, balls) for a in (here.stimp, here.wet, here.firmness, here.hole, here.scatter[0, -1])
        )
        green = green_deceleration(stimp, table.run)
        green = green * (1.0 + wet * (table.run.wet_deceleration - 1.0))
        firm = np.exp(-table.turf.firmness_roll * steps_from_medium(firmness, table.turf))
        path = Path() if result.path is not None else None
        place, velocity, spin = (a.take(balls, axis=1) for a in (result.rest, self.velocity, self.spin))

        def ended(done: Rest) -> None:
            result.rest[:, balls], result.ending[balls] = done.position, done.ending
            result.met[balls] = np.where(done.met != CLEAR, done.met, result.met[balls])

        def asked(done: Rest, left: Index) -> bool:
            assert enough is not None
            moves = np.zeros(len(result.time), dtype=bool)
            moves[balls[left]] = True
            ended(done)
            return enough(result, moves)

        surfaces = self.surfaces
        turfs = Turfs(surfaces.slide, surfaces.deceleration, green, surfaces.roughness, luck, firm)
        done = run(
            place, velocity, spin, here.ground, self.of(here.lane, balls), turfs, hole, table.ball.radius,
            table.air.gravity, table.run, table.hole, path, result.time[balls], here.obstacles,
            None if enough is None else asked, self.of(self.skids, balls), take_off,
        )  # fmt: skip
        ended(done)
        result.time[balls] += done.time
        # A ball that ended on the fly begins to roll where it ended.
        result.roll_position[:, told] = result.rest[:2, told]
        result.roll_position[:, balls], result.roll_speed[balls] = done.roll_position, done.roll_speed
        if path is not None and result.path is not None:
            result.path.join(path, balls)
        going: Index = balls[done.going]
        result.ending[going] = -1
        self.velocity[:, going], self.spin[:, going] = done.velocity, done.spin
        self.skids[going] = done.aloft
        return going[:0] if done.left else going[done.aloft]
