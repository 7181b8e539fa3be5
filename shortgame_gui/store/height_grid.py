"""Height grids as text: the open ESRI ASCII form, read with one plain line for whatever is wrong.

A few header lines (`ncols`, `nrows`, `xllcorner` or `xllcenter`, `yllcorner` or `yllcenter`, `cellsize`,
`nodata_value`), then the heights row by row, the northernmost first. The form is that of Esri's published
description and of the Library of Congress (fdd000421).
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from shortgame_gui.model.survey import FAR, HeightGrid
from shortgame_gui.store.strict_json import DocumentError, shown

LARGEST = 24_000_000
"""Bytes of the largest file that is read."""
FEWEST, MOST_CELLS = 4, 1_500_000
"""Least rows and columns, and most heights, of a grid."""
CLOSEST, WIDEST = 0.02, 10.0
"""Spacings in m that can describe a green."""
HIGHEST = 9000.0
"""No ground is higher above, or deeper below, the sea, in m."""
STEEPEST = 1.5
"""Usual slope from one height to the next beyond which units must be mistaken."""
NO_DATA = -9999.0
"""What stands where nothing was measured, unless the header says otherwise."""

_PLACES = {"xllcorner": 0.5, "xllcenter": 0.0, "yllcorner": 0.5, "yllcenter": 0.0}
"""Header key -> spacings from there to the first height: a corner lies half a cell before it."""
_OTHERS = ("ncols", "nrows", "cellsize", "nodata_value")


def read(data: bytes) -> HeightGrid:
    """The grid that ``data`` holds; raises DocumentError."""
    if len(data) > LARGEST:
        raise DocumentError(f"the height grid is larger than {LARGEST // 1_000_000} MB")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DocumentError(f"line {line}: byte {data[error.start]:#04x} is not text") from None
    lines = text.splitlines()
    header, first = _header(lines)
    columns, rows = _whole(header, "ncols"), _whole(header, "nrows")
    if columns * rows > MOST_CELLS:
        raise DocumentError(
            f"{columns} times {rows} heights are more than {MOST_CELLS}: cut the grid out first"
        )
    spacing = _number(header, "cellsize")
    if not CLOSEST <= spacing <= WIDEST:
        hint = "; is it in degrees? Heights and places must be in metres" if 0.0 < spacing < CLOSEST else ""
        raise DocumentError(f"cellsize: must be {CLOSEST:g} to {WIDEST:g} m, not {spacing:g}{hint}")
    x0, y0 = _place(header, "x", spacing), _place(header, "y", spacing)
    heights = _heights(lines, first, rows, columns)
    none = _number(header, "nodata_value") if "nodata_value" in header else NO_DATA
    # Heights of lower precision than the header's value still mean it.
    missing = np.isclose(heights, none, rtol=1e-6, atol=0.0) if none else heights == none
    heights[missing] = np.nan
    if missing.all():
        raise DocumentError("the grid holds no height at all")
    known = np.abs(heights[~missing])
    if not known.max() <= HIGHEST:
        raise DocumentError(f"a height of {known.max():g} m cannot be: are heights in metres?")
    for axis in (0, 1):
        steps = np.abs(np.diff(heights, axis=axis))
        usual = float(np.median(steps[~np.isnan(steps)])) / spacing if (~np.isnan(steps)).any() else 0.0
        if usual > STEEPEST:
            raise DocumentError(
                f"heights change by {usual:.1f} m in a metre: are heights and places in metres?"
            )
    return HeightGrid(x0, y0, spacing, heights[::-1])


def _header(lines: list[str]) -> tuple[dict[str, tuple[int, str]], int]:
    """Header key -> (line, value), and the index of the first line of heights."""
    found: dict[str, tuple[int, str]] = {}
    known = (*_PLACES, *_OTHERS)
    for number, line in enumerate(lines):
        words = line.split()
        if not words:
            continue
        if not words[0][0].isalpha() or words[0].lower() in ("nan", "inf"):
            return found, number
        key = words[0].lower()
        if key not in known:
            raise DocumentError(f"line {number + 1}: {shown(words[0])} is no header of a height grid")
        if key in found:
            raise DocumentError(f"line {number + 1}: {key} is given twice")
        if len(words) != 2:
            raise DocumentError(f"line {number + 1}: {key} needs one value after it")
        found[key] = number + 1, words[1]
    return found, len(lines)


def _number(header: dict[str, tuple[int, str]], key: str) -> float:
    if key not in header:
        raise DocumentError(f"{key}: is missing from the head of the height grid")
    line, text = header[key]
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise DocumentError(f"line {line}: {key} must be a number, not {shown(text)}")
    return value


def _whole(header: dict[str, tuple[int, str]], key: str) -> int:
    value = _number(header, key)
    if value != int(value) or value < FEWEST:
        raise DocumentError(f"line {header[key][0]}: {key} must be a whole number from {FEWEST}")
    return int(value)


def _place(header: dict[str, tuple[int, str]], axis: str, spacing: float) -> float:
    """Where the first height lies along ``axis``."""
    given = [key for key in (f"{axis}llcorner", f"{axis}llcenter") if key in header]
    if len(given) != 1:
        raise DocumentError(f"the head must hold one of {axis}llcorner and {axis}llcenter")
    value = _number(header, given[0])
    if abs(value) > FAR:
        raise DocumentError(f"line {header[given[0]][0]}: {given[0]} must lie within {FAR:g} m")
    return value + _PLACES[given[0]] * spacing


def _heights(
    lines: list[str], first: int, rows: int, columns: int
) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The heights as they stand, north first; rows of the grid may be broken anywhere."""
    wanted, values = rows * columns, np.empty(rows * columns)
    have = 0
    for number in range(first, len(lines)):
        words = lines[number].split()
        if have + len(words) > wanted:
            raise DocumentError(f"line {number + 1}: more than {columns} times {rows} heights")
        try:
            values[have : have + len(words)] = words
        except ValueError:
            raise DocumentError(f"line {number + 1}: {_at_fault(words)} is no height") from None
        have += len(words)
    if have < wanted:
        raise DocumentError(f"holds {have} heights, but {columns} times {rows} are {wanted}")
    if not np.isfinite(values).all():
        raise DocumentError("a height is not finite: the head's nodata_value marks what was not measured")
    return values.reshape(rows, columns)


def _at_fault(words: list[str]) -> str:
    for word in words:
        try:
            float(word)
        except ValueError:
            return shown(word)
    return shown(words[0])


@lru_cache(maxsize=1)
def text_of(grid: HeightGrid) -> str:
    """``grid`` as a file that reads back as itself."""
    rows, columns = grid.heights.shape
    head = (
        f"ncols {columns}\nnrows {rows}\nxllcenter {grid.x0!r}\nyllcenter {grid.y0!r}\n"
        f"cellsize {grid.spacing!r}\nnodata_value {NO_DATA:g}\n"
    )
    heights = np.where(np.isnan(grid.heights), NO_DATA, grid.heights)[::-1]
    return head + "".join(" ".join(f"{z!r}" for z in row) + "\n" for row in heights.tolist())
