"""The command line and a copy of the demo shop, as the tests of the commands have them."""

from cli.conftest import command, shop

__all__ = ["command", "shop"]
