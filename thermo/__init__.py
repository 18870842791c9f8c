"""Meltwright: which molten chloride or fluoride bath, at what temperature, and where the metal goes."""
