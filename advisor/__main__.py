"""Entry point: `advisor` and `python -m advisor`."""

import sys


def main() -> int:
    """Run the command line; returns the exit code."""
    from advisor.shells.cli import run

    return run(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
