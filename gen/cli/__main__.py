"""``python -m gen.cli``."""

from gen.cli import main

main(prog_name="dressblock")
