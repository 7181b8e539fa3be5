"""Loads the one table of coefficients into its typed form, and hands its rows to whoever shows them."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args, get_origin

import msgspec

from shortgame_gui import assets
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.model.ground import BandSurface
from shortgame_gui.model.lie import LieGround, Sits
from shortgame_gui.model.player import LEVELS, TECHNIQUES, THROUGH
from shortgame_gui.units import si

STANDINGS = ("published", "common practice", "estimate")
TABLE = "coefficients.csv"
COLUMNS = ["name", "value", "unit", "standing", "source"]

#: group of the table -> what the golfer can name, each of which needs its rows
NAMED: dict[str, tuple[str, ...]] = {
    "surface": get_args(BandSurface),
    "lie": get_args(LieGround),
    "sits": get_args(Sits),
    "level": LEVELS,
    "technique": TECHNIQUES,
}

#: leaves of the typed form that no row gives: the golfer states them, or there is none
STATED = frozenset(
    {
        "surface.green.deceleration",
        "lie.rough.grass",
        "lie.sand.firmness",
        "sand.grass.sunk",
    }
    | {f"lie.{name}.sunk" for name in get_args(LieGround) if not name.endswith("divot")}
    | {f"technique.{name}.entry" for name in TECHNIQUES if name not in THROUGH}
)


@dataclass(frozen=True)
class Row:
    """One coefficient as the table states it."""

    name: str
    value: float
    unit: str
    standing: str
    source: str


def parse_rows(text: str) -> list[Row]:
    """Rows of a table in CSV form; raises ValueError naming the row that lacks something or says it badly."""
    lines = csv.reader(io.StringIO(text))
    if next(lines, None) != COLUMNS:
        raise ValueError(f"the coefficient table must begin with the columns {', '.join(COLUMNS)}")
    return [_row(cells) for cells in lines]


def _row(cells: list[str]) -> Row:
    name = cells[0] if cells else "?"
    if len(cells) != len(COLUMNS) or not all(cell.strip() for cell in cells):
        raise ValueError(f"coefficient {name or '?'} must have {', '.join(COLUMNS)}")
    _, text, unit, standing, source = cells
    try:
        value = float(text)
        si(value, unit)
    except ValueError as error:
        raise ValueError(f"coefficient {name}: {error}") from None
    if not math.isfinite(value):
        raise ValueError(f"coefficient {name} must be a finite number")
    if standing not in STANDINGS:
        raise ValueError(
            f"coefficient {name} has the standing {standing!r}, not one of {', '.join(STANDINGS)}"
        )
    return Row(name, value, unit, standing, source)


def build(rows: list[Row]) -> Coefficients:
    """The typed struct of ``rows`` in SI; raises ValueError for a name too many, missing or given twice."""
    given: set[str] = set()
    tree: dict[str, Any] = {}
    for row in rows:
        if row.name in given:
            raise ValueError(f"coefficient {row.name} stands twice in the table")
        given.add(row.name)
        _plant(tree, row)
    wanted = set(_wanted(Coefficients, tree, "")) - STATED
    if missing := sorted(wanted - given):
        raise ValueError(f"coefficient {missing[0]} is missing from the table")
    if unread := sorted(given - wanted):
        raise ValueError(f"coefficient {unread[0]} is not one that the engine reads")
    try:
        return msgspec.convert(tree, Coefficients)
    except msgspec.ValidationError as error:
        raise ValueError(f"coefficient table: {error}") from error


def _wanted(kind: Any, tree: Any, path: str) -> Iterator[str]:
    """Dotted names of all numbers below ``path``, which holds a ``kind``; the rows give ``tree`` there."""
    held = tree if isinstance(tree, dict) else {}
    if kind is float:
        yield path
    elif get_origin(kind) is dict:
        for key in NAMED.get(path, tuple(held)):
            yield from _wanted(get_args(kind)[1], held.get(key), f"{path}.{key}")
    else:
        for name, inner in _types(kind):
            yield from _wanted(inner, held.get(name), f"{path}.{name}" if path else name)


@cache
def _types(kind: type[msgspec.Struct]) -> list[tuple[str, Any]]:
    """Names and types of the fields of ``kind``; kept, since finding them takes most of a reading."""
    return [(field.name, field.type) for field in msgspec.structs.fields(kind)]


def _plant(tree: dict[str, Any], row: Row) -> None:
    """Puts the value of ``row`` into ``tree`` at its dotted name."""
    *path, leaf = row.name.split(".")
    for part in path:
        tree = tree.setdefault(part, {})
        if not isinstance(tree, dict):
            raise ValueError(f"coefficient {row.name} lies below another coefficient")
    if isinstance(tree.get(leaf), dict):
        raise ValueError(f"coefficient {row.name} has others below it")
    tree[leaf] = si(row.value, row.unit)


@cache
def rows() -> tuple[Row, ...]:
    """All rows of the packaged table."""
    return tuple(parse_rows(assets.text(TABLE)))


@cache
def load() -> Coefficients:
    """The packaged table, typed and in SI."""
    return build(list(rows()))
