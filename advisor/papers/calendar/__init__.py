"""The calendar of one plan: its entries, and the file."""
