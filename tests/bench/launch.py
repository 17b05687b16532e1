"""Runs a command and prints its exit status, seconds and peak MiB as JSON.

A process of its own: the peak that Linux tells of a child counts what its
parent had when it forked, so the parent has to be small.

    python -I -S launch.py OUT ERR COMMAND [ARGUMENT...]
"""

import os
import sys
import time

out, err = (os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC) for path in sys.argv[1:3])
null = os.open(os.devnull, os.O_RDONLY)
streams = [(os.POSIX_SPAWN_DUP2, fd, k) for k, fd in enumerate((null, out, err))]
start = time.perf_counter()
child = os.posix_spawn(sys.argv[3], sys.argv[3:], os.environ, file_actions=streams)
_, status, usage = os.wait4(child, 0)
wall = time.perf_counter() - start
code = os.waitstatus_to_exitcode(status)
# Linux counts the peak in KiB.
print(f'{{"code": {code}, "seconds": {wall:.6f}, "mebibytes": {usage.ru_maxrss / 1024:.1f}}}')
