"""`python -m ladderfe` does what `ladderfe` does."""

from ladderfe.cli import main

if __name__ == "__main__":
    main()
