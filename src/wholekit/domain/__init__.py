"""The trade itself: pure Python, standard library only; no file, clock or environment."""
