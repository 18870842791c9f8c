"""Draws, prints and serves the answers."""
