"""Answers as sentences and rows of a table, shared by page, paper and command line."""
