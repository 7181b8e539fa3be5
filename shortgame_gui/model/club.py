"""Clubs and the bag."""

from __future__ import annotations

from typing import Annotated, Literal

from shortgame_gui.model.base import Checked, FieldError, labelled, quantity
from shortgame_gui.model.fields import ONE_LINE, VERSION_META
from shortgame_gui.units import DEGREE


def _key(name: str) -> str:
    return name.strip().casefold()


UNNAMED = "bag"
"""What a bag is called whose file does not name it."""

ClubKind = Literal["putter", "wedge", "iron", "hybrid"]


class Club(Checked, frozen=True, kw_only=True):
    """One club: what the strike needs to know of it."""

    name: Annotated[
        str, labelled("Name", "What the player calls it.", filled=True, most=40, pattern=ONE_LINE)
    ]
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
            "count", 0.0, 20000.0, "Shots on the grooves",
            "Shots played with this face; a shot from sand wears like several.", step=100.0,
        ),
    ] = 0.0  # fmt: skip

    def check(self) -> None:
        if not self.name.strip():
            raise FieldError("name", "must not be blank")


class Bag(Checked, frozen=True, kw_only=True):
    """The clubs that the player carries, in any order."""

    version: Annotated[int, VERSION_META] = 1
    name: Annotated[str, labelled("Name", "What the bag is called.", most=80, pattern=ONE_LINE)] = UNNAMED
    clubs: Annotated[tuple[Club, ...], labelled("Clubs", "The clubs in the bag.", filled=True, most=20)]

    def check(self) -> None:
        seen: set[str] = set()
        for number, club in enumerate(self.clubs):
            if _key(club.name) in seen:
                raise FieldError(f"clubs[{number}].name", f"{club.name!r} is the name of another club")
            seen.add(_key(club.name))

    def find(self, name: str) -> Club:
        """The club called ``name``, letter case and outer blanks apart; raises KeyError with the names."""
        for club in self.clubs:
            if _key(club.name) == _key(name):
                return club
        raise KeyError(f"no club {name!r} in the bag: it holds {', '.join(c.name for c in self.clubs)}")
