"""Markdown prose: steps, pages, references in braces, and the place of every word."""
