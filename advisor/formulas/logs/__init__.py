"""What a temperature log tells of a box: means, settling, swings, cooling, heat loss. Numbers only."""
