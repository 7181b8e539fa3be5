"""What a golfer can move in the ground itself: hole, edges of green and bands, points, shapes and obstacles.

Pure: a movable says where it stands, and `moved` which leaf of the situation takes which value.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Any, Literal

import numpy as np
from msgspec.structs import replace

from shortgame_gui.advice.scene import has_lip
from shortgame_gui.desktop.edits import edited_band, edited_obstacle
from shortgame_gui.desktop.labels import choice_labels
from shortgame_gui.model.ground import Obstacle, ProfilePoint, Shape
from shortgame_gui.model.leaves import leaves
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import N_, _
from shortgame_gui.words.text import SURFACES

Kind = Literal["hole", "edge", "point", "top", "foot"]

GAP = 0.1
"""Distance in m that a dragged point keeps to its neighbours."""
ON_THE_GROUND = Obstacle(at=1.0).low
"""Lower edge in m of what stands on the ground, wherever that is."""
LEAST_HEIGHT = 0.5
"""Height in m that an obstacle keeps at the ends of the range."""
LOWEST_LIP = 0.05
"""Height in m under which a lip cannot be dragged, or it would be gone, and its mark with it."""
SHAPE_ENDS = (N_("Start of the {shape}"), N_("End of the {shape}"))
EDGES = {"high": N_("Upper edge of obstacle {number}"), "low": N_("Lower edge of obstacle {number}")}
MOST_POINTS = 24
"""Points of a profile, as `model.ground` allows."""


@dataclass(frozen=True)
class Movable:
    """One thing to move along the line; ``at`` its distance in m.

    ``height`` in m is that of what moves up and down as well: of a point, of an edge of an obstacle, and of a
    shape's end over its start.
    """

    code: str
    kind: Kind
    name: str
    at: float
    height: float | None = None


@dataclass(frozen=True)
class Change:
    """An edit: the leaf, its new value, and what undo calls it."""

    path: str
    value: Any
    label: str


def movables(situation: Situation) -> tuple[Movable, ...]:
    """Everything in ``situation`` that can be moved, from the ball outwards."""
    green, ground = situation.green, situation.ground
    found = [
        Movable("hole", "hole", _("Hole"), situation.hole.distance),
        Movable("green.front", "edge", _("Near edge of the green"), green.front),
        Movable("green.back", "edge", _("Far edge of the green"), green.front + green.depth),
    ]
    for k, band in enumerate(ground.bands):
        name = SURFACES[band.surface]
        found.append(
            Movable(
                f"bands.{k}.start", "edge", _("Near edge of the {surface}").format(surface=name), band.start
            )
        )
        found.append(
            Movable(f"bands.{k}.end", "edge", _("Far edge of the {surface}").format(surface=name), band.end)
        )
    # Surveyed heights are as they are: the drawn profile does not count there.
    points = () if situation.survey.file else ground.profile
    found += [
        Movable(
            f"profile.{k}", "point", _("Ground point {number}").format(number=k + 1), point.at, point.height
        )
        for k, point in enumerate(points)
    ]
    for k, shape in enumerate(ground.shapes):
        start, end = (_(words).format(shape=_shape_name(shape)) for words in SHAPE_ENDS)
        found.append(Movable(f"shapes.{k}.start", "edge", start, shape.at))
        found.append(Movable(f"shapes.{k}.end", "point", end, shape.at + shape.length, _step(shape)))
    if has_lip(situation):
        lie = situation.lie
        found.append(Movable("lip", "top", _("Lip of the bunker"), lie.lip_distance, lie.lip_height))
    for k, obstacle in enumerate(ground.obstacles):
        top, foot = (_(EDGES[edge]).format(number=k + 1) for edge in ("high", "low"))
        found.append(Movable(f"obstacles.{k}.high", "top", top, obstacle.at, obstacle.high))
        found.append(Movable(f"obstacles.{k}.low", "foot", foot, obstacle.at, obstacle.low))
    return tuple(sorted(found, key=lambda movable: movable.at))


def moved(situation: Situation, code: str, at: float, height: float | None = None) -> Change:
    """The edit that puts ``code`` at ``at`` m and, if it has one, to ``height`` in m; held to its range."""
    match code.split("."):
        case ["hole"]:
            return Change("hole.distance", _held("hole.distance", at), _("Distance to the hole"))
        case ["green", "front"]:
            return Change("green.front", _held("green.front", at), _("Distance to the green"))
        case ["green", "back"]:
            depth = _held("green.depth", at - situation.green.front)
            return Change("green.depth", depth, _("Depth of the green"))
        case ["bands", number, end]:
            bands = list(situation.ground.bands)
            bands[int(number)] = edited_band(bands[int(number)], end, at)
            return Change(
                "ground.bands",
                tuple(bands),
                _("Edge of the {surface}").format(surface=SURFACES[bands[int(number)].surface]),
            )
        case ["profile", number]:
            return _moved_point(situation, int(number), at, height)
        case ["obstacles", number, edge]:
            return _moved_obstacle(situation, int(number), edge, at, height)
        case ["shapes", number, end]:
            return _moved_shape(situation, int(number), end, at, height)
        case ["lip"]:
            lie = situation.lie
            height = lie.lip_height if height is None else max(height, LOWEST_LIP)
            there = replace(
                lie,
                lip_distance=_held("lie.lip_distance", at),
                lip_height=_held("lie.lip_height", height),
            )
            return Change("lie", there, _("Lip of the bunker"))
    raise ValueError(f"nothing is called {code!r}")


def _moved_obstacle(situation: Situation, number: int, edge: str, at: float, height: float | None) -> Change:
    obstacles = list(situation.ground.obstacles)
    there = edited_obstacle(obstacles[number], "at", _held("ground.obstacles[].at", at))
    if height is not None:
        held = _held(f"ground.obstacles[].{edge}", height)
        least, most = ON_THE_GROUND + LEAST_HEIGHT, _held("ground.obstacles[].high", inf) - LEAST_HEIGHT
        there = edited_obstacle(there, edge, max(held, least) if edge == "high" else min(held, most))
    obstacles[number] = there
    return Change("ground.obstacles", tuple(obstacles), _("Obstacle {number}").format(number=number + 1))


def _moved_shape(situation: Situation, number: int, end: str, at: float, height: float | None) -> Change:
    """A shape goes by its start; by its end it becomes longer and, to ``height`` m over its start, higher."""
    shapes = list(situation.ground.shapes)
    shape = shapes[number]
    if end == "start":
        there = replace(shape, at=_held("ground.shapes[].at", at))
    else:
        step = _step(shape) if height is None else height
        there = replace(
            shape,
            length=_held("ground.shapes[].length", at - shape.at),
            height=_held("ground.shapes[].height", -step if shape.kind == "run_off" else step),
        )
    shapes[number] = there
    name = _shape_name(shape)
    return Change("ground.shapes", tuple(shapes), name[:1].upper() + name[1:])


def _step(shape: Shape) -> float:
    """How much higher the ground is behind ``shape`` than before it, in m."""
    return -shape.height if shape.kind == "run_off" else shape.height


def _shape_name(shape: Shape) -> str:
    return choice_labels("ground.shapes[].kind", (shape.kind,))[shape.kind].lower()


def _moved_point(situation: Situation, number: int, at: float, height: float | None) -> Change:
    points = list(situation.ground.profile)
    least = points[number - 1].at + GAP if number > 0 else -np.inf
    most = points[number + 1].at - GAP if number + 1 < len(points) else np.inf
    points[number] = ProfilePoint(
        at=_held("ground.profile[].at", min(max(at, least), most)),
        height=_held("ground.profile[].height", points[number].height if height is None else height),
    )
    return Change("ground.profile", tuple(points), _("Ground point {number}").format(number=number + 1))


def point_added(situation: Situation, at: float) -> Change | None:
    """The edit that adds a point at ``at`` m without changing the ground; None where there is no room."""
    points = situation.ground.profile
    if situation.survey.file or len(points) >= MOST_POINTS or any(abs(p.at - at) < GAP for p in points):
        return None
    known = [(p.at, p.height) for p in points] or [(0.0, 0.0)]
    height = float(np.interp(at, [x for x, _z in known], [z for _x, z in known]))
    added = [ProfilePoint(at=_held("ground.profile[].at", at), height=height)]
    if not points and abs(at) >= GAP:
        # A single point would be the height of everything: the ball's own place keeps its height.
        added.append(ProfilePoint(at=0.0, height=0.0))
    return Change(
        "ground.profile", tuple(sorted([*points, *added], key=lambda p: p.at)), _("Add a ground point")
    )


def point_removed(situation: Situation, code: str) -> Change | None:
    """The edit that takes the profile's point ``code`` away; None for anything else."""
    if not code.startswith("profile."):
        return None
    points = list(situation.ground.profile)
    del points[int(code.removeprefix("profile."))]
    return Change("ground.profile", tuple(points), _("Remove a ground point"))


_RANGES = {leaf.path: (leaf.low, leaf.high) for leaf in leaves(Situation)}
_RANGES |= {
    f"ground.{name}[].{leaf.path}": (leaf.low, leaf.high)
    for name, entry in (("profile", ProfilePoint), ("shapes", Shape), ("obstacles", Obstacle))
    for leaf in leaves(entry)
}


def _held(path: str, value: float) -> float:
    low, high = _RANGES[path]
    return min(max(value, low if low is not None else value), high if high is not None else value)
