"""One kind of egg box: medium, water, air, room."""
