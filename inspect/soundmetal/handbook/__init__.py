"""Published tables as data, with their sources, and how to look things up in them."""
