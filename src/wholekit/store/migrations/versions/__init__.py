"""One module for each version of the store, in the order of their numbers."""
