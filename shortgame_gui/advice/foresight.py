"""What an edit asks of a shot before it is played anew: how much harder, aimed where, and how sure that is.

Only what can be reckoned in a line: the run gets shorter as the green slows the ball down, and turns as it
pulls it aside. It tells the quick picture where to look; what is drawn is played.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from math import log

from shortgame_gui.advice.scene import stimp
from shortgame_gui.model.base import Checked
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.situation import Situation

SHAPES = ("lie", "stance", "ground", "player")
"""Parts of a situation whose every field may change a shot by who knows how much."""
GREEN = ("speed", "slope_along", "slope_across", "firmness")
STRETCHED = ("front", "depth")
AIR = ("wind_along", "wind_across")
"""Fields whose change is foreseen; those of the green that give way where the hole moves are, then."""
ROUGHLY = 0.4
"""By how much the logarithm of the head speed may be off, over that of how much further the ball shall go."""
HEAD, HEAD_UNSURE = 0.012, 0.008
"""What 1 m/s of wind against a ball that flies asks of it, and what that may be off (both found by trial)."""
FIRM, FIRM_UNSURE = 0.0018, 0.0015
"""The same for 1 g of firmness less."""
DRIFT = 0.0145
"""Angle in rad by which 1 m/s of wind across turns the way of a ball that does not run (the same)."""


@dataclass(frozen=True)
class Foresight:
    """What one shot is likely to need."""

    harder: float
    """Logarithm of the head speed over what it was."""
    unsure: float
    """By how much that may be off."""
    turn: float
    """By how much in rad it has to be aimed further left."""


@dataclass(frozen=True)
class Change:
    """What has changed between two situations."""

    front: float
    """Where the green begins in m."""
    held: float
    """How much faster a ball on the green loses speed, over how fast it did."""
    pulled: float
    """How much further left it is to be aimed in rad, were it to roll over the green all its way."""
    wind: float
    """m/s along, and across to the right."""
    cross: float
    firm: float
    """g"""

    @classmethod
    def of(cls, before: Situation, now: Situation, rise: float, table: Coefficients) -> Change | None:
        """What is another ``now``, where the green rises by ``rise`` (`scene.rise`); None: who knows what."""
        moved = before.hole.distance != now.hole.distance
        same = all(getattr(before, name) == getattr(now, name) for name in SHAPES)
        same = same and _same(before.green, now.green, GREEN + STRETCHED * moved)
        same = same and _same(before.air, now.air, AIR)
        # The hole moves along the line of play: the survey is seen from the same place.
        if not same or not (moved or before.survey is now.survey or before.survey == now.survey):
            return None
        old, new, pull = before.green, now.green, (5.0 / 7.0) * table.air.gravity
        was, here = (
            _hold(s, rise - new.slope_along + s.green.slope_along, pull, table) for s in (before, now)
        )
        return cls(
            new.front,
            here / was - 1.0,
            # Pulled aside by a and held by b, a ball that runs s ends a s / (2 b) aside of its line.
            0.5 * pull * (new.slope_across - old.slope_across) / here,
            now.air.wind_along - before.air.wind_along,
            now.air.wind_across - before.air.wind_across,
            new.firmness - old.firmness,
        )

    def asks(self, landing: float, way: float) -> Foresight:
        """What a shot needs that landed ``landing`` m along and went ``way`` m (above 0), to go as far."""
        run = min(max(1.0 - max(landing, self.front) / way, 0.0), 1.0)
        # What bounces on to the green is pulled aside from where it lands, a putt only where it rolls freely.
        aside = min(max(1.0 - landing / way, 0.0), 1.0) if landing > 0.0 else run
        further, wind = log(1.0 + run * self.held), self.wind if landing > 0.0 else 0.0
        return Foresight(
            0.5 * further - HEAD * wind - FIRM * self.firm,
            ROUGHLY * abs(further) + HEAD_UNSURE * abs(wind) + FIRM_UNSURE * abs(self.firm),
            aside * self.pulled + min(max(landing / way, 0.0), 1.0) * DRIFT * self.cross,
        )


def _hold(situation: Situation, rise: float, pull: float, table: Coefficients) -> float:
    """What a ball that runs up the green loses of its speed in m/s2."""
    brake = table.run.stimp_speed**2 / (2.0 * stimp(situation, table))
    return max(brake + pull * rise, table.run.hold_floor * brake)


def _same(before: Checked, now: Checked, but: Collection[str]) -> bool:
    """Whether all fields are the same but those in ``but``."""
    names = (name for name in before.__struct_fields__ if name not in but)
    return all(getattr(before, name) == getattr(now, name) for name in names)
