"""The conditions that a map can vary: each axis makes of a situation and a value another valid situation."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import msgspec
import numpy as np

from shortgame_gui.advice import scene
from shortgame_gui.model.base import FieldError, canonical
from shortgame_gui.model.ground import Ground, ProfilePoint
from shortgame_gui.model.leaves import put_all
from shortgame_gui.model.player import LEVELS
from shortgame_gui.model.situation import Situation
from shortgame_gui.units import FOOT

Value = float | str
"""A number in SI, or the code of a choice."""

GRADES: dict[str, tuple[str, str]] = {
    "fairway": ("fairway", "clean"),
    "tight": ("tight", "clean"),
    "bare": ("bare", "clean"),
    "first_cut": ("first_cut", "clean"),
    "rough_up": ("rough", "up"),
    "rough_half_down": ("rough", "half_down"),
    "rough_down": ("rough", "down"),
    "rough_nested": ("rough", "nested"),
}
"""Grade of a lie, from the easiest to the hardest -> what the ball lies on and how it sits."""

FARTHEST, LEAST_GREEN = 105.0, 4.0
"""Limits in m of a map's distances, and of the depth that a green keeps."""


@dataclass(frozen=True)
class Axis:
    """One condition; ``choices`` are the codes in their order where it is no number."""

    code: str
    quantity: str
    """A key of `units.QUANTITIES`; empty for choices."""
    get: Callable[[Situation], Value | None]
    """The value in a situation; None where it is none of the choices."""
    put: Callable[[Situation, Value], Situation]
    """The situation with the value; raises FieldError where there is none."""
    usual: Callable[[Situation], tuple[float, float]]
    """A sensible range for a situation, from and to in SI."""
    keeps: str = ""
    """The axis whose value `put` leaves as it is although it moves the hole or the green."""
    choices: tuple[str, ...] = ()

    def steps(self, low: float, high: float, count: int) -> tuple[Value, ...]:
        """``count`` values from ``low`` to ``high``, evenly spread."""
        return tuple(canonical(v) for v in np.linspace(low, high, count))

    def values(self, situation: Situation, count: int) -> tuple[Value, ...]:
        """Sensible values for ``situation``: ``count`` numbers, or all choices."""
        return self.choices or self.steps(*self.usual(situation), count)


def _number(value: Value) -> float:
    if isinstance(value, str):
        raise FieldError("value", "must be a number")
    return canonical(value)


def _at(path: str) -> Callable[[Situation, Value], Situation]:
    """Sets the leaf ``path``."""
    return lambda situation, value: put_all(situation, {path: _number(value)})


def _ground(ground: Ground, place: Callable[[float], float], rise: float) -> Ground:
    """``ground`` with everything drawn on it at ``place`` of where it was, heights lowered by ``rise``.

    What comes to lie behind the ball or out of reach is left out.
    """
    replace = msgspec.structs.replace
    points = [replace(p, at=place(p.at)) for p in ground.profile if -20.0 <= place(p.at) <= 150.0]
    kept: list[ProfilePoint] = []
    for p in points:
        at = canonical(max(p.at, kept[-1].at + 0.05)) if kept else p.at
        kept.append(replace(p, at=at))
    bands = [
        replace(b, start=max(place(b.start), -20.0), end=min(place(b.end), 150.0))
        for b in ground.bands
        if place(b.start) < 149.0 and place(b.end) > max(place(b.start) + 0.05, -19.0)
    ]
    shapes = [
        replace(s, at=place(s.at), length=min(max(place(s.at + s.length) - place(s.at), 0.5), 30.0))
        for s in ground.shapes
        if -20.0 <= place(s.at) <= 150.0
    ]
    obstacles = [
        replace(o, at=place(o.at), low=max(o.low - rise, -20.0), high=min(o.high - rise, 30.0))
        for o in ground.obstacles
        if 0.5 <= place(o.at) <= 150.0 and o.high - rise > -19.0
    ]
    return replace(
        ground, profile=tuple(kept), bands=tuple(bands), shapes=tuple(shapes), obstacles=tuple(obstacles)
    )


def _moved(
    situation: Situation, front: float, hole: float, place: Callable[[float], float], rise: float = 0.0
) -> Situation:
    """The hole at ``hole``, the green's near edge at ``front``; the room behind the hole stays as it is."""
    if situation.survey.file:
        raise FieldError("survey", "holds ball and hole: only a drawn ground has another distance or green")
    green = situation.green
    behind = green.front + green.depth - situation.hole.distance
    depth = max(hole + behind - front, LEAST_GREEN)
    return put_all(
        situation,
        {
            "green.front": canonical(front),
            "green.depth": canonical(depth),
            "hole.distance": canonical(hole),
            "ground": _ground(situation.ground, place, rise),
        },
    )


