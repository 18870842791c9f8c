"""One run of a cell from the bottles to the stored metal, as an ordered plan."""
