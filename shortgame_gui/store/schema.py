"""The published JSON Schemas of situations and bags; `python -m shortgame_gui.store.schema` rewrites them.

They are made from the model by msgspec and then told what the reader allows besides: texts with a unit for
numbers.
"""

from __future__ import annotations

import json
import re
import sys
from inspect import cleandoc
from pathlib import Path
from typing import Any

import msgspec

from shortgame_gui.model.base import Checked
from shortgame_gui.model.club import Bag
from shortgame_gui.model.fields import Field, fields_of
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import plain_value
from shortgame_gui.units import NUMBER, si_unit, units_of

FILES: dict[str, type[Checked]] = {"situation.schema.json": Situation, "bag.schema.json": Bag}
"""The published files, names in resources/, and what each describes."""


def schema_of(cls: type[Checked]) -> dict[str, Any]:
    """JSON Schema (2020-12, self-contained) of the files that hold a ``cls``.

    It cannot say rules between fields, such as a hole on the green, nor the range of a text with a unit.
    """
    (top,), components = msgspec.json.schema_components(
        [cls], schema_hook=lambda loaded: {"type": "object"}, ref_template="#/$defs/{name}"
    )
    for struct in _structs(cls):
        component = components[struct.__name__]
        if "description" in component:
            component["description"] = cleandoc(component["description"])  # msgspec does so from 0.23 on
        made = component["properties"]
        # What is loaded from elsewhere stands in no file.
        component["properties"] = {
            field.name: _property(field, made[field.name]) for field in fields_of(struct)
        }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{cls.__name__} file",
        **top,
        "$defs": components,
    }


def _structs(cls: type[msgspec.Struct]) -> set[type[msgspec.Struct]]:
    found = {cls}
    for field in fields_of(cls):
        if field.struct is not None:
            found |= _structs(field.struct)
    return found


def _property(field: Field, made: dict[str, Any]) -> dict[str, Any]:
    """The schema ``made`` by msgspec for ``field``, with texts for numbers and defaults as written."""
    made = dict(made)
    if field.choices:
        made["enum"] = list(field.choices)  # msgspec sorts them; the model's order means something
    if field.default is not msgspec.NODEFAULT:
        made["default"] = plain_value(field, field.default)
    if field.kind == "number":
        number = {key: made.pop(key) for key in ("type", "minimum", "maximum") if key in made}
        unit = si_unit(field.quantity)
        if unit:
            number["description"] = f"A plain number is in {unit}."
        made["anyOf"] = [number, {"type": "string", "pattern": pattern_of(field.quantity)}]
    return made


def pattern_of(quantity: str) -> str:
    """Regular expression of the texts that number fields of ``quantity`` take, such as ``30 yd``."""
    units = "|".join(re.escape(unit) for unit in units_of(quantity))
    return rf"^\s*{NUMBER}\s*" + (rf"(?:{units})?\s*$" if units else "$")


def text_of(cls: type[Checked]) -> str:
    """The published file of ``cls``."""
    return json.dumps(schema_of(cls), indent=2, ensure_ascii=False) + "\n"


def main() -> None:
    """Rewrites the schemas in a checkout's resources/."""
    folder = Path(__file__).resolve().parents[2] / "resources"
    if not folder.is_dir():
        sys.exit("run this in a checkout: there is no resources/ beside the package")
    for name, cls in FILES.items():
        (folder / name).write_text(text_of(cls), encoding="utf-8")
        print(f"wrote resources/{name}")


if __name__ == "__main__":
    main()
