"""Charts: a table goes in, a plotly figure comes out."""
