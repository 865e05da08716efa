"""egg_box."""
