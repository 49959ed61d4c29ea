"""What can be done about it: options for a panel, and the choice with its reasons."""
