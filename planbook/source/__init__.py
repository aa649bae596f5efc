"""What authors write, read with the place of every word: YAML, formulas, places, Markdown prose."""