def put_distance(situation: Situation, value: Value) -> Situation:
    """The ball moved back or forward along the line: all that lies ahead stays as it is to the hole."""
    by = _number(value) - situation.hole.distance
    points = scene.profile(situation)
    x, z = [p[0] for p in points], [p[1] for p in points]
    own = _own(situation)
    rise = float(np.interp(-by, x, z) - np.interp(0.0, x, z)) if points and not own else 0.0

    def place(at: float) -> float:
        return at if own and at <= own else max(at + by, own) if own else at + by

    return _moved(situation, situation.green.front + by, situation.hole.distance + by, place, rise)


def _own(situation: Situation) -> float:
    """How far ahead in m the ground goes with the ball wherever it is put: to the lip of its bunker."""
    return situation.lie.lip_distance + 0.5 if situation.lie.ground == "sand" else 0.0


def _stretched(situation: Situation, front: float, hole: float) -> Situation:
    """The edge at ``front`` and the hole at ``hole``; what lies between ball, edge and hole is stretched."""
    was, cut = situation.green.front, situation.hole.distance
    own = min(_own(situation), front, was)

    def place(at: float) -> float:
        if at <= own:
            return at
        if at < was:
            return own + (at - own) * (front - own) / (was - own)
        if at < cut:
            return front + (at - was) * (hole - front) / (cut - was)
        return at + hole - cut

    return _moved(situation, front, hole, place)


def put_room(situation: Situation, value: Value) -> Situation:
    """The hole cut nearer to or farther from the near edge, which stays where it is."""
    front = situation.green.front
    return _stretched(situation, front, front + _number(value))


def put_carry(situation: Situation, value: Value) -> Situation:
    """The green's near edge moved, with what lies before it; the hole stays where it is."""
    return _stretched(situation, _number(value), situation.hole.distance)


def _lie(situation: Situation, value: Value) -> Situation:
    if value not in GRADES:
        raise FieldError("lie", f"must be one of {', '.join(GRADES)}")
    ground, sits = GRADES[str(value)]
    return put_all(situation, {"lie.ground": ground, "lie.sits": sits})


def _grade(situation: Situation) -> str | None:
    now = (situation.lie.ground, situation.lie.sits)
    return next((grade for grade, lie in GRADES.items() if lie == now), None)


def _room(situation: Situation) -> float:
    return canonical(situation.hole.distance - situation.green.front)


def _distances(situation: Situation) -> tuple[float, float]:
    low = _room(situation) + 0.5
    return low, min(max(1.5 * situation.hole.distance, low + 30.0), FARTHEST)


def _carries(situation: Situation) -> tuple[float, float]:
    hole = situation.hole.distance
    deepest = situation.green.front + situation.green.depth - 60.0
    return max(min(0.5, 0.5 * hole), deepest), hole - min(2.0, 0.2 * hole)


def _rooms(situation: Situation) -> tuple[float, float]:
    most = FARTHEST - situation.green.front
    behind = situation.green.front + situation.green.depth - situation.hole.distance
    return 2.0, min(max(24.0, 1.25 * _room(situation)), most, 60.0 - behind)


def _between(low: float, high: float) -> Callable[[Situation], tuple[float, float]]:
    return lambda situation: (low, high)


AXES: dict[str, Axis] = {
    a.code: a
    for a in (
        Axis("distance", "length", lambda s: s.hole.distance, put_distance, _distances,
             keeps="green_to_work_with"),
        Axis("green_to_work_with", "length", _room, put_room, _rooms, keeps="carry"),
        Axis("carry", "length", lambda s: s.green.front, put_carry, _carries, keeps="distance"),
        Axis("green_speed", "length", lambda s: s.green.speed, _at("green.speed"),
             _between(7.0 * FOOT, 14.0 * FOOT)),
        Axis("firmness", "firmness", lambda s: s.green.firmness, _at("green.firmness"),
             _between(50.0, 135.0)),
        Axis("slope", "slope", lambda s: s.green.slope_along, _at("green.slope_along"),
             _between(-0.06, 0.06)),
        Axis("lie_slope", "slope", lambda s: s.stance.slope_along, _at("stance.slope_along"),
             _between(float(np.tan(np.radians(-12.0))), float(np.tan(np.radians(12.0))))),
        Axis("lie", "", _grade, _lie, _between(0.0, 0.0), choices=tuple(GRADES)),
        Axis("wind", "speed", lambda s: s.air.wind_along, _at("air.wind_along"), _between(-8.0, 8.0)),
        Axis("level", "", lambda s: s.player.level,
             lambda s, v: put_all(s, {"player.level": v}), _between(0.0, 0.0), choices=LEVELS),
    )
}  # fmt: skip
"""Every axis by its code, in the order in which it is offered."""


def situation_at(situation: Situation, settings: list[tuple[str, Value]]) -> Situation:
    """``situation`` with the value of each axis in ``settings`` (code, value); no axis may come twice.

    Of distance, green to work with and carry each keeps one of the others, in a circle: what is kept is set
    first, so that any two hold together. Raises FieldError where no such situation exists.
    """
    codes = {code for code, _ in settings}
    order = sorted(settings, key=lambda entry: AXES[entry[0]].keeps in codes and AXES[entry[0]].keeps != "")
    for code, value in order:
        situation = AXES[code].put(situation, value)
    return situation
