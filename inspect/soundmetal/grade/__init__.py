"""How bad each place is, by rules that name themselves."""
