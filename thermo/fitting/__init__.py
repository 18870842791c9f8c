"""Coefficients from published measurements: one pipeline that writes everything in data/fitted."""
