"""Short-game advisor: which club, which way of playing it, where to land it, how hard and how to stand."""
