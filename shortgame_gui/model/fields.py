"""What a struct's fields are, told once: checks, files, schema, panel and tests all read it from here."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin, get_type_hints

import msgspec

DIGITS = 9
"""Decimals kept of every SI number: a nanometre, far below anything that a golfer can state."""

Kind = Literal["number", "whole", "flag", "text", "choice", "struct", "list"]
_PLAIN: dict[Any, Kind] = {float: "number", int: "whole", bool: "flag", str: "text"}

ONE_LINE = r"^[^\x00-\x1f\x7f-\x9f\u2028\u2029]*$"
"""Pattern of a text without line ends and control characters."""
LINES = r"^[^\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]*$"
"""Pattern of a text without control characters other than tabs and line ends."""


LOADED = msgspec.Meta(extra={"loaded": True})
"""Marks a field that no file holds: what the store reads from another file that the document names."""


@dataclass(frozen=True)
class Field:
    """One field of a struct; ``default`` is `msgspec.NODEFAULT` where a value must be given."""

    name: str
    kind: Kind
    struct: type[msgspec.Struct] | None
    """The type of a struct field, or of the items of a list field."""
    choices: tuple[str, ...]
    meta: msgspec.Meta
    default: Any

    @property
    def quantity(self) -> str:
        """What a number measures, a key of `units.QUANTITIES`; empty for other fields."""
        return str((self.meta.extra or {}).get("quantity", ""))

    @property
    def file_unit(self) -> str:
        """The unit that saved files use for a number; empty where they use SI."""
        return str((self.meta.extra or {}).get("file_unit", ""))


def canonical(value: float) -> float:
    """The one form of a number: rounded to `DIGITS`, never -0.0."""
    return round(float(value), DIGITS) + 0.0


def quantity(
    kind: str,
    low: float,
    high: float,
    title: str,
    text: str,
    *,
    step: float | None = None,
    file_unit: str = "",
) -> Any:
    """Meta of a number field: what it measures, its range in SI, its label and what it means.

    ``kind`` is a key of `units.QUANTITIES`; ``step`` is a sensible step of a slider in SI; ``file_unit``
    is the unit that saved files use (SI where empty).
    """
    return msgspec.Meta(
        ge=_outward(low, -1),
        le=_outward(high, 1),
        title=title,
        description=text,
        extra={"quantity": kind, "step": step, "file_unit": file_unit},
        extra_json_schema={"x-quantity": kind},
    )


def _outward(bound: float, side: int) -> float:
    """``bound`` to `DIGITS` decimals, at or outside itself, so that it is in range both raw and rounded."""
    kept = canonical(bound)
    if math.isclose(kept, bound, rel_tol=1e-14) or (kept - bound) * side > 0.0:
        return kept
    return canonical(kept + side * 10.0**-DIGITS)


def labelled(
    title: str,
    text: str,
    *,
    filled: bool = False,
    most: int | None = None,
    pattern: str | None = None,
) -> Any:
    """Meta of a field that measures nothing: its label, what it means, and the length of a text or list.

    ``filled`` refuses an empty one, ``most`` is the greatest length, ``pattern`` is a regular expression
    for the whole of a text.
    """
    least = 1 if filled else None
    return msgspec.Meta(title=title, description=text, min_length=least, max_length=most, pattern=pattern)


VERSION = 1
"""The version of the form that situation and bag files have today; `store.documents` upgrades older ones."""
VERSION_META = msgspec.Meta(
    title="Version", description="Version of the file's form.", ge=VERSION, le=VERSION
)


@cache
def fields_of(cls: type[msgspec.Struct]) -> tuple[Field, ...]:
    """The fields of struct ``cls`` in their order, without those that are `LOADED`.

    Raises TypeError for a type that no file could hold.
    """
    hints = get_type_hints(cls, include_extras=True)
    found = msgspec.structs.fields(cls)
    return tuple(
        _field(f.name, hints[f.name], f.default) for f in found if LOADED not in _notes(hints[f.name])
    )


def _notes(hint: Any) -> tuple[Any, ...]:
    return get_args(hint)[1:] if get_origin(hint) is Annotated else ()


def _field(name: str, hint: Any, default: Any) -> Field:
    meta = msgspec.Meta()
    if get_origin(hint) is Annotated:
        hint, *notes = get_args(hint)
        meta = next((note for note in notes if isinstance(note, msgspec.Meta)), meta)
    if hint in _PLAIN:
        return Field(name, _PLAIN[hint], None, (), meta, default)
    if get_origin(hint) is Literal:
        return Field(name, "choice", None, get_args(hint), meta, default)
    if get_origin(hint) is tuple:
        item, _ = get_args(hint)
        return Field(name, "list", item, (), meta, default)
    if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
        return Field(name, "struct", hint, (), meta, default)
    raise TypeError(f"field {name!r} has a type that no file could hold: {hint}")
