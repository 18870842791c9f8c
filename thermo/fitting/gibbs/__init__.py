"""Gibbs energies of salts, elements and reactants fitted to published tables."""
