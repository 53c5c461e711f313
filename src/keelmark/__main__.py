"""Lets `python -m keelmark` do what the `keelmark` command does."""

from keelmark.cli import main

if __name__ == "__main__":
    main()
