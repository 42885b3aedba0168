# Runs a command whose stdout is a pipe that nobody reads. Exit status: the command's, as a shell says it.
# usage: python3 closed_pipe.py COMMAND...
import os
import subprocess
import sys

unread, stdout = os.pipe()
os.close(unread)
status = subprocess.run(sys.argv[1:], stdout=stdout).returncode  # it gets back SIGPIPE, which python ignores
sys.exit(128 - status if status < 0 else status)
