"""The run sheet: what is printed and how it is laid out."""
