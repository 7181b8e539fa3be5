"""The one place where pyqtgraph is imported, in little more than half its time.

pyqtgraph copies every name of QtCore, QtGui and QtWidgets into modules of its own, and PySide makes a class
when its name is looked up: 0.2 s at every start for hundreds of classes and enums that nobody uses. Here a
name is copied when it is asked for.
"""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any

from PySide6 import QtCore, QtGui, QtWidgets

__all__ = ["pg"]

COPIED = (QtCore, QtGui, QtWidgets)


def _copy_late(module: ModuleType) -> None:
    """Have the copy of ``module`` look names up there when they are asked for."""

    def no_names() -> list[str]:
        # Asked by pyqtgraph when it is about to copy; its own module is there by then.
        copy = sys.modules[module.__name__.replace("PySide6", "pyqtgraph.Qt")]

        def late(name: str) -> Any:
            found = getattr(module, name)
            setattr(copy, name, found)
            return found

        copy.__dict__["__getattr__"] = late
        return []

    module.__dict__["__dir__"] = no_names


_names = [module.__dict__.get("__dir__") for module in COPIED]
for _module in COPIED:
    _copy_late(_module)

import pyqtgraph as pg  # noqa: E402

for _module, _own in zip(COPIED, _names, strict=True):
    if _own is None:
        del _module.__dict__["__dir__"]
    else:
        _module.__dict__["__dir__"] = _own
