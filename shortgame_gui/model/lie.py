"""How the ball lies, in its two parts, and how the golfer stands to it."""

from __future__ import annotations

from typing import Annotated, Literal

from shortgame_gui.model.base import Checked, labelled, quantity

LieGround = Literal[
    "tight", "fairway", "fringe", "first_cut", "rough", "bare", "divot", "sanded_divot", "sand"
]
Sits = Literal["up", "clean", "half_down", "down", "nested", "plugged", "furrow"]
Sand = Literal["fine", "firm", "wet", "thin"]


class Lie(Checked, frozen=True, kw_only=True):
    """What the ball lies on and how it sits there."""

    ground: Annotated[LieGround, labelled("Ball lies on", "The grass or ground under the ball.")] = "fairway"
    sits: Annotated[
        Sits,
        labelled(
            "Ball sits",
            "Up on the grass, clean, half down, down, nested at its bottom, or plugged in the hole it made; "
            "in sand also in a rake furrow.",
        ),
    ] = "clean"
    rough_depth: Annotated[
        float,
        quantity(
            "length", 0.02, 0.15, "Depth of rough", "Height of the rough that the ball lies in.",
            step=0.005, file_unit="cm",
        ),
    ] = 0.06  # fmt: skip
    grass: Annotated[
        Literal["fine", "wiry"],
        labelled(
            "Kind of grass", "Fine grass such as bent lets the club through; wiry such as bermuda grabs it."
        ),
    ] = "fine"
    grain: Annotated[
        Literal["none", "with", "against"],
        labelled("Grain at the ball", "Whether the grass grows with the line of play or against it."),
    ] = "none"
    collar: Annotated[bool, labelled("Against the collar", "Longer grass stands right behind the ball.")] = (
        False
    )
    sand: Annotated[
        Sand, labelled("Kind of sand", "Fine and loose, firm, wet, or a thin layer over hard ground.")
    ] = "fine"
    lip_distance: Annotated[
        float,
        quantity(
            "length", 0.5, 20.0, "Distance to the lip", "From the ball to the bunker's edge ahead.", step=0.25
        ),
    ] = 3.0
    lip_height: Annotated[
        float,
        quantity(
            "length", 0.0, 4.0, "Height of the lip", "How far the edge ahead stands above the ball.", step=0.1
        ),
    ] = 0.0
    wet: Annotated[
        bool, labelled("Wet grass or face", "Water between ball and face takes friction, and so spin.")
    ] = False
    firmness: Annotated[
        float,
        quantity(
            "firmness", 40.0, 140.0, "Turf under the ball",
            "How firm the turf under the ball is (0.5 kg impact hammer, peak deceleration in g).", step=5.0,
        ),
    ] = 85.0  # fmt: skip


class Stance(Checked, frozen=True, kw_only=True):
    """The slope under the feet, as rise over run."""

    slope_along: Annotated[
        float,
        quantity(
            "slope", -0.45, 0.45, "Slope along the line",
            "Slope under the feet along the line of play: positive uphill, negative downhill.", step=0.01,
            file_unit="deg",
        ),
    ] = 0.0  # fmt: skip
    slope_across: Annotated[
        float,
        quantity(
            "slope", -0.45, 0.45, "Ball above or below the feet",
            "Slope under the feet across the line: positive with the ball above the feet.", step=0.01,
            file_unit="deg",
        ),
    ] = 0.0  # fmt: skip
    backswing: Annotated[
        Literal["free", "short"],
        labelled(
            "Room for the backswing", "Short where a bank, a lip or a branch behind the ball is in the way."
        ),
    ] = "free"
