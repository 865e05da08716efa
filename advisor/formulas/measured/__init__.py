"""What measurements tell, and how they join a forecast."""
