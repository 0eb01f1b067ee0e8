"""Open formats that an issued revision is handed on in."""
