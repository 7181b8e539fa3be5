"""From the situation that a golfer describes to the ground and air that the simulator asks for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

import msgspec
import numpy as np
import numpy.typing as npt

from shortgame_gui.advice.truth import FIRMNESSES, GREEN_SPEEDS, Truth
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import HeightGrid
from shortgame_gui.physics import air as air_law
from shortgame_gui.physics.forces import Air
from shortgame_gui.physics.ground import SURFACES, WIDE, DrawnGround, Ground, Strip
from shortgame_gui.physics.obstacles import Obstacles
from shortgame_gui.physics.shot import Conditions
from shortgame_gui.physics.survey import SurveyedGround
from shortgame_gui.physics.tilt import Tilted

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]
Mask = npt.NDArray[np.bool_]


BUNKER = 4.0
"""Reach of the bunker that the ball lies in, behind and to both sides, in m."""


def profile(situation: Situation) -> list[tuple[float, float]]:
    """Points (x, height) in m of the side profile: the drawn points with the green's own rise on top."""
    green = situation.green
    drawn = [(p.at, p.height) for p in situation.ground.profile]
    far = green.front + green.depth
    shapes = situation.ground.shapes
    edges = {green.front, far} if green.slope_along else set()
    edges |= {x for s in shapes for x in (s.at, s.at + s.length)}
    at = sorted({x for x, _ in drawn} | edges)
    known = drawn or [(0.0, 0.0)]
    base = np.interp(np.array(at), [x for x, _ in known], [z for _, z in known])
    rise = green.slope_along * (np.clip(np.array(at), green.front, far) - green.front)
    for s in shapes:
        step = -s.height if s.kind == "run_off" else s.height
        rise = rise + step * np.clip((np.array(at) - s.at) / s.length, 0.0, 1.0)
    return [(x, float(z)) for x, z in zip(at, base + rise, strict=True)]


def strips(situation: Situation) -> list[Strip]:
    """Surfaces from the bottom up: surroundings, fringe, green, then the bands laid on top."""
    green, ground = situation.green, situation.ground
    far = green.front + green.depth

    def strip(name: str, start: float, end: float, left: float = WIDE, right: float = WIDE) -> Strip:
        return Strip(SURFACES.index(name), start, end, left, right)

    layers = [
        strip(ground.beside, -WIDE, WIDE),
        strip(ground.approach, -WIDE, green.front),
        strip(ground.behind, far, WIDE),
    ]
    if ground.fringe > 0.0:
        f = ground.fringe
        layers.append(strip("fringe", green.front - f, far + f, green.left + f, green.right + f))
    layers.append(strip("green", green.front, far, green.left, green.right))
    if situation.lie.ground == "sand":
        layers.append(strip("sand", -BUNKER, situation.lie.lip_distance, BUNKER, BUNKER))
    layers += [strip(b.surface, b.start, b.end, b.left, b.right) for b in ground.bands]
    return layers


def across(situation: Situation, table: Coefficients | None) -> float:
    """Cross-slope, positive where the left is higher; grain across bends the roll like a slope.

    Without the table it is the ground as it looks.
    """
    bend = {"left": -1.0, "right": 1.0}.get(situation.green.grain, 0.0)
    return situation.green.slope_across + (bend * table.run.grain_bend if table is not None else 0.0)


def ground(situations: list[Situation], table: Coefficients | None = None) -> Ground:
    """The grounds of ``situations``, one lane value each; without ``table`` as they look.

    They are drawn, or all lie on one height grid; raises ValueError for a mixture and for heights that were
    not read.
    """
    drawn = _drawn(tuple((tuple(profile(s)), across(s, table), tuple(strips(s))) for s in situations))
    grids = {s.survey.grid if s.survey.file else "drawn" for s in situations}
    if grids == {"drawn"}:
        return drawn
    (grid,) = grids if len(grids) == 1 else (None,)
    if not isinstance(grid, HeightGrid):
        raise ValueError("the situations of a batch must lie on one height grid, and it must have been read")
    balls = np.array([(s.survey.ball_x, s.survey.ball_y) for s in situations]).T
    holes = np.array([(s.survey.hole_x, s.survey.hole_y) for s in situations]).T
    return SurveyedGround(grid, balls, holes, drawn)


@lru_cache(maxsize=4)
def _drawn(
    drawings: tuple[tuple[tuple[tuple[float, float], ...], float, tuple[Strip, ...]], ...],
) -> DrawnGround:
    """The drawn grounds; kept, because most steps of an edit leave them as they are."""
    return DrawnGround(drawings)


def rise(situation: Situation, ground: Ground, lane: int = 0) -> float:
    """Rise of the green along the line of play as far as the hole: as drawn, or the mean of the survey's.

    ``lane`` is the situation's ground among those of ``ground``.
    """
    if not situation.survey.file:
        return situation.green.slope_along
    x = np.linspace(situation.green.front, situation.hole.distance, 33)
    along, _ = ground.slopes(x, np.zeros(33), np.full(33, lane, dtype=np.intp))
    return float(along.mean())


def obstacles(situation: Situation) -> Obstacles | None:
    """The lip of the bunker that the ball lies in, if there is one, and then what else stands in the way."""
    lie = situation.lie
    rows = [(o.at, o.low, o.high, o.left, o.right) for o in situation.ground.obstacles]
    if has_lip(situation):
        rows.insert(0, (lie.lip_distance, -WIDE, lie.lip_height, BUNKER, BUNKER))
    return Obstacles(*np.array(rows, dtype=float).T) if rows else None


