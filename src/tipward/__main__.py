"""The command ``tipward``."""

from tipward.cli import main

if __name__ == "__main__":
    main()
