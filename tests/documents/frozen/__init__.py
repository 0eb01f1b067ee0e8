"""Snapshots as programs before this one wrote them, byte for byte."""

from pathlib import Path

# Format 1, from before a discount's reason, the floor and translations were kept.
FORMAT_1 = (Path(__file__).parent / "format-1.json").read_text(encoding="utf-8").rstrip("\n")
FORMAT_1_DIGEST = "38c7fa81b674f3df4637ec391906a5055b1ffcc4a8258ebe081dec0c39a7802c"

# Format 2, the first of an offer and the house's own.
FORMAT_2 = (Path(__file__).parent / "format-2.json").read_text(encoding="utf-8").rstrip("\n")
FORMAT_2_DIGEST = "2a4ebe6cee8981feb48ece434273cc003c4d78748985c3bc2b4375c8033c8146"
