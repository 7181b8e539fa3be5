"""The reference set: twelve weighted greens on which the published strokes to hole out are compared.

The greens are invented by the project, typical of tour set-ups; every comparison uses them, the same bag and
no wind. Distance is from ball to hole on the line through the flag.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import numpy as np

from shortgame_gui.advice.advise import advise
from shortgame_gui.model.club import Bag
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import Band, Green, Ground, Hole
from shortgame_gui.model.lie import Lie
from shortgame_gui.model.player import Player
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import packaged_bag
from shortgame_gui.units import FOOT

FIRMNESS = {"soft": 60.0, "medium": 85.0, "firm": 110.0}
LOFTS = (60, 56, 50, 46, 42, 38, 34, 30)
LIES = {
    "fairway": Lie(ground="fairway", sits="clean"),
    "rough": Lie(ground="rough", sits="half_down", rough_depth=0.06),
    "sand": Lie(ground="sand", sits="clean"),
}


def greens() -> list[dict[str, str]]:
    """The rows of the reference set."""
    text = (Path(__file__).parent / "data" / "reference_greens.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def bag() -> Bag:
    """The putter and the clubs of 60, 56, 50, 46 degrees and 42 to 30 in steps of 4."""
    clubs = packaged_bag().clubs
    return Bag(clubs=tuple(c for c in clubs if c.kind == "putter" or round(np.degrees(c.loft)) in LOFTS))


def _beyond(text: str) -> str:
    found = re.search(r"then (\w+)", text)
    return found[1] if found else "rough"


def situation(row: dict[str, str], distance: float, lie: str, level: str = "tour") -> Situation:
    """The situation of ``row`` with the ball ``distance`` m from the hole in ``lie``.

    Where the green would reach back to the ball, it begins half a metre in front of it.
    """
    front = max(distance - float(row["flag_from_front_m"]), 0.5)
    back = distance - float(row["flag_from_front_m"]) + float(row["depth_m"])
    half, side = float(row["half_width_m"]), float(row["flag_side_m"])
    # The flag stands `side` to the right of the green's middle line (left where negative).
    left, right = half + side, half - side
    bands: list[Band] = []
    for key, text in (("front", row["front"]), ("behind", row["behind"]), ("sides", row["sides"])):
        sand = re.search(r"sand (\d+) m to (\d+) m (?:short of the front|behind|(right|left))", text)
        if sand is None:
            continue
        near, far = float(sand[1]), float(sand[2])
        if key == "front" and front - near > 0.5:
            bands.append(
                Band(surface="sand", start=max(front - far, 0.4), end=front - near, left=12, right=12)
            )
        elif key == "behind":
            bands.append(Band(surface="sand", start=back + near, end=back + far, left=12, right=12))
        elif key == "sides" and sand[3] == "right":
            bands.append(Band(surface="sand", start=front, end=back, left=-right - near, right=right + far))
        elif key == "sides":
            bands.append(Band(surface="sand", start=front, end=back, left=left + far, right=-left - near))
    return Situation(
        name=f"reference green {row['green']}",
        lie=LIES[lie],
        ground=Ground(
            approach=_beyond(row["front"]), beside=_beyond(row["sides"]), behind=_beyond(row["behind"]),
            fringe=1.0, bands=tuple(bands),
        ),
        green=Green(
            front=front, depth=back - front, left=left, right=right, speed=float(row["stimp_ft"]) * FOOT,
            firmness=FIRMNESS[row["firmness"]], slope_along=float(row["slope_back_to_front_pct"]) / 100.0,
            slope_across=float(row["cross_slope_pct"]) / 100.0,
        ),
        hole=Hole(distance=distance),
        player=Player(level=level),
    )  # fmt: skip


def strokes(table: Coefficients, distance: float, lie: str, level: str = "tour", **options: Any) -> float:
    """Weighted mean of the best shot's expected strokes from ``distance`` m over the set.

    Each green has draws of its own, so that their chance averages out.
    """
    clubs, total, weight = bag(), 0.0, 0.0
    for number, row in enumerate(greens(), start=1):
        w = float(row["weight"])
        here = situation(row, distance, lie, level)
        best = advise(here, clubs, table, seed=number, **options).shots[0]
        total, weight = total + w * best.expected_strokes, weight + w
    return total / weight
