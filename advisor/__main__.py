"""The program: `advisor`, and `python -m advisor`."""

import atexit
import gc


def main() -> None:
    """Runs one command. It lives too short for its garbage to matter, so little is looked for while it runs and none when it ends."""
    gc.set_threshold(100_000)
    atexit.register(gc.freeze)
    from advisor.cli import main as command

    command()


if __name__ == "__main__":
    main()
