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
    "qtwarning": (
        "from PySide6.QtCore import qWarning\ndef test_it(qapp): qWarning('odd widget')\n",
        "odd widget",
    ),
    "marker": ("import pytest\n@pytest.mark.unknown\ndef test_it(): pass\n", "'unknown' not found"),
}


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What one run of all the bad tests prints, in a folder with a copy of the climate."""
    folder = tmp_path_factory.mktemp("bad")
    # No time is given to the thread that will never end.
    climate = (ROOT / "tests" / "conftest.py").read_text(encoding="utf-8")
    patient = "SECONDS_TO_END = 5.0"
    assert patient in climate
    (folder / "conftest.py").write_text(climate.replace(patient, "SECONDS_TO_END = 0.0"), encoding="utf-8")
    (folder / "pyproject.toml").write_bytes((ROOT / "pyproject.toml").read_bytes())
    for rule, (code, _) in BAD.items():
        (folder / f"test_{rule}.py").write_text(code, encoding="utf-8")
    (folder / "test_good.py").write_text("def test_it(qapp): pass\n", encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-rA"]
    command += ["--continue-on-collection-errors", "."]
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True)
    assert done.returncode != 0
    return done.stdout


@pytest.mark.parametrize("rule", BAD)
def test_broken_rule_fails(rule: str, output: str) -> None:
    lines = [line for line in output.splitlines() if line.startswith(("FAILED", "ERROR"))]
    assert any(f"test_{rule}.py" in line for line in lines), output
    assert BAD[rule][1] in output


def test_sound_test_passes(output: str) -> None:
    assert "PASSED test_good.py::test_it" in output
