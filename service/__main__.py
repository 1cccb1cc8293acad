"""Entry of the ``screenbatch`` command and of ``python -m service``."""

from __future__ import annotations

from service.cli import screenbatch


def main() -> None:
    """Run the command line."""
    screenbatch(prog_name="screenbatch")


if __name__ == "__main__":
    main()
