"""Questions, and the commented plan or profile that comes of the answers."""
