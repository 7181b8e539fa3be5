"""`python -m shortgame_gui` is the same front door as the console script."""

import sys

from shortgame_gui.cli import main

if __name__ == "__main__":
    sys.exit(main())
