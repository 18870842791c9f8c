"""Solves the laws together: fits interactions, finds liquidus, invariants and freezing path."""
