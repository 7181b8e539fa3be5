"""Situation and bag files: read with one plain line for whatever is wrong, written so that they round-trip.

A number in a file is SI, or a text with a unit such as "30 yd". Files are written with every field, those at
their default too, so that a file keeps its meaning when a later program chooses other defaults.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Callable, Mapping
from functools import cache, partial
from pathlib import Path
from typing import Any, TypeVar

import msgspec
from msgspec.structs import replace

from shortgame_gui import assets
from shortgame_gui.model.base import Checked, FieldError, canonical
from shortgame_gui.model.club import Bag
from shortgame_gui.model.fields import VERSION, Field, fields_of
from shortgame_gui.model.situation import Situation
from shortgame_gui.model.survey import HeightGrid, Survey
from shortgame_gui.store import height_grid
from shortgame_gui.store.files import write_whole
from shortgame_gui.store.strict_json import LARGEST, DocumentError, join, parse, shown
from shortgame_gui.units import convert, units_of
from shortgame_gui.units import parse as parse_number

__all__ = [
    "DocumentError",
    "holds_bag",
    "packaged_bag",
    "plain",
    "plain_value",
    "read_bag",
    "read_demo",
    "read_situation",
    "to_text",
    "write_bag",
    "write_situation",
]

Tree = dict[str, Any]
Steps = Mapping[int, Callable[[Tree], Tree]]
Document = TypeVar("Document", bound=Checked)

UPGRADES: dict[type[Checked], Steps] = {Situation: {}, Bag: {}}
"""For each kind of document: version -> what turns a tree of that version into one of the next."""

DECIMALS = 4
"""Most decimals of a number with a unit; where that is not exact the SI number is written."""


def read_situation(source: str | Path | bytes, beside: Callable[[str], bytes] | None = None) -> Situation:
    """The situation in the file ``source`` (a path, or the file's bytes), with the height grid it names.

    ``beside`` gives the bytes of the file that the situation calls by a name, or raises OSError; for a path
    it is the folder's own reader. Where the file does not state the distance to the hole it is that of the
    survey. Raises DocumentError.
    """
    tree = _tree(source, Situation)
    survey = tree.get("survey")
    if isinstance(survey, dict) and survey.get("file") and "distance" not in _below(tree, "hole"):
        distance = build(Survey, survey, "survey").distance
        tree = {**tree, "hole": {**_below(tree, "hole"), "distance": distance}}
    situation = build(Situation, tree, "")
    if not situation.survey.file:
        return situation
    if beside is None:
        beside = _no_folder if isinstance(source, bytes) else partial(_beside, Path(source))
    grid = _grid(situation.survey.file, beside)
    try:
        return replace(situation, survey=replace(situation.survey, grid=grid))
    except FieldError as error:
        raise DocumentError(f"{join('survey', error.field)}: {error.problem}") from None


def read_demo(name: str) -> Situation:
    """The situation that the demo file ``name`` holds; raises DocumentError."""
    return read_situation(assets.demo_text(name).encode(), partial(assets.demo_beside, name))


def read_bag(source: str | Path | bytes) -> Bag:
    """The bag in the file ``source`` (a path, or the file's bytes); raises DocumentError."""
    return build(Bag, _tree(source, Bag), "")


def holds_bag(path: str | Path) -> bool:
    """Whether the file ``path`` holds a bag, by the names of its fields; False where it cannot be read."""
    try:
        names = set(_tree(path, Bag))
    except DocumentError:
        return False
    return "clubs" in names and names <= {field.name for field in fields_of(Bag)}


@cache
def packaged_bag() -> Bag:
    """The bag of twelve clubs that is used until the player describes theirs."""
    return read_bag(assets.data("bag.json"))


def write_situation(path: str | Path, situation: Situation) -> None:
    """Writes ``situation`` to the file ``path``, whole or not at all, keeping the one before as ``path~``.

    A height grid that is not found from there is written beside it. Raises DocumentError when a file cannot
    be written; then it is as it was.
    """
    if situation.survey.grid is not None:
        situation = _with_grid(Path(path), situation, situation.survey.grid)
    _write(path, situation)


def write_bag(path: str | Path, bag: Bag) -> None:
    """Writes ``bag`` to the file ``path`` as `write_situation` does; raises DocumentError."""
    _write(path, bag)


def to_text(document: Checked) -> str:
    """``document`` as its file holds it: fields in the model's order, one a line."""
    return json.dumps(plain(document), indent=2, ensure_ascii=False) + "\n"


def plain(document: Checked) -> Tree:
    """``document`` as plain data for JSON, numbers with the units that files use."""
    return {
        field.name: plain_value(field, getattr(document, field.name)) for field in fields_of(type(document))
    }


def plain_value(field: Field, value: Any) -> Any:
    """``value`` of ``field`` as `plain` gives it."""
    if field.kind == "number":
        return _number_text(field, value)
    if field.kind == "struct":
        return plain(value)
    if field.kind == "list":
        return [plain(item) for item in value]
    return value


def _number_text(field: Field, value: float) -> str | float:
    """The shortest text in the field's ``file_unit`` that reads back as just ``value``, or the SI number."""
    if field.file_unit:
        there = convert(value, field.quantity, field.file_unit)
        for decimals in range(DECIMALS + 1):
            text = f"{round(there, decimals) + 0.0:.{decimals}f} {field.file_unit}"
            if canonical(parse_number(text, field.quantity)) == value:
                return text
    return int(value) if value.is_integer() else value


def _write(path: str | Path, document: Checked) -> None:
    _put(path, to_text(document))


def _put(path: str | Path, text: str) -> None:
    try:
        write_whole(Path(path), text.encode())
    except (OSError, ValueError) as error:
        raise DocumentError(f"the file cannot be written: {_reason(error)}") from error


def _with_grid(path: Path, situation: Situation, grid: HeightGrid) -> Situation:
    """``situation`` with its height grid named as seen from the file ``path``, where it is put if missing."""
    name = situation.survey.file
    if not (path.parent / name).exists():
        name = name.rpartition("/")[2]
    there = path.parent / name
    if not there.exists():
        _put(there, height_grid.text_of(grid))
    elif _grid(name, partial(_beside, path)) != grid:
        raise DocumentError(f"{shown(name)} is there already and holds other heights; save elsewhere")
    return replace(situation, survey=replace(situation.survey, file=name))


def _grid(name: str, beside: Callable[[str], bytes]) -> HeightGrid:
    try:
        data = beside(name)
    except (OSError, ValueError) as error:
        raise DocumentError(f"survey.file: {shown(name)} cannot be read: {_reason(error)}") from error
    try:
        return height_grid.read(data)
    except DocumentError as error:
        raise DocumentError(f"survey.file: {shown(name)}: {error}") from error


def _beside(path: Path, name: str) -> bytes:
    with (path.parent / name).open("rb") as file:
        return file.read(height_grid.LARGEST + 1)


def _no_folder(name: str) -> bytes:
    raise FileNotFoundError("it is not known where the situation itself lies")


def _below(tree: Tree, name: str) -> Tree:
    inner = tree.get(name, {})
    return inner if isinstance(inner, dict) else {}


def _reason(error: Exception) -> str:
    # ValueError: a path with a NUL in it.
    return (error.strerror if isinstance(error, OSError) else None) or str(error)


def _tree(source: str | Path | bytes, cls: type[Checked]) -> Tree:
    """The plain data in the file ``source``, brought to the newest form."""
    if not isinstance(source, bytes):
        try:
            with Path(source).open("rb") as file:
                source = file.read(LARGEST + 1)
        except (OSError, ValueError) as error:
            raise DocumentError(f"the file cannot be read: {_reason(error)}") from error
    return upgraded(parse(source), UPGRADES[cls])


def upgraded(tree: Tree, steps: Steps, newest: int = VERSION) -> Tree:
    """``tree`` brought to the version ``newest`` by ``steps``, one at a time; without a version it is 1.

    Raises DocumentError for a version that is no whole number from 1 to ``newest``.
    """
    version = tree.get("version", 1)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise DocumentError("version: must be a whole number from 1")
    if version > newest:
        raise DocumentError(
            f"version: {version} comes from a newer program; this one reads up to version {newest}"
        )
    for step in range(version, newest):
        tree = {**steps[step](tree), "version": step + 1}
    return tree


def build(cls: type[Document], tree: Any, path: str) -> Document:
    """The struct ``cls`` that ``tree`` (plain data) describes; ``path`` stands before its fields in messages.

    Texts in number fields are read as numbers with a unit. Raises DocumentError.
    """
    if not isinstance(tree, dict):
        raise DocumentError(f"{path}: must be an object, from {{ to }}")
    fields = fields_of(cls)
    names = [field.name for field in fields]
    for key in tree:
        if key not in names:
            raise DocumentError(f"{join(path, shown(key))}: {_unknown(key, names)}")
    given = {}
    for field in fields:
        if field.name in tree:
            given[field.name] = _value(field, tree[field.name], join(path, field.name))
        elif field.default is msgspec.NODEFAULT:
            raise DocumentError(f"{join(path, field.name)}: is missing")
    try:
        return cls(**given)
    except FieldError as error:
        raise DocumentError(f"{join(path, error.field)}: {error.problem}") from None


def _unknown(key: str, names: list[str]) -> str:
    close = difflib.get_close_matches(key[:40], names, n=1)
    return f"is no field here; {f'is {close[0]} meant?' if close else 'there are ' + ', '.join(names)}"


def _value(field: Field, value: Any, path: str) -> Any:
    if field.kind == "struct":
        return build(_checked_type(field), value, path)
    if field.kind == "list" and isinstance(value, list):
        return tuple(build(_checked_type(field), item, f"{path}[{i}]") for i, item in enumerate(value))
    if field.kind == "number":
        if isinstance(value, str):
            try:
                return parse_number(value, field.quantity)
            except ValueError as error:
                raise DocumentError(f"{path}: {error}") from None
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            units = ", ".join(units_of(field.quantity))
            raise DocumentError(
                f"{path}: must be a number" + (f" or a text with a unit ({units})" if units else "")
            )
    return value


def _checked_type(field: Field) -> type[Checked]:
    if field.struct is None or not issubclass(field.struct, Checked):
        raise TypeError(f"field {field.name!r} of a document is not made of checked structs")
    return field.struct
