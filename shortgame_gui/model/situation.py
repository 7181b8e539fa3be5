"""One situation: everything that is settled before the shot is chosen."""

from __future__ import annotations

from typing import Annotated

from shortgame_gui.model.base import Checked, labelled
from shortgame_gui.model.ground import Air, Green, Ground, Hole, Surroundings
from shortgame_gui.model.lie import Lie, Stance
from shortgame_gui.model.player import Player


class Situation(Checked, frozen=True, kw_only=True):
    """Ball at the origin, x towards the hole, y to the left, z up."""

    version: Annotated[int, labelled("Version", "Version of the file's form.")] = 1
    name: Annotated[str, labelled("Name", "What the situation is called.")] = "Untitled"
    note: Annotated[str, labelled("Note", "Anything worth remembering; the advice does not read it.")] = ""
    lie: Lie = Lie()
    stance: Stance = Stance()
    ground: Ground = Ground()
    green: Green = Green()
    hole: Hole = Hole()
    air: Air = Air()
    player: Player = Player()
    surroundings: Surroundings = Surroundings()

    def check(self) -> None:
        if self.version != 1:
            raise ValueError("`version` must be 1: the file comes from a newer program")
        if not self.green.front <= self.hole.distance <= self.green.front + self.green.depth:
            raise ValueError("`hole.distance` must lie on the green (between its near and far edge)")
        if len(self.name) > 80 or len(self.note) > 2000:
            raise ValueError("`name` may have 80 and `note` 2000 characters")
