"""Cases per second of a sweep on one thread and on more, and the most memory held.

usage: bench_sweep.py PROGRAM [CASES [coarse]]; prints, asserts nothing. coarse: a tenth of the work in
each case, for the memory that many rows take. Wall-clock times: on a machine that
others use too they say little; processor seconds per case are given beside them.
"""
import os
import subprocess
import sys
import tempfile
import time

program = os.path.abspath(sys.argv[1])
count = int(sys.argv[2]) if len(sys.argv) > 2 else 60
coarse = sys.argv[3:] == ["coarse"]
case = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params", "cases",
                    "still.yaml")


def children_s():
    times = os.times()
    return times.children_user + times.children_system


def once(threads, out):
    used_before_s, started = children_s(), time.monotonic()
    process = subprocess.Popen(
        [program, "sweep", os.path.abspath(case), "--vary", "train[1].liquid=100:200 mL", "--vary",
         "source.decomposed=10:50 %", "--sample", str(count), "--threads", str(threads), "--quiet",
         "--out", out], stdout=subprocess.DEVNULL)
    peak_kB = 0
    while process.poll() is None:
        with open("/proc/%d/status" % process.pid) as status:
            peak_kB = max([peak_kB] + [int(line.split()[1]) for line in status
                                       if line.startswith("VmHWM:")])
        time.sleep(0.01)
    seconds = time.monotonic() - started
    return count / seconds, (children_s() - used_before_s) / count, peak_kB / 1024.0


with tempfile.TemporaryDirectory() as folder:
    alone = None
    if coarse:
        with open(case) as one:
            text = one.read()
        case = os.path.join(folder, "still.yaml")
        with open(case, "w") as other:
            other.write(text.rstrip() + "\nafter: {standing: 0 min}\nnumerics: {relative tolerance: "
                        "1e-3, slices: 2, isothermal: yes}\n")
    for threads in (1, 2):
        rate, used_s, peak_MB = once(threads, os.path.join(folder, "%d.sqlite" % threads))
        alone = alone or rate
        print("%d thread%s %6.1f cases/s  efficiency %3.0f %%  %5.1f ms of processor per case  "
              "%.1f MB" % (threads, "s" if threads > 1 else " ", rate, 100 * rate / threads / alone,
                           1e3 * used_s, peak_MB))
