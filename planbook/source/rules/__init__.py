"""What every finding means, for `planbook why`: one entry for each slug, by family."""
