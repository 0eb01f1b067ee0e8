"""Answers as data: what `--json` prints and lists show, from offers, jobs and reports."""
