"""Papers: what leaves the house in print."""
