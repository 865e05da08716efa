"""Heat of the outer box."""
