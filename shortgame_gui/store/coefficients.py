"""Loads the one table of coefficients into its typed form, and hands its rows to whoever shows them."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import cache
from typing import Any

import msgspec

from shortgame_gui import assets
from shortgame_gui.model.coefficients import Coefficients
from shortgame_gui.units import DEGREE, si

STANDINGS = ("published", "common practice", "estimate")
TABLE = "coefficients.csv"


@dataclass(frozen=True)
class Row:
    """One coefficient as the table states it."""

    name: str
    value: float
    unit: str
    standing: str
    source: str


def parse_rows(text: str) -> list[Row]:
    """Rows of a table in CSV form; raises ValueError naming the row that lacks something."""
    rows = []
    for line in csv.DictReader(io.StringIO(text)):
        row = Row(line["name"], float(line["value"]), line["unit"], line["standing"], line["source"])
        if not (row.name and row.unit and row.source) or row.standing not in STANDINGS:
            raise ValueError(f"coefficient {row.name or '?'} lacks its unit, standing or source")
        rows.append(row)
    return rows


def build(rows: list[Row]) -> Coefficients:
    """The typed struct of ``rows`` in SI; raises ValueError for a name too many, missing or given twice."""
    tree: dict[str, Any] = {}
    for row in rows:
        *path, leaf = row.name.split(".")
        node = tree
        for part in path:
            node = node.setdefault(part, {})
        if leaf in node:
            raise ValueError(f"coefficient {row.name} stands twice in the table")
        node[leaf] = row.value * DEGREE if row.unit == "deg/m" else si(row.value, row.unit)
    try:
        table = msgspec.convert(tree, Coefficients)
    except msgspec.ValidationError as error:
        raise ValueError(f"coefficient table: {error}") from error
    known = set(names(msgspec.to_builtins(table)))
    extra = [row.name for row in rows if row.name not in known]
    if extra:
        raise ValueError(f"coefficient {extra[0]} is not one that the engine reads")
    return table


def names(tree: dict[str, Any], prefix: str = "") -> list[str]:
    """Dotted names of all leaves of ``tree``."""
    out: list[str] = []
    for key, value in tree.items():
        out += names(value, f"{prefix}{key}.") if isinstance(value, dict) else [f"{prefix}{key}"]
    return out


@cache
def rows() -> tuple[Row, ...]:
    """All rows of the packaged table."""
    return tuple(parse_rows(assets.text(TABLE)))


@cache
def load() -> Coefficients:
    """The packaged table, typed and in SI."""
    return build(list(rows()))
