"""Arrests read on a thermocouple held against the melt that was meant: one question, several views."""
