"""One function per business action, over the domain; ports as protocols."""
