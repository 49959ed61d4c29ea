"""Published tables as CSV with their sources beside them, and small look-ups. Nothing outside a table is guessed."""
