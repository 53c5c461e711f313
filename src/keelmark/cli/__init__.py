"""The `keelmark` command."""


def main() -> None:
    """Run the command line."""
