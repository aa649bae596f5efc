"""Pages, handouts and the writer: everything that ends up in the output folder."""
