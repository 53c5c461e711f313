"""One page, one file: its layout and its thin callbacks."""
