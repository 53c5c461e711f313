"""Words of days and months, and the rules for clashes, as data."""
