"""Faults and bad input, tried on purpose: each ends in a refusal that can be acted on, or is taken as it should be."""
