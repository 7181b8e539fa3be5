"""One situation: everything that is settled before the shot is chosen."""

from __future__ import annotations

from typing import Annotated

from shortgame_gui.model.base import Checked, FieldError, canonical, labelled
from shortgame_gui.model.fields import LINES, ONE_LINE, VERSION_META
from shortgame_gui.model.ground import Air, Green, Ground, Hole, NotSure, Surroundings
from shortgame_gui.model.lie import Lie, Stance
from shortgame_gui.model.player import Player
from shortgame_gui.model.survey import Survey


class Situation(Checked, frozen=True, kw_only=True):
    """Ball at the origin, x towards the hole, y to the left, z up."""

    version: Annotated[int, VERSION_META] = 1
    name: Annotated[str, labelled("Name", "What the situation is called.", most=80, pattern=ONE_LINE)] = (
        "Untitled"
    )
    note: Annotated[
        str,
        labelled(
            "Note", "Anything worth remembering; the advice does not read it.", most=2000, pattern=LINES
        ),
    ] = ""
    lie: Lie = Lie()
    stance: Stance = Stance()
    ground: Ground = Ground()
    survey: Survey = Survey()
    green: Green = Green()
    hole: Hole = Hole()
    air: Air = Air()
    not_sure: NotSure = NotSure()
    player: Player = Player()
    surroundings: Surroundings = Surroundings()

    def check(self) -> None:
        # The far edge is a sum; it is rounded as the distance is, so that a hole on the very edge counts.
        if not self.green.front <= self.hole.distance <= canonical(self.green.front + self.green.depth):
            raise FieldError("hole.distance", "must lie on the green (between its near and far edge)")
        if self.survey.file and abs(self.survey.distance - self.hole.distance) > 0.01:
            raise FieldError(
                "hole.distance",
                f"must be {self.survey.distance:.2f} m, which is how far apart `survey` puts ball and hole",
            )
