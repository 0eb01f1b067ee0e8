"""Runs the command line as `python -m wholekit`."""

from wholekit.cli.app import main

main()
