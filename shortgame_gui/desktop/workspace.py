"""What the window asks of a workspace, and the rail on which one of them is chosen."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QSplitter, QStackedWidget, QToolBar, QWidget

from shortgame_gui.desktop.shot.playback import Playback
from shortgame_gui.words.language import _


class Workspace(QWidget):
    """One way of looking at the session. Workspaces never talk to each other; only one is seen at a time."""

    code = ""
    title = ""
    tip = ""
    playback: Playback | None = None
    """What the menu plays back while the workspace is in view."""

    def splitters(self) -> dict[str, QSplitter]:
        """Splitters whose places are remembered, by a name that no other workspace uses."""
        return {}

    def entered(self) -> None:
        """Told after the workspace came into view: the time to catch up with the session."""

    def left(self) -> None:
        """Told after another workspace took its place: the time to stop what only the eye needs."""

    def close_down(self) -> None:
        """End all work, threads and processes; the window is closing."""


class Rail(QToolBar):
    """The row of workspaces above the situation; it owns the stack that shows the one chosen."""

    chosen = Signal(str)

    def __init__(self, workspaces: tuple[Workspace, ...]) -> None:
        super().__init__(_("Workspaces"))
        self.setObjectName("rail")
        self.setAccessibleName(_("Workspaces"))
        self.setMovable(False)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        self.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextOnly)
        self.stack = QStackedWidget()
        self.workspaces = {workspace.code: workspace for workspace in workspaces}
        self.choices: dict[str, QAction] = {}
        self._current = ""
        group = QActionGroup(self)
        for number, workspace in enumerate(workspaces, start=1):
            self.stack.addWidget(workspace)
            action = QAction(_(workspace.title), self)
            action.setObjectName(f"workspace_{workspace.code}")
            action.setCheckable(True)
            action.setShortcut(f"Ctrl+{number}")
            action.setToolTip(f"{_(workspace.tip)} (Ctrl+{number})")
            action.setStatusTip(_(workspace.tip))
            action.triggered.connect(lambda _on=False, code=workspace.code: self.choose(code))
            group.addAction(action)
            self.addAction(action)
            self.widgetForAction(action).setAccessibleName(
                _("{title}, workspace").format(title=_(workspace.title))
            )
            self.widgetForAction(action).setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self.choices[workspace.code] = action
        self.choose(workspaces[0].code)

    @property
    def current(self) -> Workspace:
        """The workspace in view."""
        return self.workspaces[self._current]

    def choose(self, code: str) -> None:
        """Bring the workspace ``code`` into view; raises KeyError where there is none."""
        before, self._current = self._current, code
        self.choices[code].setChecked(True)
        if before == code:
            return
        self.stack.setCurrentWidget(self.workspaces[code])
        if before:
            self.workspaces[before].left()
        self.workspaces[code].entered()
        self.chosen.emit(code)
        # What showing it asked for. Else the first request to paint, a few ms old by now, may come before,
        # and all is painted a second time.
        for kind in (QEvent.Type.LayoutRequest, QEvent.Type.UpdateLater):
            QCoreApplication.sendPostedEvents(None, kind)
