"""Lets `python -m advisor` run the command."""

from advisor.cli import main

if __name__ == "__main__":
    main()
