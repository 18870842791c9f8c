"""The published melts of three and more salts, taken up in one linear step after the pairs are fitted."""
