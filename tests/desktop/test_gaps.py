"""The event loop is not held while somebody edits for 20 s, with rests, and the real engine works behind.

The longest gap is recorded and printed; it should be below 50 ms. The bound is a generous one, so that a busy
machine does not fail it; `tests/bench/bench_gaps.py` measures.
"""

import importlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from shortgame_gui.desktop import app
from shortgame_gui.desktop.engine import Engine
from shortgame_gui.desktop.main_window import MainWindow
from shortgame_gui.desktop.settings import Settings
from shortgame_gui.desktop.theme import Theme

BENCHES = Path(__file__).resolve().parents[1] / "bench"
SECONDS, BOUND = 20.0, 500.0


@pytest.fixture
def bench(monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.syspath_prepend(str(BENCHES))
    return importlib.import_module("bench_gaps")


@pytest.fixture
def window(qapp: QApplication) -> Iterator[MainWindow]:
    app.application()
    made = MainWindow(Settings(), Theme("light"), engine=Engine())
    made.begin(None)
    made.show()
    assert made.advisor.runner.wait_until_idle(60_000)
    yield made
    made.session.begin_with(made.session.document)  # nothing to save
    made.close()
    made.deleteLater()


def test_edits_do_not_hold_the_window(window: MainWindow, bench: Any, record_property: Any) -> None:
    before = window.session.situation
    answers: list[object] = []
    window.advisor.runner.finished.connect(lambda request, advice: answers.append(advice))
    gaps = bench.pump(bench.edits_of(window.session), SECONDS, lambda: window.advisor.busy)
    seen = {
        "longest_gap_ms": round(gaps.longest[0]),
        "most_work_ms": round(gaps.work[0]),
        "edits": gaps.edits,
        "answers": len(answers),
    }
    for name, value in seen.items():
        record_property(name, value)
    print(seen)
    assert gaps.edits > 20
    assert window.session.situation != before
    assert gaps.longest[0] < BOUND, f"the event loop was held for {gaps.longest} ms"


def test_a_loop_that_is_held_is_seen(qapp: QApplication, bench: Any) -> None:
    """The harness itself: an edit that works for 80 ms shows as a gap of at least that."""
    from PySide6.QtCore import QElapsedTimer

    def slow(number: int) -> None:
        clock = QElapsedTimer()
        clock.start()
        while clock.elapsed() < 80:
            pass

    gaps = bench.pump(slow, 0.3)
    assert gaps.longest[0] >= 75.0
    assert gaps.edits >= 1
