"""What a person keeps: named melts and runs with their readings, in one SQLite file of their own."""
