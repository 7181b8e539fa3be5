"""pyqtgraph comes in without its copies of all of Qt, and finds every name of Qt as before."""

import subprocess
import sys

CHECK = """
from shortgame_gui.desktop.plotting import COPIED, pg
import pyqtgraph.Qt as mirror
from PySide6 import QtWidgets

assert "QWizard" not in vars(mirror.QtWidgets)
assert mirror.QtWidgets.QWizard is QtWidgets.QWizard
assert "QWizard" in vars(mirror.QtWidgets)
assert all(len(dir(module)) > 100 for module in COPIED)
try:
    mirror.QtWidgets.QNothing
except AttributeError as error:
    print(error)
"""


def test_names_of_qt_are_copied_when_they_are_asked_for() -> None:
    done = subprocess.run([sys.executable, "-W", "error", "-c", CHECK], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "QNothing" in done.stdout
