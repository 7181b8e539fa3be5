"""The base of every struct: types, ranges, finite numbers and one canonical form, checked however it is made.

msgspec checks types and ranges only while decoding; this base checks them on construction and replacement as
well, and rounds numbers so that two ways of writing the same situation compare and hash as equal.
"""

from __future__ import annotations

import math
import re
from numbers import Real
from typing import Any

import msgspec

from shortgame_gui.model.fields import DIGITS, ONE_LINE, Field, canonical, fields_of, labelled, quantity
from shortgame_gui.units import convert, si_unit

__all__ = ["DIGITS", "Checked", "FieldError", "canonical", "labelled", "quantity"]


class FieldError(ValueError):
    """A value that field ``field`` (a dotted path below the struct) cannot have; ``problem`` says why.

    ``str`` gives both in one line. ``passed`` is the field whose range the value leaves and the bound in SI,
    for those who tell it in other units; None where no range is the reason.
    """

    def __init__(self, field: str, problem: str, passed: tuple[Field, float] | None = None) -> None:
        super().__init__(f"`{field}` {problem}")
        self.field = field
        self.problem = problem
        self.passed = passed


class Checked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A frozen struct whose fields have their types, whose numbers are finite, in range and canonical.

    Whole numbers are taken for numbers and lists for tuples; truth values are no numbers. Raises FieldError
    (a ValueError) naming the field, however the struct is made: by its constructor, `msgspec.structs.replace`
    or decoding, where msgspec wraps it in its ValidationError.
    """

    def __post_init__(self) -> None:
        for field in fields_of(type(self)):
            given = getattr(self, field.name)
            kept = _checked(field, given)
            if kept is not given:
                msgspec.structs.force_setattr(self, field.name, kept)
        self.check()

    def check(self) -> None:
        """Rules between fields; raises FieldError. Nothing by default."""


def _checked(field: Field, value: Any) -> Any:
    """``value`` in the canonical form of ``field``; raises FieldError."""
    match field.kind:
        case "number":
            return _number(field, value)
        case "choice":
            if not isinstance(value, str) or value not in field.choices:
                raise FieldError(field.name, f"must be one of {', '.join(field.choices)}")
        case "flag":
            if not isinstance(value, bool):
                raise FieldError(field.name, "must be true or false")
        case "whole":
            if not isinstance(value, int) or isinstance(value, bool):
                raise FieldError(field.name, "must be a whole number")
            _range(field, value)
        case "text":
            return _text(field, value)
        case "struct":
            if type(value) is not field.struct:
                raise FieldError(field.name, f"must be a {field.struct.__name__}")  # type: ignore[union-attr]
        case "list":
            return _items(field, value)
    return value


def _number(field: Field, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, Real):
        raise FieldError(field.name, "must be a number")
    try:
        number = float(value)
    except OverflowError:  # a whole number too large for floating point
        number = math.inf
    if not math.isfinite(number):
        raise FieldError(field.name, "must be a finite number")
    number = canonical(number)
    _range(field, number)
    return number


def _range(field: Field, number: float) -> None:
    low, high = field.meta.ge, field.meta.le
    if low is not None and number < low:
        raise FieldError(field.name, f"must be at least {_limit(field, low)}", (field, low))
    if high is not None and number > high:
        raise FieldError(field.name, f"must be at most {_limit(field, high)}", (field, high))


def _limit(field: Field, bound: float) -> str:
    """A bound in SI, as plain numbers in files are, and in the unit that files are saved with."""
    unit = si_unit(field.quantity) if field.quantity else ""
    text = f"{bound:g} ({unit})" if unit else f"{bound:g}"
    if field.file_unit not in ("", unit):
        text += f", that is {convert(bound, field.quantity, field.file_unit):.4g} {field.file_unit}"
    return text


def _text(field: Field, value: Any) -> str:
    if not isinstance(value, str):
        raise FieldError(field.name, "must be text")
    _length(field, len(value), "characters")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise FieldError(field.name, "holds half of a surrogate pair, which is no character") from None
    if field.meta.pattern is not None and not re.fullmatch(field.meta.pattern, value):
        lines = "be one line and " if field.meta.pattern == ONE_LINE else ""
        raise FieldError(field.name, f"must {lines}hold no control characters")
    return value


def _items(field: Field, value: Any) -> tuple[Any, ...]:
    if not isinstance(value, (tuple, list)):
        raise FieldError(field.name, "must be a list")
    for number, item in enumerate(value):
        if type(item) is not field.struct:
            raise FieldError(f"{field.name}[{number}]", f"must be a {field.struct.__name__}")  # type: ignore[union-attr]
    _length(field, len(value), "entries")
    return value if isinstance(value, tuple) else tuple(value)


def _length(field: Field, length: int, things: str) -> None:
    if field.meta.min_length and not length:
        raise FieldError(field.name, "must not be empty")
    if field.meta.max_length is not None and length > field.meta.max_length:
        raise FieldError(field.name, f"may have at most {field.meta.max_length} {things}")
