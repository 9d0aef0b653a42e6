"""``python -m gen`` is the command ``dressblock``."""

from gen.cli import main

if __name__ == "__main__":
    main(prog_name="dressblock")
