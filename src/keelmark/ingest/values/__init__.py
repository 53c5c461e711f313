"""From the text of a cell to a value, one kind of cell per file."""
