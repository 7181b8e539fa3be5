"""Style and types are part of the tests, so that one command tells whether a change can be handed in."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.mark.parametrize(
    "tool",
    [
        ("ruff", "check", "--no-cache", "."),
        ("ruff", "format", "--check", "--no-cache", "."),
        ("mypy",),
    ],
    ids=" ".join,
)
def test_tool_is_content(tool: tuple[str, ...]) -> None:
    done = subprocess.run([sys.executable, "-m", *tool], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
