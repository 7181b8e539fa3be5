"""The strict climate of conftest.py must bite: each of its rules is broken here in a run of its own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]

BAD = {
    "thread": (
        "import threading\n"
        "stop = threading.Event()\n"
        "def test_it(): threading.Thread(target=stop.wait, daemon=True, name='forgotten').start()\n",
        "thread 'forgotten' was left running",
    ),
    "qthread": (
        "from PySide6.QtCore import QThread\n"
        "kept = []\n"
        "def test_it():\n"
        "    kept.append(QThread())\n"
        "    kept[0].start()\n"
        "def test_end():\n"
        "    kept[0].quit()\n"
        "    kept[0].wait()\n",
        "was left running",
    ),
    "log": (
        "import logging\ndef test_it(): logging.getLogger('shortgame_gui').warning('odd')\n",
        "unexpected log: WARNING shortgame_gui: odd",
    ),
    "warning": ("import warnings\ndef test_it(): warnings.warn('old')\n", "UserWarning: old"),
    "qt warning": (
        "from PySide6.QtCore import qWarning\ndef test_it(qapp): qWarning('odd widget')\n",
        "odd widget",
    ),
    "marker": ("import pytest\n@pytest.mark.unknown\ndef test_it(): pass\n", "'unknown' not found"),
}


@pytest.mark.parametrize("rule", BAD)
def test_a_broken_rule_fails_the_run(rule: str, tmp_path: Path) -> None:
    code, message = BAD[rule]
    # Its own copy of the climate, with no time given to the thread that will never end.
    climate = (ROOT / "tests" / "conftest.py").read_text(encoding="utf-8")
    (tmp_path / "conftest.py").write_text(climate.replace("SECONDS_TO_END = 5.0", "SECONDS_TO_END = 0.0"))
    (tmp_path / "test_bad.py").write_text(code)
    (tmp_path / "pyproject.toml").write_bytes((ROOT / "pyproject.toml").read_bytes())
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-p", "no:xdist", "test_bad.py"]
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    done = subprocess.run(command, cwd=tmp_path, env=env, capture_output=True, text=True)
    assert done.returncode != 0
    assert message in done.stdout + done.stderr
