"""The released program is built to bear a fault: position-independent, stack protection, checked library
calls, relocations read-only; it names no shell and no function that starts one.

usage: test_hardening.py PROGRAM
"""
import os
import subprocess
import sys

PROGRAM = os.path.abspath(sys.argv[1])


def readelf(*words):
    return subprocess.run(["readelf", "-W", *words, PROGRAM], check=True, capture_output=True,
                          text=True).stdout


header, dynamic, segments = readelf("-h"), readelf("-d"), readelf("-l")
symbols = {line.split()[7].split("@")[0] for line in readelf("--dyn-syms").splitlines()
           if len(line.split()) >= 8}
assert len(symbols) > 50, symbols
assert "DYN (Position-Independent Executable file)" in header, header
assert "NOW" in dynamic and "PIE" in dynamic, dynamic
assert "GNU_RELRO" in segments, segments
stack = [line for line in segments.splitlines() if "GNU_STACK" in line]
assert len(stack) == 1 and " RW " in stack[0], stack
assert "__stack_chk_fail" in symbols
assert "__snprintf_chk" in symbols and "__fprintf_chk" in symbols
shells = {"system", "popen", "execl", "execlp", "execvp", "wordexp", "gets", "strcpy", "strcat", "sprintf",
          "tmpnam", "mktemp", "__strcpy_chk", "__strcat_chk", "__sprintf_chk"}
assert not shells & symbols, shells & symbols
assert "posix_spawnp" in symbols
print("ok")
