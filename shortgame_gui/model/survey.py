"""A surveyed ground: heights on a regular grid, and how the situation lies on them."""

from __future__ import annotations

import math
from functools import cached_property
from hashlib import blake2b
from typing import TYPE_CHECKING, Annotated

from shortgame_gui.model.base import Checked, FieldError, labelled, quantity
from shortgame_gui.model.fields import LOADED, ONE_LINE

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

FAR = 1e7
"""Greatest coordinate in m: the world's metric grids stay below it."""


class HeightGrid:
    """Heights in m at the crossings of a regular grid, for good: equal where all heights and places are.

    ``heights`` is (rows, columns), rows from south to north, NaN where nothing was measured; ``x0`` and
    ``y0`` are the place in m of its first entry, ``spacing`` the distance in m from one to the next. Raises
    ValueError for a grid of less than two rows or columns.
    """

    def __init__(self, x0: float, y0: float, spacing: float, heights: npt.NDArray[np.float64]) -> None:
        if heights.ndim != 2 or min(heights.shape) < 2:
            raise ValueError("a height grid needs two rows and two columns at least")
        self.x0, self.y0, self.spacing = float(x0), float(y0), float(spacing)
        self.heights = heights.astype(float, order="C", copy=True)
        self.heights.flags.writeable = False

    @property
    def reach(self) -> tuple[float, float, float, float]:
        """Least and greatest x, then y, in m."""
        rows, columns = self.heights.shape
        return (
            self.x0,
            self.x0 + (columns - 1) * self.spacing,
            self.y0,
            self.y0 + (rows - 1) * self.spacing,
        )

    def knows(self, x: float, y: float) -> bool:
        """Whether all heights round (``x``, ``y``) in m were measured; not where the grid does not reach."""
        west, east, south, north = self.reach
        if not (west <= x <= east and south <= y <= north):
            return False
        rows, columns = self.heights.shape
        row = min(int((y - south) / self.spacing), rows - 2)
        column = min(int((x - west) / self.spacing), columns - 2)
        near = self.heights[row : row + 2, column : column + 2].ravel().tolist()
        return not any(math.isnan(z) for z in near)

    @cached_property
    def _content(self) -> tuple[float, float, float, tuple[int, ...], bytes]:
        digest = blake2b(self.heights.tobytes(), digest_size=16).digest()
        return self.x0, self.y0, self.spacing, self.heights.shape, digest

    def __eq__(self, other: object) -> bool:
        return isinstance(other, HeightGrid) and self._content == other._content

    def __hash__(self) -> int:
        return hash(self._content)


class Survey(Checked, frozen=True, kw_only=True):
    """A height grid, and where on it ball and hole lie; without a file the ground is as drawn."""

    file: Annotated[
        str,
        labelled(
            "Height grid",
            "Name of an ESRI ASCII grid of heights in metres, as seen from the situation's file; "
            "empty where the ground is drawn. Profile, shapes and slopes are laid on top of it.",
            most=200,
            pattern=ONE_LINE,
        ),
    ] = ""
    ball_x: Annotated[
        float, quantity("length", -FAR, FAR, "Ball, east", "Where the ball lies in the grid's x.", step=0.5)
    ] = 0.0
    ball_y: Annotated[
        float, quantity("length", -FAR, FAR, "Ball, north", "Where the ball lies in the grid's y.", step=0.5)
    ] = 0.0
    hole_x: Annotated[
        float, quantity("length", -FAR, FAR, "Hole, east", "Where the hole lies in the grid's x.", step=0.5)
    ] = 0.0
    hole_y: Annotated[
        float, quantity("length", -FAR, FAR, "Hole, north", "Where the hole lies in the grid's y.", step=0.5)
    ] = 0.0
    grid: Annotated[HeightGrid | None, LOADED] = None
    """The heights, put in by the store when it reads the file."""

    @property
    def distance(self) -> float:
        """From ball to hole in m."""
        return math.hypot(self.hole_x - self.ball_x, self.hole_y - self.ball_y)

    def check(self) -> None:
        if self.grid is not None and not isinstance(self.grid, HeightGrid):
            raise FieldError("grid", "must be a HeightGrid")
        if not self.file:
            if self.grid is not None:
                raise FieldError("file", "must name the file that the heights come from")
            return
        if self.file.startswith("/") or "\\" in self.file or ":" in self.file:
            raise FieldError(
                "file", "must be a name as seen from the situation's file, with forward slashes and no drive"
            )
        if self.distance < 1.0:
            raise FieldError("hole_x", "must leave 1 m at least between ball and hole")
        for name, x, y in (("ball", self.ball_x, self.ball_y), ("hole", self.hole_x, self.hole_y)):
            if self.grid is not None and not self.grid.knows(x, y):
                west, east, south, north = self.grid.reach
                raise FieldError(
                    f"{name}_x",
                    f"puts the {name} at ({x:g}, {y:g}), where the height grid, from {west:g} to {east:g} "
                    f"and from {south:g} to {north:g}, holds no height",
                )
