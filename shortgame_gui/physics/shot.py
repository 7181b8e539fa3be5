"""The chain: from the launch through flight, bounces and run to rest, for n shots at once."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.bounce import Contact, bounce
from shortgame_gui.physics.flight import Landing, Path, fly
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import GREEN, WATER, Ground, SurfaceArrays
from shortgame_gui.physics.hop import hop
from shortgame_gui.physics.obstacles import CLEAR, IN_FRONT, Obstacles
from shortgame_gui.physics.run import HOLED, IN_WATER, Turfs, green_deceleration, run

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]

MOST_BOUNCES = 20


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

    def take(self, index: Index) -> Conditions:
        """The conditions of the shots in ``index``."""
        return Conditions(
            self.ground, self.lane[index], self.stimp[index], self.firmness[index], self.wet[index],
            self.hole[:, index], self.air.take(index), self.grip[index], self.scatter[..., index],
            self.obstacles,
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


def contact(
    position: Array, conditions: Conditions, draw: Array, surfaces: SurfaceArrays, table: Coefficients
) -> Contact:
    """The turf under n landing balls at ``position`` (3, n) in m, with the standard normal ``draw`` (3, n).

    Firmness moves restitution up and the tilt of the pitch mark down (an estimate: no published map from
    impact hammer to restitution exists). Water takes friction, so that the first bounce skids on, and softens
    the turf, so that the ball then stops.
    """
    turf = table.turf
    gx, gy = conditions.ground.slopes(position[0], position[1], conditions.lane)
    kind = conditions.ground.surface(position[0], position[1], conditions.lane)
    # No turf is flat where a ball meets it: pitch marks, tufts and undulations turn the ground a little.
    gx, gy = gx + surfaces.uneven[kind] * draw[1], gy + surfaces.uneven[kind] * draw[2]
    nz = 1.0 / np.sqrt(1.0 + gx * gx + gy * gy)
    firm = (conditions.firmness - turf.firmness_medium) / turf.firmness_step
    sigma = surfaces.scatter[kind]
    spread = np.exp(np.minimum(sigma * draw[0] - 0.5 * sigma * sigma, turf.scatter_limit))
    wet = conditions.wet
    return Contact(
        normal=np.stack([-gx * nz, -gy * nz, nz]),
        restitution=surfaces.restitution[kind]
        * np.exp(turf.firmness_restitution * firm)
        * spread
        * (1.0 - wet * (1.0 - turf.wet_restitution)),
        friction=surfaces.friction[kind]
        * np.where(kind == GREEN, conditions.grip, 1.0)
        * (1.0 - wet * (1.0 - turf.wet_friction)),
        tilt=surfaces.tilt[kind] * np.exp(-turf.firmness_tilt * firm) * (1.0 - wet * (1.0 - turf.wet_tilt)),
    )


def simulate(
    velocity: Array,
    spin: Array,
    conditions: Conditions,
    table: Coefficients,
    *,
    rolling: Array | None = None,
    trace: bool = False,
) -> Result:
    """Play n shots from the origin.

    ``velocity`` in m/s and ``spin`` in rad/s are (3, n). ``rolling`` (n,) marks balls that start on the
    ground in contact (putts). With ``trace`` the result carries the path of every shot. State in, state out:
    nothing is kept between calls, and one shot gives the same answer alone or in a batch.
    """
    chain = _Chain(velocity, spin, conditions, table, trace)
    balls = np.arange(velocity.shape[1]) if rolling is None else np.flatnonzero(~rolling.astype(bool))
    for leap in range(MOST_BOUNCES):
        if not len(balls):
            break
        balls = chain.leap(balls, leap)
    # A ball that still hops after all these is skimming: it runs on from here.
    chain.run()
    return chain.result


class _Chain:
    """What has become of n shots so far; ``result`` is filled in on the way."""

    def __init__(
        self, velocity: Array, spin: Array, conditions: Conditions, table: Coefficients, trace: bool
    ) -> None:
        n = velocity.shape[1]
        self.table, self.surfaces = table, SurfaceArrays.of(table.surface)
        # The draws of the turf are by bounce and taken row by row; the rest goes with the balls in play.
        self.conditions = replace(conditions, scatter=conditions.scatter[..., :0, :])
        self.scatter = conditions.scatter
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
        self.record(np.arange(n))

    def record(self, balls: Index) -> None:
        """Add where the ``balls`` are now to the path, if there is one."""
        if self.result.path is not None:
            place, velocity = self.result.rest[:, balls], self.velocity[:, balls]
            self.result.path.add(self.result.time[balls], place, velocity, balls)

    def fly(self, balls: Index, here: Conditions, leap: int) -> Landing:
        """Fly ``balls`` to their next landing and put them there."""
        table, result = self.table, self.result
        place, velocity, spin = result.rest[:, balls], self.velocity[:, balls], self.spin[:, balls]
        common = (table.ball, table.air, table.flight)
        clock = result.time[balls]
        if leap == 0:
            down = fly(
                place, velocity, spin, here.air, here.ground, here.lane, *common,
                int(table.flight.steps_flight), result.path, balls, clock, here.obstacles,
            )  # fmt: skip
        else:
            down, small = hop(
                place, velocity, spin, here.air, here.ground, here.lane, *common, result.path, balls, clock
            )
            large = np.flatnonzero(~small)
            if len(large):
                flown = fly(
                    place[:, large], velocity[:, large], spin[:, large], here.air.take(large), here.ground,
                    here.lane[large], *common, int(table.flight.steps_hop), result.path, balls[large],
                    clock[large], here.obstacles,
                )  # fmt: skip
                down.put(large, flown)
            if here.obstacles is not None:
                self.stop_hops(here.obstacles, here, place, velocity, down, small)
        if leap == 0:
            result.landing[:, balls], result.landing_velocity[:, balls] = down.position, down.velocity
            result.landing_spin[:, balls], result.landing_time[balls] = down.spin, down.time
        result.met[balls] = np.where(down.met != CLEAR, down.met, result.met[balls])
        result.rest[:, balls] = down.position
        result.time[balls] += down.time
        result.apex[balls] = np.maximum(result.apex[balls], down.apex)
        return down

    def stop_hops(
        self,
        obstacles: Obstacles,
        here: Conditions,
        place: Array,
        velocity: Array,
        down: Landing,
        small: Mask,
    ) -> None:
        """Let hops (those that are ``small``) that meet an obstacle drop in front of it."""
        rise = np.maximum(velocity[2], 0.0) ** 2 / (2.0 * self.table.air.gravity)
        met, when = obstacles.on_the_way(place[:2], down.position[:2], rise, (place[2], down.position[2]))
        hit = np.flatnonzero((met != CLEAR) & small)
        if not len(hit):
            return
        x, y = place[:2, hit] + when[hit] * (down.position[:2, hit] - place[:2, hit])
        x = x - IN_FRONT
        down.position[:, hit] = x, y, here.ground.height(x, y, here.lane[hit])
        down.velocity[:, hit] = 0.0
        down.spin[:, hit] = 0.0
        down.time[hit] *= when[hit]
        down.met[hit] = met[hit]

    def leap(self, balls: Index, number: int) -> Index:
        """Fly ``balls`` to the ground and bounce them; returns those that leave it again."""
        table, result = self.table, self.result
        here = self.conditions if len(balls) == len(result.time) else self.conditions.take(balls)
        down = self.fly(balls, here, number)
        draw = self.scatter[..., number, balls]
        met = contact(down.position, here, draw, self.surfaces, table)
        kind = here.ground.surface(down.position[0], down.position[1], here.lane)
        into = -(down.velocity * met.normal).sum(axis=0)
        caught = np.zeros(len(balls), dtype=bool)
        near = np.flatnonzero(hole_law.over(down.position, here.hole, table.hole))
        if len(near):
            slope = here.ground.slopes(here.hole[0, near], here.hole[1, near], here.lane[near])
            caught[near] = hole_law.drops_landing(
                down.position[:, near], down.velocity[:, near], into[near], here.hole[:, near], slope,
                table.ball.radius, table.air.gravity, table.hole,
            )  # fmt: skip
        lost = (kind == WATER) & ~caught
        result.ending[balls[lost]] = IN_WATER
        self.drop(balls[caught])
        out, spin = bounce(down.velocity, down.spin, met, table.turf, table.ball.radius)
        # Grass that is landed in holds the ball: it takes speed in all directions and spin alike.
        out, spin = out * self.surfaces.grass[kind], spin * self.surfaces.grass[kind]
        rebound = (out * met.normal).sum(axis=0)
        live = ~caught & ~lost
        on = live & (rebound > table.turf.rest_speed)
        # A rebound too small to count is dropped: the ball starts to run along the ground.
        self.velocity[:, balls] = np.where(live, np.where(on, out, out - rebound * met.normal), 0.0)
        self.spin[:, balls] = spin
        result.count[balls[live]] += 1
        if result.bounces is not None:
            self.log(result.bounces, balls, np.flatnonzero(live), number, down, out, spin)
        self.record(balls)
        return np.asarray(balls[on])

    def drop(self, balls: Index) -> None:
        """Put ``balls`` into the hole."""
        result, lane = self.result, self.conditions.lane[balls]
        x, y = self.conditions.hole[:, balls]
        result.rest[:, balls] = x, y, self.conditions.ground.height(x, y, lane)
        result.ending[balls] = HOLED

    def log(
        self, log: Bounces, balls: Index, live: Index, number: int, down: Landing, out: Array, spin: Array
    ) -> None:
        """Write down the bounce of the ``live`` ones among ``balls``."""
        i = balls[live]
        log.position[number][:, i] = down.position[:, live]
        log.velocity_in[number][:, i], log.velocity_out[number][:, i] = down.velocity[:, live], out[:, live]
        log.spin_in[number][:, i], log.spin_out[number][:, i] = down.spin[:, live], spin[:, live]
        log.time[number][i] = self.result.time[i]

    def run(self) -> None:
        """Run all balls that are still in play to their end."""
        table, result = self.table, self.result
        result.roll_time[:] = result.time
        balls = np.flatnonzero(result.ending < 0)
        here = self.conditions.take(balls)
        green = green_deceleration(here.stimp, table.run)
        green = green * (1.0 + here.wet * (table.run.wet_deceleration - 1.0))
        path = Path() if result.path is not None else None
        done = run(
            result.rest[:, balls], self.velocity[:, balls], self.spin[:, balls], here.ground, here.lane,
            Turfs(
                self.surfaces.slide, self.surfaces.deceleration, green, self.surfaces.roughness,
                self.scatter[0, -1, balls],
            ), here.hole, table.ball.radius,
            table.air.gravity, table.run, table.hole, path, result.time[balls],
            here.obstacles,
        )  # fmt: skip
        result.rest[:, balls], result.ending[balls] = done.position, done.ending
        result.time[balls] += done.time
        result.met[balls] = np.where(done.met != CLEAR, done.met, result.met[balls])
        # A ball that ended on the fly begins to roll where it ended.
        result.roll_position[:] = result.rest[:2]
        result.roll_position[:, balls], result.roll_speed[balls] = done.roll_position, done.roll_speed
        if path is not None and result.path is not None:
            for time, place, velocity, who in zip(
                path.time, path.position, path.velocity, path.ball, strict=True
            ):
                result.path.add(time, place, velocity, balls[who])
