"""Who swings: level, hand, length, ball, the techniques owned and what counts today."""

from __future__ import annotations

from typing import Annotated, Literal

from shortgame_gui.model.base import Checked, FieldError, labelled, quantity

Level = Literal["tour", "scratch", "10", "20", "30", "junior"]
Hand = Literal["right", "left"]
LEVELS: tuple[Level, ...] = ("tour", "scratch", "10", "20", "30", "junior")
Owned = Literal["yes", "learning", "no"]


class Repertoire(Checked, frozen=True, kw_only=True):
    """Which techniques the player owns; one field a technique of the coefficient table."""

    putt: Annotated[Owned, labelled("Putt", "Putter from off the green.")] = "yes"
    chip: Annotated[Owned, labelled("Chip", "Short stroke, hands a little ahead.")] = "yes"
    bump_and_run: Annotated[Owned, labelled("Bump and run", "Low, landing short and running.")] = "yes"
    pitch: Annotated[Owned, labelled("Pitch", "Longer swing with the club's own loft.")] = "yes"
    low_check: Annotated[Owned, labelled("Low checking chip", "Low with spin, checks on the bounce.")] = "yes"
    high_soft: Annotated[Owned, labelled("High soft shot", "Face a little open, loft kept.")] = "yes"
    lob: Annotated[Owned, labelled("Lob", "Face wide open, long swing, straight up.")] = "yes"
    upright: Annotated[Owned, labelled("Upright chip", "Heel raised, shaft upright: dead and soft.")] = "yes"
    splash: Annotated[Owned, labelled("Splash", "From sand: open face, a thick cut of sand.")] = "yes"
    thin_splash: Annotated[Owned, labelled("Thin splash", "From sand: a thin cut that spins.")] = "yes"
    dig: Annotated[Owned, labelled("Dig out", "From sand: square face, steep, for bad lies.")] = "yes"
    explode: Annotated[Owned, labelled("Grass explosion", "From deep grass: in behind the ball.")] = "yes"
    partial: Annotated[Owned, labelled("Approach", "Distance by length of swing, up to a full one.")] = "yes"


TECHNIQUES: tuple[str, ...] = Repertoire.__struct_fields__
THROUGH = ("splash", "thin_splash", "dig", "explode")
"""Techniques in which the club enters behind the ball, through sand or grass."""


class Player(Checked, frozen=True, kw_only=True):
    """The player whose spreads are used."""

    level: Annotated[Level, labelled("Level", "Tour, scratch, handicap 10, 20 or 30, or junior.")] = "10"
    hand: Annotated[Hand, labelled("Hand", "Plays right- or left-handed.")] = "right"
    wedge_carry: Annotated[
        float,
        quantity(
            "length", 0.0, 130.0, "Full wedge carry",
            "Carry of a full swing with the 56-degree wedge; 0 for what the level usually carries.", step=1.0,
        ),
    ] = 0.0  # fmt: skip
    ball_cover: Annotated[
        Literal["soft", "hard"], labelled("Ball cover", "A soft cover grips the face more than a hard one.")
    ] = "soft"
    turf_habit: Annotated[
        Literal["steep", "neutral", "shallow"],
        labelled("Meets the turf", "How the player usually comes into the turf."),
    ] = "neutral"
    counts: Annotated[
        Literal["average", "down_in_two", "no_disaster"],
        labelled(
            "What counts today", "Lowest average, down in two most often, or four and more least often."
        ),
    ] = "average"
    techniques: Annotated[Repertoire, labelled("Techniques", "Which ways of playing the player owns.")] = (
        Repertoire()
    )

    def check(self) -> None:
        if 0.0 < self.wedge_carry < 20.0:
            raise FieldError("wedge_carry", "must be 0 or at least 20 (m)")
