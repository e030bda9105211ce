"""What holds for every test."""

import os

# the tests run side by side, a process to a core: threads of the linear algebra would only get in
# one another's way. Set before numpy is loaded; the workers inherit it
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
