"""The chain: from the launch through flight, bounces and run to rest, for n shots at once."""

from __future__ import annotations

from dataclasses import dataclass, field, fields

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.physics import hole as hole_law
from shortgame_gui.physics.bounce import Contact, bounce
from shortgame_gui.physics.flight import Air, Landing, Path, fly
from shortgame_gui.physics.ground import WATER, Ground, SurfaceArrays
from shortgame_gui.physics.hop import hop, is_hop
from shortgame_gui.physics.run import HOLED, IN_WATER, Turfs, green_deceleration, run

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]

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
    scatter: Array
    """Standard normal draws of the turf by bounce, (bounces, n); zeros for an unperturbed shot."""

    def take(self, index: Index) -> Conditions:
        """The conditions of the shots in ``index``."""
        return Conditions(
            self.ground, self.lane[index], self.stimp[index], self.firmness[index], self.wet[index],
            self.hole[:, index], self.air.take(index), self.scatter[:, index],
        )  # fmt: skip


@dataclass(frozen=True)
class Bounces:
    """What every bounce did, (MOST_BOUNCES, n) each (velocities and places (MOST_BOUNCES, 3, n)); NaN after the last."""

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
    """The turf under n landing balls at ``position`` (3, n) in m, with the standard normal ``draw`` (n,).

    Firmness moves restitution up and the tilt of the pitch mark down (an estimate: no published map from
    impact hammer to restitution exists). Water takes friction, so that the first bounce skids on, and softens
    the turf, so that the ball then stops.
    """
    turf = table.turf
    gx, gy = conditions.ground.slopes(position[0], position[1], conditions.lane)
    nz = 1.0 / np.sqrt(1.0 + gx * gx + gy * gy)
    kind = conditions.ground.surface(position[0], position[1], conditions.lane)
    firm = (conditions.firmness - turf.firmness_medium) / turf.firmness_step
    sigma = surfaces.scatter[kind]
    spread = np.exp(np.minimum(sigma * draw - 0.5 * sigma * sigma, turf.scatter_limit))
    wet = conditions.wet
    return Contact(
        normal=np.stack([-gx * nz, -gy * nz, nz]),
        restitution=surfaces.restitution[kind]
        * np.exp(turf.firmness_restitution * firm)
        * spread
        * (1.0 - wet * (1.0 - turf.wet_restitution)),
        friction=surfaces.friction[kind] * (1.0 - wet * (1.0 - turf.wet_friction)),
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
    n = velocity.shape[1]
    ball, turf = table.ball, table.turf
    surfaces = SurfaceArrays.of(table.surface)
    path = Path() if trace else None
    position = np.zeros((3, n))
    position[2] = conditions.ground.height(position[0], position[1], conditions.lane)
    velocity, spin = np.array(velocity), np.array(spin)
    clock = np.zeros(n)
    log = _empty_log(n) if trace else None
    landing, landing_v, landing_w = np.array(position), np.array(velocity), np.array(spin)
    landing_t, apex = np.zeros(n), np.array(position[2])
    count = np.zeros(n, dtype=np.intp)
    ending = np.full(n, -1, dtype=np.intp)
    if path is not None:
        path.add(clock, position, velocity, np.arange(n))
    active = np.flatnonzero(~rolling.astype(bool)) if rolling is not None else np.arange(n)
    for leap in range(MOST_BOUNCES):
        if len(active) == 0:
            break
        here = conditions if len(active) == n else conditions.take(active)
        start = position[:, active]
        down = _fly(active, position, velocity, spin, here, table, clock, path, first=leap == 0)
        if leap:
            caught = _drops(start, down.position, velocity[:, active], down.velocity, here, table)
        else:
            caught = _drops_in(down.position, down.velocity, here, table)
        clock[active] += down.time
        position[:, active] = down.position
        apex[active] = np.maximum(apex[active], down.apex)
        if leap == 0:
            landing[:, active], landing_v[:, active] = down.position, down.velocity
            landing_w[:, active], landing_t[active] = down.spin, down.time
        kind = here.ground.surface(down.position[0], down.position[1], here.lane)
        lost = (kind == WATER) & ~caught
        if caught.any():
            i = active[caught]
            position[0, i], position[1, i] = conditions.hole[0, i], conditions.hole[1, i]
            ending[i] = HOLED
        ending[active[lost]] = IN_WATER
        met = contact(down.position, here, here.scatter[leap], surfaces, table)
        out, out_spin = bounce(down.velocity, down.spin, met, turf, ball.radius)
        # Grass that is landed in holds the ball: it takes speed in all directions and spin alike.
        grass = surfaces.grass[kind]
        out, out_spin = out * grass, out_spin * grass
        rebound = (out * met.normal).sum(axis=0)
        on = (rebound > turf.rest_speed) & ~caught & ~lost
        live = ~caught & ~lost
        count[active[live]] += 1
        if log is not None:
            i = active[live]
            log.position[leap][:, i] = down.position[:, live]
            log.velocity_in[leap][:, i] = down.velocity[:, live]
            log.velocity_out[leap][:, i] = out[:, live]
            log.spin_in[leap][:, i] = down.spin[:, live]
            log.spin_out[leap][:, i] = out_spin[:, live]
            log.time[leap][i] = clock[i]
        # A rebound too small to count is dropped: the ball starts to run along the ground.
        velocity[:, active] = np.where(on, out, out - rebound * met.normal)
        spin[:, active] = out_spin
        if path is not None:
            path.add(clock[active], position[:, active], np.where(live, out, 0.0), active)
        active = active[on]
    # A ball that still hops after all these is skimming: it runs on from here.
    velocity[2, active] = 0.0
    rest = np.array(position)
    time = np.array(clock)
    roll_at, roll_speed = np.array(position[:2]), np.zeros(n)
    runs = np.flatnonzero(ending < 0)
    if len(runs):
        here = conditions.take(runs)
        green = green_deceleration(here.stimp, table.run) * (
            1.0 + here.wet * (table.run.wet_deceleration - 1.0)
        )
        sub = Path() if path is not None else None
        done = run(
            position[:, runs], velocity[:, runs], spin[:, runs], here.ground, here.lane,
            Turfs(surfaces.slide, surfaces.deceleration, green), here.hole, ball.radius, table.air.gravity,
            table.run, table.hole, sub, clock[runs],
        )  # fmt: skip
        rest[:, runs], time[runs], ending[runs] = done.position, clock[runs] + done.time, done.ending
        roll_at[:, runs], roll_speed[runs] = done.roll_position, done.roll_speed
        if path is not None and sub is not None:
            for args in zip(sub.time, sub.position, sub.velocity, sub.ball, strict=True):
                path.add(args[0], args[1], args[2], runs[args[3]])
    return Result(
        landing, landing_v, landing_w, landing_t, apex, log, count, roll_at, roll_speed, np.array(clock), rest, time,
        ending, path,
    )  # fmt: skip


def _fly(
    who: Index,
    position: Array,
    velocity: Array,
    spin: Array,
    here: Conditions,
    table: Coefficients,
    clock: Array,
    path: Path | None,
    *,
    first: bool,
) -> Landing:
    """The next landing of the balls ``who``: a flight, or a hop where a bounce left no more than that."""
    p, v, w = position[:, who], velocity[:, who], spin[:, who]
    small = np.zeros(len(who), dtype=bool) if first else is_hop(v)
    steps = max(int(table.flight.steps_flight if first else table.flight.steps_hop), 2)

    def leap(i: Index) -> Landing:
        return fly(
            p[:, i], v[:, i], w[:, i], here.air.take(i), here.ground, here.lane[i], table.ball, table.air,
            table.flight, steps, path, who[i], clock,
        )  # fmt: skip

    def skip(i: Index) -> Landing:
        return hop(
            p[:, i], v[:, i], w[:, i], here.air.take(i), here.ground, here.lane[i], table.ball, table.air,
            table.flight, path, who[i], clock,
        )  # fmt: skip

    if not small.any():
        return leap(np.arange(len(who)))
    if small.all():
        return skip(np.arange(len(who)))
    one, two = np.flatnonzero(small), np.flatnonzero(~small)
    order = np.argsort(np.concatenate([one, two]))
    a, b = skip(one), leap(two)
    return Landing(
        *(
            np.concatenate([getattr(a, f.name), getattr(b, f.name)], axis=-1)[..., order]
            for f in fields(Landing)
        )
    )


def _drops(
    start: Array, end: Array, v0: Array, v1: Array, here: Conditions, table: Coefficients
) -> npt.NDArray[np.bool_]:
    """Whether a hop drops into the hole on its way: closest point of its chord, with the hop's height there."""
    share, offset = hole_law.closest(start[:2], end[:2], here.hole)
    vx, vy = v0[0] + share * (v1[0] - v0[0]), v0[1] + share * (v1[1] - v0[1])
    # Height of a small hop over its chord: a parabola with the take-off speed at both ends.
    rise = np.maximum(v0[2], 0.0)
    above = 2.0 * rise * rise / table.air.gravity * share * (1.0 - share)
    return hole_law.captured(offset, np.sqrt(vx * vx + vy * vy), above, table.hole, table.ball.radius)


def _drops_in(
    position: Array, velocity: Array, here: Conditions, table: Coefficients
) -> npt.NDArray[np.bool_]:
    """Whether a ball that comes down inside the hole's circle stays in it."""
    gap = position[:2] - here.hole
    offset = np.sqrt((gap * gap).sum(axis=0))
    level = np.zeros(len(offset))
    return hole_law.captured(offset, np.hypot(velocity[0], velocity[1]), level, table.hole, table.ball.radius)
