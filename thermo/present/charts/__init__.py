"""Diagrams and charts: their data, their labels and their drawing."""
