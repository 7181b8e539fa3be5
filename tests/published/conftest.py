"""Lets the published checks import the reference set that stands beside them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
