"""The chosen work as blanks, operations, hours, price and order."""
