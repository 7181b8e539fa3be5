"""What a golfer can move in the ground itself: the hole, edges of green and bands, points of the profile.

Pure: a movable says where it stands, and `moved` which leaf of the situation takes which value.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from shortgame_gui.desktop.edits import edited_band
from shortgame_gui.model.ground import ProfilePoint
from shortgame_gui.model.leaves import leaves
from shortgame_gui.model.situation import Situation
from shortgame_gui.words.language import _
from shortgame_gui.words.text import SURFACES

Kind = Literal["hole", "edge", "point"]

GAP = 0.1
"""Distance in m that a dragged point keeps to its neighbours."""
MOST_POINTS = 24
"""Points of a profile, as `model.ground` allows."""


@dataclass(frozen=True)
class Movable:
    """One thing to move along the line, points also up and down; ``at`` its distance in m."""

    code: str
    kind: Kind
    name: str
    at: float


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
        Movable(f"profile.{k}", "point", _("Ground point {number}").format(number=k + 1), point.at)
        for k, point in enumerate(points)
    ]
    return tuple(sorted(found, key=lambda movable: movable.at))


def moved(situation: Situation, code: str, at: float, rise: float = 0.0) -> Change:
    """The edit that puts ``code`` at ``at`` m and, for a point, lifts it by ``rise`` m; held to its range."""
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
            return _moved_point(situation, int(number), at, rise)
    raise ValueError(f"nothing is called {code!r}")


def _moved_point(situation: Situation, number: int, at: float, rise: float) -> Change:
    points = list(situation.ground.profile)
    least = points[number - 1].at + GAP if number > 0 else -np.inf
    most = points[number + 1].at - GAP if number + 1 < len(points) else np.inf
    points[number] = ProfilePoint(
        at=_held("ground.profile[].at", min(max(at, least), most)),
        height=_held("ground.profile[].height", points[number].height + rise),
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
_RANGES |= {f"ground.profile[].{leaf.path}": (leaf.low, leaf.high) for leaf in leaves(ProfilePoint)}


def _held(path: str, value: float) -> float:
    low, high = _RANGES[path]
    return min(max(value, low if low is not None else value), high if high is not None else value)
