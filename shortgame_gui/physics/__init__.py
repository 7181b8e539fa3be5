"""What the ball does: strike, flight, bounce, run and hole, computed on batches of shots."""
