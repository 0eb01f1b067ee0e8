"""Door openings in; complete, priced hardware kits, quotes and pick lists out."""

__version__ = "0.1.0"
