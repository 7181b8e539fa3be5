"""Edits of the document as commands that can be undone: each holds the whole old and new value.

The structs are frozen, so a command keeps two references and nothing else. What a golfer moves may collide
with a rule between two fields (the hole lies on the green, bands have a length): the field that was moved
wins and the other one gives way, so that no slider ever sticks.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace
from PySide6.QtGui import QUndoCommand

from shortgame_gui.desktop.labels import ways_to_sit
from shortgame_gui.model.ground import Band, Green, Obstacle, ProfilePoint
from shortgame_gui.model.leaves import leaves, put_all
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import Survey

POINT_GAP = 0.05
"""Least distance between two points of the profile in m, as `model.ground` asks."""


def edited(situation: Situation, path: str, value: Any) -> Situation:
    """``situation`` with the leaf or list ``path`` set to ``value``, other fields giving way where they must.

    Raises FieldError when the value itself is not allowed.
    """
    green, hole = situation.green, situation.hole.distance
    if path == "player.wedge_carry":
        value = _carry(situation.player, value)
    elif path == "ground.profile":
        value = _in_order(value)
    values = {path: value}
    if path == "hole.distance":
        values |= _green_under(green, value)
    elif path == "green.front":
        values["hole.distance"] = min(max(hole, value), value + green.depth)
    elif path == "green.depth":
        values["hole.distance"] = min(hole, green.front + value)
    elif path == "lie.ground":
        values |= _sits_in(situation.lie.sits, value)
    if situation.survey.file and "hole.distance" in values:
        values |= _hole_in(situation.survey, values["hole.distance"])
    return put_all(situation, values)


def _hole_in(survey: Survey, distance: float) -> dict[str, float]:
    """Where the hole lies in the survey when it moves along the line to ``distance`` in m."""
    share = distance / survey.distance
    return {
        "survey.hole_x": survey.ball_x + share * (survey.hole_x - survey.ball_x),
        "survey.hole_y": survey.ball_y + share * (survey.hole_y - survey.ball_y),
    }


def _sits_in(sits: str, ground: str) -> dict[str, str]:
    """How the ball sits where it could not sit so in the new ground: half down in either."""
    return {} if sits in ways_to_sit(ground) else {"lie.sits": "half_down"}


def _green_under(green: Green, hole: float) -> dict[str, float]:
    """How the green moves or stretches so that a hole at ``hole`` lies on it."""
    if hole < green.front:
        return {"green.front": hole}
    if hole > green.front + green.depth:
        most = next(leaf.high or 0.0 for leaf in leaves(Green) if leaf.path == "depth")
        depth = min(hole - green.front, most)
        return {"green.depth": depth, "green.front": max(green.front, hole - depth)}
    return {}


def _carry(player: Player, value: float) -> float:
    """Nothing lies between 0 (what is usual for the level) and 20 m: step over the gap either way."""
    if 0.0 < value < 20.0:
        return 20.0 if player.wedge_carry == 0.0 else 0.0
    return value


def _in_order(points: Any) -> tuple[ProfilePoint, ...]:
    """Points sorted by distance, those too close to their neighbour pushed on."""
    kept: list[ProfilePoint] = []
    for point in sorted(points, key=lambda p: p.at):
        if kept and point.at - kept[-1].at < POINT_GAP:
            point = replace(point, at=round(kept[-1].at + POINT_GAP, 6))
        kept.append(point)
    return tuple(kept)


def edited_band(band: Band, name: str, value: Any) -> Band:
    """``band`` with one field set; its other end gives way so that it keeps a length and a width."""
    least = 0.1
    bounds = {leaf.path: (leaf.low, leaf.high) for leaf in leaves(Band) if leaf.kind == "number"}
    if name in bounds:
        low, high = bounds[name]
        # An end at the very edge would leave the other one no room.
        value = min(max(value, (low or 0.0) + least), (high or 0.0) - least)
    parts: dict[str, Any] = {name: value}
    if name == "start":
        parts["end"] = max(band.end, value + least)
    elif name == "end":
        parts["start"] = min(band.start, value - least)
    elif name == "left":
        parts["right"] = max(band.right, least - value)
    elif name == "right":
        parts["left"] = max(band.left, least - value)
    return replace(band, **parts)


def edited_obstacle(obstacle: Obstacle, name: str, value: Any) -> Obstacle:
    """``obstacle`` with one field set; its other edge gives way so that it keeps a height and a width."""
    parts: dict[str, Any] = {name: value}
    if name == "low" and value >= obstacle.high:
        parts["high"] = min(value + 0.5, 30.0)
    elif name == "high" and value <= obstacle.low:
        parts["low"] = max(value - 0.5, -20.0)
    elif name in ("left", "right"):
        other = "right" if name == "left" else "left"
        if value + getattr(obstacle, other) <= 0.0:
            parts[other] = 0.5 - value
    return replace(obstacle, **parts)


class Edit(QUndoCommand):
    """One change of the document, merged with the one before while the same gesture goes on."""

    ID = 1

    def __init__(
        self, apply: Callable[[Any], None], old: Any, new: Any, label: str, gesture: tuple[str, int] | None
    ) -> None:
        super().__init__(label)
        self._apply, self.old, self.new, self.gesture = apply, old, new, gesture

    def redo(self) -> None:
        self._apply(self.new)

    def undo(self) -> None:
        self._apply(self.old)

    def id(self) -> int:
        return self.ID if self.gesture is not None else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, Edit) or other.gesture != self.gesture:
            return False
        self.new = other.new
        self.setText(other.text())
        self.setObsolete(self.new == self.old)
        return True
