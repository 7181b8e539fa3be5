"""What the ball does: pure NumPy on batches; knows no golfer, no file, no Qt."""
