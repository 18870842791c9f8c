"""Draws, prints and serves the answers: figures, texts, commands and the page's parts."""
