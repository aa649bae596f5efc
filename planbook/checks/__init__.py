"""Checks of a resolved plan: what can be computed wrong, doubtful or unsaid about it before it is published."""
