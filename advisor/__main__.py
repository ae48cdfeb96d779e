"""``python -m advisor`` is the command line."""

from advisor.cli import main

if __name__ == "__main__":
    main()
