"""The commands of the command line, and their exit codes."""

from pathlib import Path

JOBS = Path("shared") / "jobs"
"""The shop's job folders, relative to the working directory."""

DONE = 0
FAULTS = 1  # the input has faults; all of them are on stderr
USAGE = 2  # argparse's own; also when an optional part is not installed
CANNOT_BE_PRESSED = 3  # the reason is on stdout
INTERRUPTED = 130  # 128 + SIGINT, as shells have it
PIPE_CLOSED = 141  # 128 + SIGPIPE
