"""Files that are written whole or not at all, with the version before kept beside them."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path


def backup_of(path: Path) -> Path:
    """Where the version of ``path`` before the last writing is kept."""
    return path.with_name(path.name + "~")


def write_whole(path: Path, data: bytes) -> None:
    """Puts ``data`` into the file ``path``; the version before is kept as `backup_of` says.

    At every moment ``path`` holds the old or the new version whole. A file that already holds ``data`` is
    left alone, and so is its backup. Links are followed. Raises OSError; then ``path`` is as it was.
    """
    path = Path(os.path.realpath(path))
    before = path.read_bytes() if path.exists() else None
    if before == data:
        return
    if before is not None:
        _replace(backup_of(path), before, like=path)
    _replace(path, data, like=path)


def _replace(path: Path, data: bytes, *, like: Path) -> None:
    """``data`` into ``path`` by renaming a finished file over it, with the rights of ``like`` if any."""
    draft = path.with_name(f".{secrets.token_hex(8)}.draft")
    try:
        with draft.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if like.exists():
            shutil.copymode(like, draft)
        os.replace(draft, path)
    except BaseException:
        with suppress(OSError):
            draft.unlink(missing_ok=True)
        raise
    _settle(path.parent)


def _settle(folder: Path) -> None:
    """Has the renaming itself reach the disk, on systems where a folder can be opened for that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
