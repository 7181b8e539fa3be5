"""From the situation that a golfer describes to the ground and air that the simulator asks for."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation
from shortgame_gui.physics import air as air_law
from shortgame_gui.physics.flight import Air
from shortgame_gui.physics.ground import SURFACES, WIDE, DrawnGround, Strip
from shortgame_gui.physics.shot import MOST_BOUNCES, Conditions

Array = npt.NDArray[np.float64]
Index = npt.NDArray[np.intp]


def profile(situation: Situation) -> list[tuple[float, float]]:
    """Points (x, height) in m of the side profile: the drawn points with the green's own rise on top."""
    green = situation.green
    drawn = [(p.at, p.height) for p in situation.ground.profile]
    far = green.front + green.depth
    at = sorted({x for x, _ in drawn} | ({green.front, far} if green.slope_along else set()))
    known = drawn or [(0.0, 0.0)]
    base = np.interp(np.array(at), [x for x, _ in known], [z for _, z in known])
    rise = green.slope_along * (np.clip(np.array(at), green.front, far) - green.front)
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
    layers += [strip(b.surface, b.start, b.end, b.left, b.right) for b in ground.bands]
    return layers


def ground(situations: list[Situation]) -> DrawnGround:
    """The drawn grounds of ``situations``, one lane value each."""
    return DrawnGround([(profile(s), s.green.slope_across, strips(s)) for s in situations])


def conditions(
    situation: Situation,
    table: Coefficients,
    n: int,
    *,
    scatter: Array | None = None,
    gusts: tuple[Array, Array] | None = None,
    hole: bool = True,
    drawn: DrawnGround | None = None,
) -> Conditions:
    """Conditions of n balls that all play ``situation``.

    ``scatter`` is (3, bounces, n) of standard normal draws (none: unperturbed), ``gusts`` two arrays (n,) of
    the same for the wind; without ``hole`` every ball runs over it. ``drawn`` saves building the ground.
    """
    air, green = situation.air, situation.green
    rho = np.broadcast_to(air_law.density(air.altitude, air.temperature, table.air), (n,))
    nu = np.broadcast_to(air_law.kinematic_viscosity(air.temperature, rho[:1], table.air), (n,))
    along, across = np.full(n, air.wind_along), np.full(n, -air.wind_across)
    if gusts is not None and air.gust > 0.0:
        along, across = along + air.gust * gusts[0], across + air.gust * gusts[1]
    place = (situation.hole.distance, 0.0) if hole else (np.nan, np.nan)
    return Conditions(
        ground=drawn if drawn is not None else ground([situation]),
        lane=np.zeros(n, dtype=np.intp),
        stimp=np.full(n, green.speed),
        firmness=np.full(n, green.firmness),
        wet=np.full(n, float(green.wet)),
        hole=np.tile(np.array(place)[:, None], n),
        air=Air(rho, nu, along, across),
        scatter=np.zeros((3, MOST_BOUNCES, n)) if scatter is None else scatter,
    )
