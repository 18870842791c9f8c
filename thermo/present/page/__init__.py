"""The page: its state, its callbacks, and one module a section."""
