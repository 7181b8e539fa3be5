"""The base of every struct: ranges, finite numbers and one canonical form, checked however it is made.

msgspec checks ranges only while decoding; this base checks them on construction as well, and rounds
numbers so that two ways of writing the same situation compare and hash as equal.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import msgspec

DIGITS = 9
"""Decimals kept of every SI number: a nanometre, far below anything that a golfer can state."""


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
        ge=low,
        le=high,
        title=title,
        description=text,
        extra={"quantity": kind, "step": step, "file_unit": file_unit},
        extra_json_schema={"x-quantity": kind},
    )


def labelled(title: str, text: str) -> Any:
    """Meta of a field that is no number: its label and what it means."""
    return msgspec.Meta(title=title, description=text)


def meta_of(cls: type[msgspec.Struct], name: str) -> msgspec.Meta | None:
    """The Meta of field ``name`` of ``cls``, or None."""
    return _metas(cls).get(name)


@cache
def hints_of(cls: type[msgspec.Struct]) -> dict[str, Any]:
    """Type hints of the struct ``cls`` without their Meta, field name to type."""
    return get_type_hints(cls)


@cache
def _metas(cls: type[msgspec.Struct]) -> dict[str, msgspec.Meta]:
    found = {}
    for name, hint in get_type_hints(cls, include_extras=True).items():
        if get_origin(hint) is Annotated:
            metas = [m for m in get_args(hint)[1:] if isinstance(m, msgspec.Meta)]
            if metas:
                found[name] = metas[0]
    return found


@cache
def _choices(cls: type[msgspec.Struct]) -> dict[str, tuple[Any, ...]]:
    from typing import Literal

    return {n: get_args(h) for n, h in hints_of(cls).items() if get_origin(h) is Literal}


class Checked(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A frozen struct whose numbers are finite, in range and canonical (rounded to `DIGITS`, no -0.0).

    Raises ValueError naming the field when a number is out of its range or a choice is not one of the
    listed ones; the same message reaches the reader of a file with the path in front.
    """

    def __post_init__(self) -> None:
        cls = type(self)
        metas, choices = _metas(cls), _choices(cls)
        for name in self.__struct_fields__:
            value = getattr(self, name)
            if isinstance(value, float) or (isinstance(value, int) and hints_of(cls)[name] is float):
                if not math.isfinite(value):
                    raise ValueError(f"`{name}` must be a finite number")
                value = round(float(value), DIGITS) + 0.0
                msgspec.structs.force_setattr(self, name, value)
            if name in choices and value not in choices[name]:
                raise ValueError(f"`{name}` must be one of {', '.join(map(str, choices[name]))}")
            meta = metas.get(name)
            if meta is not None and isinstance(value, (int, float)) and not isinstance(value, bool):
                if meta.ge is not None and value < meta.ge:
                    raise ValueError(f"`{name}` must be at least {meta.ge:g}")
                if meta.le is not None and value > meta.le:
                    raise ValueError(f"`{name}` must be at most {meta.le:g}")
        self.check()

    def check(self) -> None:
        """Rules between fields; raises ValueError that names a field. Nothing by default."""
