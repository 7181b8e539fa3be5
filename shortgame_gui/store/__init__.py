"""What is kept on disk: situation files, tables and coefficients, read and written in one place."""
