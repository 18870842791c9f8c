"""What data/ says: values with unit, spread, origin and source. Imports nothing above itself."""
