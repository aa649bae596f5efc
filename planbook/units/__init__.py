"""Exact quantities: reading them as the trade writes them, and writing them as an edition wants."""
