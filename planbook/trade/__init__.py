"""Tables of the trade, each with its source, and the rules of measurement over them."""
