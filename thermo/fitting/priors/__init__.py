"""What is expected of a pair, a compound or a solid solution before anything was measured of it."""
