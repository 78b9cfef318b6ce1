"""Is the steel enough? Tables of the residential code, a strip of wall, its capacity, and how bars are anchored."""
