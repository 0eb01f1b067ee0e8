"""Secrets: hashes of passwords, tokens, one-time codes; by kept libraries."""
