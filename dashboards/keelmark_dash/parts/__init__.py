"""Pieces that pages are put together from."""
