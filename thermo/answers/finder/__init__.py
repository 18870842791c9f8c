"""Which melt would do? A search over mixes of the salts at hand, the smallest addition that helps, and the atlas."""

from thermo.answers.finder.found import FoundMelt, width_K
from thermo.answers.finder.search import Search, ahead_V, find_melts
from thermo.answers.finder.wish import MOST_IN_LIST, MOST_SALTS, Wish

__all__ = ["MOST_IN_LIST", "MOST_SALTS", "FoundMelt", "Search", "Wish", "ahead_V", "find_melts", "width_K"]
