"""The machine that a bench runs on: what it is, and how fast it is at the moment."""

from __future__ import annotations

import platform
import sys
import time
from pathlib import Path

import numpy as np

ASKED = 1400.0
"""Flights a second that scipy does one by one on the machine for which the times of issue 3 are asked."""
FLIGHTS = 60
"""Flights that one look at the pace takes, about a tenth of a second."""


def machine() -> str:
    """Processor, as far as the system tells it, and versions."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    names = [line.split(":")[1].strip() for line in lines if "model name" in line]
    what = f"{names[0]}, {len(names)} of them" if names else platform.processor() or platform.machine()
    return f"{what}; Python {platform.python_version()}, NumPy {np.__version__}, {sys.platform}"


def pace() -> float:
    """How fast the machine is just now, over the one that scipy flies `ASKED` flights a second on.

    Machines that several share change their pace by half from one minute to the next: a time is worth telling
    only with the pace beside it. The flights are those of `bench_kernels.py`, to 1 mm.
    """
    from bench_kernels import integrated, launched

    from shortgame_gui.store.coefficients import load

    table = load()
    some = launched(FLIGHTS, table)
    start = time.process_time()
    integrated(*some, table, "RK45", 1e-3)
    return FLIGHTS / (time.process_time() - start) / ASKED
