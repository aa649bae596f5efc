"""Layouts: which piece is cut from which stick or sheet, with a bound, and in which order at the saw."""
