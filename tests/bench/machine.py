"""The machine that a bench runs on: what it is, and how fast it is at the moment."""

from __future__ import annotations

import platform
import sys
import time
from collections.abc import Callable
from functools import cache, partial
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


@cache
def _flights() -> Callable[[], object]:
    """What flies `FLIGHTS` flights by scipy, warm: the quicker of its rules that keep to 1 mm."""
    from bench_kernels import integrated, launched

    from shortgame_gui.store.coefficients import load

    table = load()
    fly = partial(integrated, *launched(FLIGHTS, table), table, "RK45", 3e-5)
    fly()
    return fly


def pace() -> float:
    """How fast the machine is just now, over the one that scipy flies `ASKED` flights a second on.

    Machines that several share change their pace by half from one minute to the next: a time is worth telling
    only with the pace beside it. The flights are those of `bench_kernels.py`.
    """
    fly = _flights()
    start = time.process_time()
    fly()
    return FLIGHTS / (time.process_time() - start) / ASKED
