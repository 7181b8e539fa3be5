"""Everything that needs Qt: the window, its panels and the threads behind them."""
