"""Solvers: what the domain asks for by a port, answered by libraries."""
