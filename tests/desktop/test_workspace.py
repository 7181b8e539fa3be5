"""The rail: one workspace in view at a time, told when it comes and goes."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLayout, QMainWindow
from pytestqt.qtbot import QtBot

from shortgame_gui.desktop.workspace import Rail, Workspace


class Spy(Workspace):
    def __init__(self, code: str, log: list[str]) -> None:
        super().__init__()
        self.code, self.title, self.tip, self.log = code, code.capitalize(), f"The {code} one.", log

    def entered(self) -> None:
        self.log.append(f"+{self.code}")

    def left(self) -> None:
        self.log.append(f"-{self.code}")


def test_a_click_and_a_shortcut_change_the_workspace_and_both_are_told(qtbot: QtBot) -> None:
    log: list[str] = []
    rail = Rail((Spy("one", log), Spy("two", log)))
    window = QMainWindow()
    qtbot.addWidget(window)
    window.addToolBar(rail)
    window.setCentralWidget(rail.stack)
    window.layout().setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
    window.setMinimumSize(200, 100)
    window.show()
    assert log == ["+one"] and rail.current.code == "one" and rail.choices["one"].isChecked()
    with qtbot.waitSignal(rail.chosen) as told:
        qtbot.mouseClick(rail.widgetForAction(rail.choices["two"]), Qt.MouseButton.LeftButton)
    assert told.args == ["two"] and log == ["+one", "-one", "+two"]
    assert rail.stack.currentWidget() is rail.workspaces["two"]
    rail.choices["two"].trigger()
    assert log == ["+one", "-one", "+two"], "chosen again it is neither left nor entered"
    assert rail.choices["one"].shortcut().toString() == "Ctrl+1"
