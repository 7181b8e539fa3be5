"""The only reader of packaged resources, so that one place knows where tables, schemas and the demo lie.

`resources/` and `demo/` stand at the top level of a checkout and are installed as the packages
`shortgame_gui.resources` and `shortgame_gui.demo`. Names are relative to those folders, with forward slashes;
the same name works from a wheel, an editable install and a plain checkout.
"""

import posixpath
from importlib.abc import Traversable
from importlib.resources import files
from pathlib import Path


def _folder(which: str) -> Traversable:
    """The folder `resources` or `demo`, wherever this installation keeps it."""
    try:
        return files(f"shortgame_gui.{which}")
    except ModuleNotFoundError:
        # A plain checkout that was never installed: nothing maps the top-level folder to a package.
        return Path(__file__).resolve().parents[1] / which


def _found(which: str, name: str) -> Traversable:
    place = _folder(which).joinpath(*name.split("/"))
    if not place.is_file():
        raise FileNotFoundError(f"no file {name!r} in the packaged {which}")
    return place


def _walk(place: Traversable, before: str = "") -> list[str]:
    names: list[str] = []
    for entry in place.iterdir():
        if entry.is_dir():
            if entry.name not in ("__pycache__", "out"):  # out/ holds what the start script drew
                names += _walk(entry, f"{before}{entry.name}/")
        elif not entry.name.endswith((".py", ".pyc")):
            names.append(before + entry.name)
    return sorted(names)


def text(name: str) -> str:
    """The text of the resource `name`, decoded as UTF-8. Raises FileNotFoundError when there is none."""
    return _found("resources", name).read_text(encoding="utf-8")


def data(name: str) -> bytes:
    """The bytes of the resource `name`. Raises FileNotFoundError when there is none."""
    return _found("resources", name).read_bytes()


def names(suffix: str = "") -> list[str]:
    """The names of all resources that end in `suffix`, sorted, each fit for `text` and `data`."""
    return [name for name in _walk(_folder("resources")) if name.endswith(suffix)]


def demo_text(name: str) -> str:
    """The text of the demo file `name`, decoded as UTF-8. Raises FileNotFoundError when there is none."""
    return _found("demo", name).read_text(encoding="utf-8")


def demo_beside(name: str, other: str) -> bytes:
    """The bytes of the demo file that the demo file `name` calls `other`, seen from its own folder.

    Raises FileNotFoundError when there is none.
    """
    return _found("demo", posixpath.normpath(posixpath.join(posixpath.dirname(name), other))).read_bytes()


def demo_files(suffix: str = "") -> list[str]:
    """The names of all files of the invented course ending in `suffix`, sorted, each fit for `demo_text`."""
    return [name for name in _walk(_folder("demo")) if name.endswith(suffix)]
