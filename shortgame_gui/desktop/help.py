"""Help for the part in focus: pages of text, found by the name of their file, and what asks for which.

A page is a file `resources/help/NAME.md` that begins with its title. A part says with `about` which page is
its own, and which rows of the table of coefficients matter for it; parts inside it need not. A workspace that
says nothing has the page of its own code, if there is one. To add a page, add the file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from PySide6.QtCore import QObject, Qt, QUrl
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLayout,
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from shortgame_gui import assets
from shortgame_gui.desktop.fields import describe
from shortgame_gui.desktop.figures import FiguresWindow
from shortgame_gui.desktop.measures import Measures
from shortgame_gui.desktop.session import Session
from shortgame_gui.desktop.workspace import Workspace
from shortgame_gui.model.leaves import get
from shortgame_gui.words.language import _

PLACE = re.compile(r"{(.*?)}")
FIRST = "start"
ORDER = (
    FIRST, "lie", "stance", "green", "ground", "air", "player", "around", "notes", "side-view", "plan-view",
    "ranked-table", "explanation", "figures", "files", "settings", "cautions",
)  # fmt: skip
"""Pages in the order of the list; others follow by their title."""


def about(widget: QWidget, page: str, rows: str = "", called: str = "") -> None:
    """Say which page is that of ``widget``, what it is called, and which rows of the table matter for it.

    ``rows`` are beginnings of names of coefficients, apart by spaces; ``{lie.sits}`` stands for that value
    of the situation and ``{technique}`` for the technique of the shot in front.
    """
    widget.setProperty("help_page", page)
    widget.setProperty("help_rows", rows)
    widget.setProperty("help_name", called)


def page_of(widget: QObject | None) -> str:
    """The name of the page for ``widget``: its own, that of what it is in, or the first."""
    for part in _outwards(widget):
        page = part.property("help_page")
        if page:
            return str(page)
        if isinstance(part, Workspace) and part.code in pages():
            return part.code
    return FIRST


def rows_of(widget: QObject | None, session: Session) -> tuple[str, list[str]]:
    """What the part with ``widget`` is called, and beginnings of the names of the rows that matter for it."""
    for part in _outwards(widget):
        rows = part.property("help_rows")
        if rows:
            found = [PLACE.sub(lambda m: _said(str(m[1]), session), row) for row in str(rows).split()]
            return str(part.property("help_name")), found
    return "", []


def _said(path: str, session: Session) -> str:
    if path == "technique":
        return session.front.technique if session.front else ""
    return str(get(session.situation, path))


def _outwards(widget: QObject | None) -> Iterator[QObject]:
    while widget is not None:
        yield widget
        widget = widget.parent()


@cache
def pages() -> dict[str, str]:
    """Name of each page -> its title, in the order of the list."""
    found = {}
    for file in assets.names(".md"):
        folder, _slash, name = file.rpartition("/")
        if folder == "help":
            found[name.removesuffix(".md")] = assets.text(file).split("\n", 1)[0].removeprefix("# ")
    place = {name: number for number, name in enumerate(ORDER)}
    return dict(sorted(found.items(), key=lambda page: (place.get(page[0], len(ORDER)), page[1])))


class HelpWindow(QDialog):
    """All pages beside a list of their titles; it does not hold the window up, and Escape closes it."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Help"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.list, self.text = QListWidget(), QTextBrowser()
        describe(self.list, _("Pages of the help"), _("Choose the page to read."))
        describe(self.text, _("Help"), _("The page that is chosen in the list."))
        self.text.setOpenLinks(False)
        for name, title in pages().items():
            item = QListWidgetItem(title, self.list)
            item.setData(Qt.ItemDataRole.UserRole, name)
        halves = QSplitter()
        halves.addWidget(self.list)
        halves.addWidget(self.text)
        halves.setStretchFactor(1, 1)
        halves.setChildrenCollapsible(False)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(halves, 1)
        layout.addWidget(buttons)
        wide = self.fontMetrics().averageCharWidth()
        self.resize(104 * wide, 30 * self.fontMetrics().lineSpacing())
        list_width = self.list.sizeHintForColumn(0) + 4 * wide
        halves.setSizes([list_width, 104 * wide - list_width])
        self.text.document().setDocumentMargin(wide)
        self.list.currentItemChanged.connect(self._on_item)
        self.text.anchorClicked.connect(self._on_link)

    @property
    def page(self) -> str:
        """The name of the page in view."""
        return str(self.list.currentItem().data(Qt.ItemDataRole.UserRole))

    def open_page(self, name: str) -> None:
        """Show the page ``name``; the first one where there is none of that name."""
        names = list(pages())
        self.list.setCurrentRow(names.index(name) if name in names else 0)

    def _on_item(self) -> None:
        self.text.setMarkdown(assets.text(f"help/{self.page}.md"))

    def _on_link(self, link: QUrl) -> None:
        self.open_page(link.toString().removesuffix(".md"))


class Help:
    """The two windows of the help, each opened once and brought forward after that."""

    def __init__(self, measures: Measures, window: QWidget) -> None:
        self._measures, self._window = measures, window

    def show_page(self, name: str) -> HelpWindow:
        """Open the page ``name`` beside the window."""
        shown = self._window.findChild(HelpWindow) or HelpWindow(self._window)
        shown.open_page(name)
        _bring_forward(shown)
        return shown

    def show_figures(self, part: str, beginnings: list[str]) -> FiguresWindow:
        """Open the figures whose names begin so, as those of ``part``."""
        shown = self._window.findChild(FiguresWindow) or FiguresWindow(self._measures, self._window)
        shown.show_figures(part, beginnings)
        _bring_forward(shown)
        return shown


def _bring_forward(box: QDialog) -> None:
    box.show()
    box.activateWindow()
