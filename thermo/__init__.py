"""Meltwright: which molten chloride or fluoride bath, at what temperature, and where the metal goes."""

__version__ = "0.9.0"
