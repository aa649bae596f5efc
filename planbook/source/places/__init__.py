"""Places: the phrases by which parts, cuts and holes are placed, in words of a person before the piece."""
