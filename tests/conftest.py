"""What holds for all tests."""

import gc

gc.set_threshold(100_000, 50, 100)  # looking for rings took a tenth of the time of all tests
