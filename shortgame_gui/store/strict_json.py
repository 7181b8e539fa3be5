"""Bytes to plain data without surprises: what ordinary JSON readers let pass is refused here, by name.

Python's own reader takes the last of two equal keys, NaN, and nesting as deep as its stack; files that people
edit by hand deserve to be told.
"""

from __future__ import annotations

import codecs
import json
import math
from typing import Any

LARGEST = 1_000_000
"""Bytes of the largest file that is read; a situation has a few thousand."""
DEEPEST = 16
"""Levels of lists and objects; the model's documents have five."""


class DocumentError(ValueError):
    """A file that cannot be used; ``str`` is one plain line that names the field or the line at fault."""


class _Object(dict[str, Any]):
    """An object of the file that remembers the first key that it was given twice."""

    twice: str | None = None


def _object(pairs: list[tuple[str, Any]]) -> _Object:
    made = _Object()
    for key, value in pairs:
        if key in made and made.twice is None:
            made.twice = key
        made[key] = value
    return made


def _whole(digits: str) -> int | float:
    # Python refuses whole numbers of thousands of digits; as a float they are inf and refused by name.
    return int(digits) if len(digits) <= 20 else float(digits)


def shown(key: str) -> str:
    """A key or word of the file fit for a line of text: short and without control characters."""
    short = key if len(key) <= 40 else key[:40] + "..."
    return short if short.isprintable() and short.strip() == short != "" else ascii(short)


def join(path: str, key: str) -> str:
    """The dotted path of field ``key`` below ``path``."""
    return f"{path}.{key}" if path else key


def parse(data: bytes) -> dict[str, Any]:
    """The object that ``data`` (UTF-8, with or without byte-order mark) holds; raises DocumentError."""
    if len(data) > LARGEST:
        raise DocumentError(
            f"the file is larger than {LARGEST // 1_000_000} MB, so it is no document of this program"
        )
    data = data.removeprefix(codecs.BOM_UTF8)
    try:
        text = data.decode()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DocumentError(f"line {line}: byte {data[error.start]:#04x} is not UTF-8 text") from None
    if not text.strip():
        raise DocumentError("the file is empty")
    try:
        tree = json.loads(text, object_pairs_hook=_object, parse_int=_whole, parse_constant=float)
    except json.JSONDecodeError as error:
        problem = error.msg[:1].lower() + error.msg[1:]
        raise DocumentError(f"line {error.lineno}, column {error.colno}: not JSON, {problem}") from None
    except RecursionError:
        raise DocumentError("lists and objects are nested too deeply") from None
    if not isinstance(tree, dict):
        raise DocumentError("the file must hold one object, from { to }")
    _refuse(tree, "", 0)
    return tree


def _refuse(tree: Any, path: str, depth: int) -> None:
    """Raises DocumentError at the first key given twice, number that is not finite, or level too deep."""
    if depth > DEEPEST:
        raise DocumentError(f"{path.split('.')[0].split('[')[0]}: lists and objects are nested too deeply")
    if isinstance(tree, _Object):
        if tree.twice is not None:
            raise DocumentError(f"{join(path, shown(tree.twice))}: is given twice")
        for key, value in tree.items():
            _refuse(value, join(path, shown(key)), depth + 1)
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            _refuse(value, f"{path}[{number}]", depth + 1)
    elif isinstance(tree, float) and not math.isfinite(tree):
        raise DocumentError(f"{path}: must be a finite number")
