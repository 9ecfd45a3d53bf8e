"""Shared by the tests against other people's libraries: ask the program, keep the score."""
import subprocess
import sys


class Score:
    """Comparisons; each prints a line. Passes only what is near; NaN never is."""

    def __init__(self, ask):
        self.ask, self.count, self.bad, self.worst = ask, 0, 0, {}

    def answers(self, questions):
        done = subprocess.run([self.ask], input="".join(q + "\n" for q in questions), text=True,
                              stdout=subprocess.PIPE)
        rows = [[float(x) for x in line.split()] for line in done.stdout.splitlines()]
        if done.returncode != 0 or len(rows) != len(questions):
            sys.exit("asked %d questions, got %d answers" % (len(questions), len(rows)))
        return rows

    def relative(self, group, what, ours, theirs, tolerance):
        """What the program says within a share of what the judge says."""
        deviation = ours / theirs - 1
        good = abs(deviation) <= tolerance
        self.count += 1
        self.bad += not good
        if abs(deviation) >= abs(self.worst.get(group, (0,))[0]) or deviation != deviation:
            self.worst[group] = (deviation, what, tolerance)
        if not good:
            print("DIFFERS  %s, %s: ours %.9g, judge %.9g, by %.2e, allowed %.0e" % (
                group, what, ours, theirs, deviation, tolerance))

    def end(self, least):
        for group, (deviation, what, tolerance) in self.worst.items():
            print("%-34s worst %9.2e (%s), allowed %.0e" % (group, deviation, what, tolerance))
        print("%d comparisons, %d differ" % (self.count, self.bad))
        if self.count < least:
            print("too few: %d wanted" % least)
        sys.exit(1 if self.bad or self.count < least else 0)
