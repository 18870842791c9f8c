"""One physical law a module: Gibbs energies, mixing, solids, densities, vapour pressures."""
