"""What every stage agrees on: tables, channels, errors and shared words."""
