"""Every single value of a document by its dotted path, so that panel and tests need no list of their own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

import msgspec

from shortgame_gui.model.base import Checked, FieldError
from shortgame_gui.model.fields import Field, fields_of

Struct = TypeVar("Struct", bound=Checked)

_HEAD = re.compile(r"(?P<name>[a-z_]+)(?:\[(?P<index>[0-9]+)\])?(?:\.(?P<rest>.+))?")


@dataclass(frozen=True)
class Leaf:
    """One value that is no struct; fields of list entries have a path such as ``ground.bands[].start``.

    ``default`` is `msgspec.NODEFAULT` where a value must be given, and SI as everywhere.
    """

    path: str
    field: Field
    default: Any

    @property
    def kind(self) -> str:
        """``number``, ``whole``, ``flag``, ``text`` or ``choice``."""
        return self.field.kind

    @property
    def title(self) -> str:
        """What the value is called."""
        return self.field.meta.title or self.field.name

    @property
    def description(self) -> str:
        """What the value means."""
        return self.field.meta.description or ""

    @property
    def choices(self) -> tuple[str, ...]:
        """What a choice can be; empty for other kinds."""
        return self.field.choices

    @property
    def quantity(self) -> str:
        """What a number measures, a key of `units.QUANTITIES`; empty for other kinds."""
        return self.field.quantity

    @property
    def low(self) -> float | None:
        """Least value of a number in SI."""
        return self.field.meta.ge

    @property
    def high(self) -> float | None:
        """Greatest value of a number in SI."""
        return self.field.meta.le

    @property
    def step(self) -> float | None:
        """A sensible step of a slider in SI."""
        return (self.field.meta.extra or {}).get("step")

    @property
    def file_unit(self) -> str:
        """The unit that saved files use for a number; empty where they use SI."""
        return self.field.file_unit

    @property
    def in_list(self) -> bool:
        """Whether it belongs to the entries of a list, so that there may be none or many of it."""
        return "[]" in self.path


def leaves(cls: type[Checked]) -> list[Leaf]:
    """All leaves of the struct type ``cls`` in the order of its fields, those of list entries included."""
    return list(_walk(cls, "", None))


def _walk(cls: type[msgspec.Struct], before: str, example: Any) -> Iterator[Leaf]:
    """Leaves of ``cls``; ``example`` is what the field that holds it is by default, if known."""
    for field in fields_of(cls):
        path = before + field.name
        default = field.default if example is None else getattr(example, field.name)
        if field.struct is None:
            yield Leaf(path, field, default)
        elif field.kind == "list":
            yield from _walk(field.struct, f"{path}[].", None)
        else:
            yield from _walk(field.struct, f"{path}.", None if default is msgspec.NODEFAULT else default)


def get(struct: Checked, path: str) -> Any:
    """The value at ``path`` (``lie.sits``, ``ground.bands[0].start``); raises KeyError where none is."""
    name, index, rest = _split(struct, path)
    value = getattr(struct, name)
    if index is not None:
        value = _entry(value, index, path)
    return get(_inner(value, path), rest) if rest else value


def put(struct: Struct, path: str, value: Any) -> Struct:
    """``struct`` with ``value`` at ``path``; raises KeyError for a bad path, FieldError for a bad value."""
    return put_all(struct, {path: value})


def put_all(struct: Struct, values: Mapping[str, Any]) -> Struct:
    """``struct`` with all ``values`` (path to value) at once, so that rules between fields see only the end.

    Raises KeyError for an unknown path, and FieldError with the whole path for a value that cannot stand.
    """
    changed: dict[str, Any] = {}
    inner: dict[tuple[str, int | None], dict[str, Any]] = {}
    for path, value in values.items():
        name, index, rest = _split(struct, path)
        if rest:
            inner.setdefault((name, index), {})[rest] = value
        elif index is None:
            changed[name] = value
        else:
            changed[name] = _swapped(changed.get(name, getattr(struct, name)), index, value, path)
    for (name, index), deeper in inner.items():
        now = changed.get(name, getattr(struct, name))
        where = name if index is None else f"{name}[{index}]"
        old = _inner(now if index is None else _entry(now, index, where), where)
        try:
            new = put_all(old, deeper)
        except FieldError as error:
            raise FieldError(f"{where}.{error.field}", error.problem, error.passed) from None
        changed[name] = new if index is None else _swapped(now, index, new, where)
    return msgspec.structs.replace(struct, **changed)


def _split(struct: Checked, path: str) -> tuple[str, int | None, str]:
    """Name, index and rest of ``path`` below ``struct``."""
    head = _head(path)
    if head is None or head[0] not in struct.__struct_fields__:
        raise KeyError(f"{type(struct).__name__} has no {path!r}")
    return head


@lru_cache(maxsize=1024)
def _head(path: str) -> tuple[str, int | None, str] | None:
    """Name, index and rest of ``path``; None where it is none. Kept: every edit asks for the same again."""
    match = _HEAD.fullmatch(path)
    if match is None:
        return None
    return match["name"], None if match["index"] is None else int(match["index"]), match["rest"] or ""


def _inner(value: Any, path: str) -> Checked:
    if not isinstance(value, Checked):
        raise KeyError(f"nothing lies below {path!r}")
    return value


def _entry(entries: Any, index: int, path: str) -> Any:
    if not isinstance(entries, tuple) or index >= len(entries):
        raise KeyError(f"there is no entry {index} for {path!r}")
    return entries[index]


def _swapped(entries: Any, index: int, value: Any, path: str) -> tuple[Any, ...]:
    _entry(entries, index, path)
    return (*entries[:index], value, *entries[index + 1 :])
