"""What holds for all tests."""

import gc
import os
import signal
import sys

gc.set_threshold(100_000, 50, 100)  # looking for rings took a tenth of the time of all tests
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # started in a shell's background
    signal.signal(signal.SIGINT, signal.default_int_handler)  # Ctrl-C reaches what tests start

sys.dont_write_bytecode = False  # rewriting every assertion anew took 6 s of each worker
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # what is started reads the program as bytecode too
