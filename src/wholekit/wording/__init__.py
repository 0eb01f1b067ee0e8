"""Everything a person reads: sentences for the domain's codes."""
