"""Water of the medium and of the egg box, and the room the eggs take."""
