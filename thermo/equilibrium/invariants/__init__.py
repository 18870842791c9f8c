"""Eutectics, peritectics, minima, compounds of pairs and the lowest melt of several salts."""
