"""The strict climate of every test: no display, no settings of the user, no thread or log left behind.

Warnings as errors, Qt warnings as failures and strict markers are set in pyproject.toml.
"""

import gc
import logging
import os
import sys
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# Before the first import of Qt: it reads these once. The locale is fixed because Qt warns about one that is
# not UTF-8, and because a test that depends on it should set it itself.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["LC_ALL"] = "C.UTF-8"
_own_home = tempfile.TemporaryDirectory(prefix="shortgame-tests-")
for _name in ("CONFIG_HOME", "DATA_HOME", "CACHE_HOME", "STATE_HOME", "RUNTIME_DIR"):
    _folder = Path(_own_home.name, _name.lower())
    _folder.mkdir(mode=0o700)
    os.environ[f"XDG_{_name}"] = str(_folder)

# Examples are the same at every run, and none is judged by the clock: a busy machine must not fail a test.
settings.register_profile(
    "steady", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")

SECONDS_TO_END = 5.0  # how long a thread that was told to stop may take; never waited for in a sound run


def _qt(module: str, name: str) -> type | None:
    """A Qt class if something has imported its module, so that tests without Qt stay without it."""
    return getattr(sys.modules.get(f"PySide6.{module}"), name, None)


@pytest.fixture(autouse=True)
def settings_of_their_own(request: pytest.FixtureRequest) -> None:
    """Each test that uses Qt starts with empty settings, in a folder that nobody else reads."""
    settings, paths = _qt("QtCore", "QSettings"), _qt("QtCore", "QStandardPaths")
    if settings is None or paths is None:
        return
    paths.setTestModeEnabled(True)
    folder = request.getfixturevalue("tmp_path_factory").mktemp("settings")
    # What the program keeps of its own lies there as well; test mode alone would share it between tests.
    patch = request.getfixturevalue("monkeypatch")
    patch.setattr(paths, "writableLocation", staticmethod(lambda which: str(folder / "data")))
    for form in (settings.Format.NativeFormat, settings.Format.IniFormat):
        settings.setPath(form, settings.Scope.UserScope, str(folder))


def _kinds(kind: type) -> set[type]:
    """``kind`` and all that derive from it."""
    return {kind}.union(*(_kinds(other) for other in kind.__subclasses__()))


def _alive(kinds: set[type]) -> list[Any]:
    """All objects of ``kinds``. Looked up by type: asking each of some 200,000 would take far longer."""
    return [thing for thing in gc.get_objects() if type(thing) in kinds]


_set_aside: list[bool] = []
"""Whether that is done; to ask the collector counts all that it has set aside, 12 ms for every test."""


def _set_aside_what_is_loaded() -> None:
    """Once Qt is there: what modules hold need not be looked through after every test, nor collected.

    Only where no thread and no pool is among it, as `_alive` does not see what is set aside.
    """
    qthread, pool = _qt("QtCore", "QThread"), _qt("QtCore", "QThreadPool")
    if _set_aside or qthread is None or pool is None:
        return
    gc.collect()
    if not _alive(_kinds(qthread) | _kinds(pool)):
        gc.freeze()
        _set_aside.append(True)


@pytest.fixture(autouse=True)
def no_thread_left() -> Iterator[None]:
    """Fails a test that ends while a thread, a QThread or a job of a QThreadPool of its own still runs."""
    before = set(threading.enumerate())
    _set_aside_what_is_loaded()
    yield
    for thread in set(threading.enumerate()) - before:
        # Qt's threads look like dummy ones, which cannot be joined; they are counted below.
        if not isinstance(thread, threading._DummyThread):
            thread.join(SECONDS_TO_END)
            assert not thread.is_alive(), f"thread {thread.name!r} was left running"
    qthread, pool = _qt("QtCore", "QThread"), _qt("QtCore", "QThreadPool")
    if qthread is None or pool is None:
        return
    threads, pools = _kinds(qthread), _kinds(pool)
    wanted = threads | pools
    for thing in _alive(wanted):
        if type(thing) in threads:
            assert not thing.isRunning(), f"QThread {thing!r} was left running"
        else:
            assert thing.activeThreadCount() == 0, f"{thing!r} was left with a job"
    assert pool.globalInstance().activeThreadCount() == 0, "a job was left in the shared QThreadPool"


@pytest.fixture(autouse=True)
def widgets_end_with_their_test() -> Iterator[None]:
    """Deletes what a test let go: without a running event loop Qt puts that off, to a test that runs one."""
    yield
    core = sys.modules.get("PySide6.QtCore")
    if core is not None and core.QCoreApplication.instance() is not None:
        core.QCoreApplication.sendPostedEvents(None, core.QEvent.Type.DeferredDelete)


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(f"{record.levelname} {record.name}: {record.getMessage()}")


@pytest.fixture(autouse=True)
def no_stray_log(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fails a test that logged a warning or worse. One that expects it asks for `caplog` and judges."""
    collector = _Collector()
    root = logging.getLogger()
    root.addHandler(collector)
    yield
    root.removeHandler(collector)
    if "caplog" not in request.fixturenames:
        assert not collector.lines, "unexpected log: " + "; ".join(collector.lines)
