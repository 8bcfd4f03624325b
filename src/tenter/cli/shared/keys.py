"""Single keys from the terminal, or lines where there is no terminal."""

import sys

_END = "\x04"  # Ctrl-D, which a terminal that hands over single keys no longer turns into an end of input


def read_key() -> str:
    """Return the next key pressed; the next line's first word when standard input is no terminal; "" at its end."""
    if not sys.stdin.isatty():
        line = sys.stdin.readline()
        return line.strip() or ("" if line == "" else " ")
    import termios
    import tty

    descriptor = sys.stdin.fileno()
    before = termios.tcgetattr(descriptor)
    try:
        tty.setcbreak(descriptor)
        key = sys.stdin.read(1)
    finally:
        termios.tcsetattr(descriptor, termios.TCSADRAIN, before)
    return "" if key == _END else key


def read_line(prompt: str) -> str:
    """Return a line of text, stripped."""
    sys.stderr.write(prompt)
    sys.stderr.flush()
    return sys.stdin.readline().strip()
