"""Mathematics that several topics share."""
