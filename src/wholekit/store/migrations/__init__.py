"""The store's versions, one module each under `versions`; a released one is never edited."""
