"""Heat of the box: walls, films, layers of air, thermostat, warming and cooling, what eggs bear for hours."""
