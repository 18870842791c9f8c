"""Answers as plain dictionaries with the keys of the command line, one module an answer."""
