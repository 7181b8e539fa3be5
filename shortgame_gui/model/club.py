"""Clubs and the bag."""

from __future__ import annotations

from typing import Annotated, Literal

from shortgame_gui.model.base import Checked, labelled, quantity
from shortgame_gui.units import DEGREE

ClubKind = Literal["putter", "wedge", "iron", "hybrid"]


class Club(Checked, frozen=True, kw_only=True):
    """One club: what the strike needs to know of it."""

    name: Annotated[str, labelled("Name", "What the player calls it.")]
    kind: Annotated[ClubKind, labelled("Kind", "Putter, wedge, iron or hybrid.")]
    loft: Annotated[
        float,
        quantity(
            "angle", 1.0 * DEGREE, 70.0 * DEGREE, "Loft", "Loft of the face.", step=DEGREE, file_unit="deg"
        ),
    ]
    bounce: Annotated[
        float,
        quantity(
            "angle", -5.0 * DEGREE, 20.0 * DEGREE, "Sole bounce",
            "Angle of the sole to the ground with the shaft upright.", step=DEGREE, file_unit="deg",
        ),
    ] = 8.0 * DEGREE  # fmt: skip
    sole_width: Annotated[
        float,
        quantity("length", 0.010, 0.035, "Sole width", "Width of the sole.", step=0.001, file_unit="mm"),
    ] = 0.020
    lie_angle: Annotated[
        float,
        quantity(
            "angle", 55.0 * DEGREE, 75.0 * DEGREE, "Lie angle", "Angle of the shaft to the ground.",
            step=0.5 * DEGREE, file_unit="deg",
        ),
    ] = 64.0 * DEGREE  # fmt: skip
    length: Annotated[
        float, quantity("length", 0.80, 1.10, "Length", "Length of the club.", step=0.005, file_unit="in")
    ] = 0.8954
    groove_shots: Annotated[
        float,
        quantity(
            "share", 0.0, 20000.0, "Shots on the grooves",
            "Shots played with this face; a shot from sand wears like several.", step=100.0,
        ),
    ] = 0.0  # fmt: skip

    def check(self) -> None:
        if not 1 <= len(self.name) <= 40:
            raise ValueError("`name` must have 1 to 40 characters")


class Bag(Checked, frozen=True, kw_only=True):
    """The clubs that the player carries, in any order."""

    version: Annotated[int, labelled("Version", "Version of the file's form.")] = 1
    name: Annotated[str, labelled("Name", "What the bag is called.")] = "bag"
    clubs: Annotated[tuple[Club, ...], labelled("Clubs", "The clubs in the bag.")] = ()

    def check(self) -> None:
        if not 1 <= len(self.clubs) <= 20:
            raise ValueError("`clubs` must hold 1 to 20 clubs")
        names = [club.name.casefold() for club in self.clubs]
        if len(set(names)) != len(names):
            raise ValueError("`clubs` must have different names")
        if self.version != 1:
            raise ValueError("`version` must be 1: the file comes from a newer program")

    def find(self, name: str) -> Club:
        """The club called ``name`` (letter case apart); raises KeyError with the names there are."""
        for club in self.clubs:
            if club.name.casefold() == name.strip().casefold():
                return club
        raise KeyError(f"no club {name!r} in the bag: it holds {', '.join(c.name for c in self.clubs)}")