def blocked(
    situation: Situation, ground: Ground, lane: Index, rest: Array, hole: Array | float, table: Coefficients
) -> Mask:
    """Whether what stands in the way still stops the next ball from ``rest`` (3, n) in m.

    The hole is ``hole`` m away from the first ball, (n,) or one for all. A ball that passes neither over nor
    under what stands in its way must be played out of there first: one stroke more. ``lane`` (n,) says on
    which ground of ``ground`` each ball is.
    """
    stopped = np.zeros(rest.shape[1], dtype=bool)
    blocks = obstacles(situation)
    if blocks is None:
        return stopped
    row, (x, y) = table.escape, rest[:2]
    here = ground.height(x, y, lane)
    ahead = np.where(np.abs(hole - x) < 1e-6, 1e-6, hole - x)
    for k, at in enumerate(blocks.at):
        share = (at - x) / ahead
        side, gap = y * (1.0 - share), share * np.hypot(hole - x, y)
        meets = (share > 0.0) & (share < 1.0) & (side <= blocks.left[k]) & (side >= -blocks.right[k])
        over, under = blocks.high[k] - here <= row.over * gap, blocks.low[k] - here >= row.under * gap
        stopped |= meets & ~over & ~under
    return stopped


def has_lip(situation: Situation) -> bool:
    """Whether a lip stands in front of the ball; it is then the first of the obstacles."""
    return situation.lie.ground == "sand" and situation.lie.lip_height > 0.0


def stimp(situation: Situation, table: Coefficients) -> float:
    """Green speed in m of stimp along the line of play: grain with or against it changes the reading."""
    change = {"with": 1.0, "against": -1.0}.get(situation.green.grain, 0.0)
    return situation.green.speed + change * table.run.grain_stimp


def holds_a_ball(situation: Situation, table: Coefficients) -> bool:
    """Whether a ball can come to rest on the green as it is drawn: 5/7 of the slope's pull are less than
    what brakes a rolling ball."""
    green = situation.green
    brake = table.run.stimp_speed**2 / (2.0 * stimp(situation, table))
    brake *= table.run.wet_deceleration if green.wet else 1.0
    pull = table.air.gravity * (5.0 / 7.0) * float(np.hypot(green.slope_along, green.slope_across))
    return bool(situation.survey.file) or pull < brake


def hole_table(situation: Situation, table: Coefficients) -> Coefficients:
    """The table with the hole as it is today: a flagstick catches centred balls and turns others away."""
    if situation.hole.flag == "out":
        return table
    h = table.hole
    hole = msgspec.structs.replace(
        h, capture_speed=h.capture_speed * h.flag_speed, radius=h.radius * h.flag_width
    )
    return msgspec.structs.replace(table, hole=hole)


def conditions(
    situations: Sequence[Situation],
    of: Index,
    table: Coefficients,
    drawn: Ground,
    lane: Index,
    *,
    scatter: Array,
    gusts: tuple[Array, Array],
    hole: bool | Mask = True,
    truth: Truth | None = None,
) -> Conditions:
    """Conditions of n balls, each in that one of ``situations`` which ``of`` (n,) says.

    ``lane`` (n,) says on which ground of ``drawn`` each ball is, ``scatter`` is (3, bounces, n) of standard
    normal draws, ``gusts`` two arrays (n,) of the same for the wind; without ``hole``, which may be (n,),
    balls run over it. What stands in the way must be the same in all situations, the first one's counts.
    ``truth`` (n,) is how far the conditions truly lie from what the golfer states.
    """

    def each(value: Callable[[Situation], float]) -> Array:
        return np.array([value(s) for s in situations], dtype=float)[of]

    airs = [s.air for s in situations]
    warmth = np.array([a.temperature for a in airs])
    rho = air_law.density(np.array([a.altitude for a in airs]), warmth, table.air)
    nu = air_law.kinematic_viscosity(warmth, rho, table.air)
    # No wind blows evenly, whether the golfer says so or not.
    least = table.air.turbulence
    gust = each(lambda s: max(s.air.gust, least * float(np.hypot(s.air.wind_along, s.air.wind_across))))
    place = np.where(hole, each(lambda s: s.hole.distance), np.nan)
    along = each(lambda s: s.air.wind_along) + gust * gusts[0]
    across = each(lambda s: -s.air.wind_across) + gust * gusts[1]
    speed, firmness = each(lambda s: stimp(s, table)), each(lambda s: s.green.firmness)
    if truth is not None:
        speed = np.clip(speed + truth.green_speed, *GREEN_SPEEDS)
        firmness = np.clip(firmness + truth.firmness, *FIRMNESSES)
        along, across = along + truth.wind_along, across - truth.wind_across
        if truth.slope_along.any() or truth.slope_across.any():
            start, depth = each(lambda s: s.green.front), each(lambda s: s.green.depth)
            tilts = (truth.slope_along, truth.slope_across)
            drawn, lane = Tilted(drawn, lane, *tilts, start, start + depth), np.arange(len(of))
    return Conditions(
        ground=drawn,
        lane=lane,
        stimp=speed,
        firmness=firmness,
        wet=each(lambda s: float(s.green.wet)),
        hole=np.stack([place, 0.0 * place]),
        air=Air(rho[of], nu[of], along, across),
        grip=each(lambda s: s.green.takes_spin),
        scatter=scatter,
        obstacles=obstacles(situations[0]),
    )
