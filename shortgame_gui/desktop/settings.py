"""What is remembered between starts; a setting that makes no sense becomes its default, never an error."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from shortgame_gui.desktop.measures import DECIMALS, SYSTEMS, Decimal, System
from shortgame_gui.desktop.theme import MODES, Mode
from shortgame_gui.model.player import LEVELS, Hand, Level, Player

MOST_RECENT = 8


def data_folder() -> Path:
    """Where the program keeps files of its own on this desktop; it need not exist yet."""
    return Path(QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation))


class Settings:
    """Typed access to the program's QSettings."""

    def __init__(self) -> None:
        self._store = QSettings()

    @property
    def theme(self) -> Mode:
        kept = self._store.value("theme")
        return next((mode for mode in MODES if mode == kept), "desktop")

    @theme.setter
    def theme(self, mode: Mode) -> None:
        self._store.setValue("theme", mode)

    @property
    def units(self) -> System:
        kept = self._store.value("units")
        return next((system for system in SYSTEMS if system == kept), "yards")

    @units.setter
    def units(self, system: System) -> None:
        self._store.setValue("units", system)

    @property
    def decimal(self) -> Decimal:
        kept = self._store.value("decimal")
        return next((sign for sign in DECIMALS if sign == kept), "desktop")

    @decimal.setter
    def decimal(self, sign: Decimal) -> None:
        self._store.setValue("decimal", sign)

    @property
    def recent(self) -> list[Path]:
        """Files opened or saved last, newest first."""
        kept = self._store.value("recent")
        names = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
        return [Path(name) for name in names if isinstance(name, str) and name][:MOST_RECENT]

    def remember(self, path: Path) -> None:
        """Put ``path`` on top of the recent files, if files are remembered."""
        if not self.keeps_files:
            return
        path = path.absolute()
        names = [str(path), *(str(other) for other in self.recent if other != path)]
        self._store.setValue("recent", names[:MOST_RECENT])
        self._store.setValue("last", str(path))

    def forget_last(self) -> None:
        """The next start opens the demo: what was open last has no file."""
        self._store.remove("last")

    @property
    def last(self) -> Path | None:
        """The file that was open last, if any."""
        kept = self._store.value("last")
        return Path(kept) if isinstance(kept, str) and kept else None

    @property
    def bag(self) -> Path | None:
        """The bag file whose clubs were in use last, or None for the usual clubs."""
        kept = self._store.value("bag")
        return Path(kept) if isinstance(kept, str) and kept else None

    @bag.setter
    def bag(self, path: Path | None) -> None:
        if path is None or not self.keeps_files:
            self._remove("bag")
        else:
            self._store.setValue("bag", str(path.absolute()))

    @property
    def level(self) -> Level:
        """The level that new situations begin with."""
        kept = self._store.value("level")
        return next((level for level in LEVELS if level == kept), Player().level)

    @level.setter
    def level(self, level: Level) -> None:
        self._store.setValue("level", level)

    @property
    def hand(self) -> Hand:
        """The hand that new situations begin with."""
        return "left" if self._store.value("hand") == "left" else "right"

    @hand.setter
    def hand(self, hand: Hand) -> None:
        self._store.setValue("hand", hand)

    @property
    def columns(self) -> list[str] | None:
        """Columns of the ranked table that were chosen, or None when nobody chose."""
        kept = self._store.value("columns")
        return kept.split(",") if isinstance(kept, str) else None

    @columns.setter
    def columns(self, codes: Sequence[str]) -> None:
        self._store.setValue("columns", ",".join(codes))

    @property
    def keeps_files(self) -> bool:
        """Whether files that were opened are remembered."""
        return self._store.value("keeps/files") not in ("no", "false")

    @keeps_files.setter
    def keeps_files(self, on: bool) -> None:
        self._store.setValue("keeps/files", "yes" if on else "no")
        if not on:
            self._remove("recent", "last", "bag")

    @property
    def keeps_layout(self) -> bool:
        """Whether size and layout of the window are remembered."""
        return self._store.value("keeps/layout") not in ("no", "false")

    @keeps_layout.setter
    def keeps_layout(self, on: bool) -> None:
        self._store.setValue("keeps/layout", "yes" if on else "no")
        if not on:
            self._remove("groups", "layout")

    def forget(self) -> None:
        """Forget files and layout; what was chosen stays."""
        self._remove("recent", "last", "bag", "groups", "layout")

    def _remove(self, *keys: str) -> None:
        for key in keys:
            self._store.remove(key)

    @property
    def open_groups(self) -> list[str] | None:
        """Groups of the situation panel that were open, or None when nothing is known."""
        kept = self._store.value("groups")
        return kept.split(",") if isinstance(kept, str) else None

    @open_groups.setter
    def open_groups(self, codes: list[str]) -> None:
        if self.keeps_layout:
            self._store.setValue("groups", ",".join(codes))

    def layout(self, name: str) -> QByteArray | None:
        """The kept geometry or state called ``name``."""
        kept = self._store.value(f"layout/{name}")
        return kept if isinstance(kept, QByteArray) else None

    def keep_layout(self, name: str, state: QByteArray) -> None:
        if self.keeps_layout:
            self._store.setValue(f"layout/{name}", state)
