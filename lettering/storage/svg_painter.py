"""Paints one drawing: SVG on standard input, PNG on standard output; a process of its own, see `svg_art`.

It gives itself bounds first, so that a drawing made to take all memory or time takes this process only.
"""

import sys

MOST_BYTES = 3_000_000_000
"""Memory of the process: a dozen layers of a spread at 300 ppi."""


def main() -> None:
    """Paint what comes in as high, px, and in as many seconds of processor time, as the command says."""
    height, seconds = map(int, sys.argv[1:])
    try:
        import resource  # noqa: PLC0415  not every system has it

        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    except ImportError:
        pass
    import resvg_py  # noqa: PLC0415  within the bounds

    png = resvg_py.svg_to_bytes(
        svg_string=sys.stdin.buffer.read().decode("utf-8"),
        background="#ffffff",
        skip_system_fonts=True,
        dpi=96,  # a px of CSS, by which lengths in mm are known
        height=height,
    )
    sys.stdout.buffer.write(bytes(png))


if __name__ == "__main__":
    main()
