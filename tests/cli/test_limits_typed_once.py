"""No limit of the library is typed a second time: neither as a number that something is compared
with nor in a text. model/noxwash.h has them, cli/words/limit_digits.h makes texts of them.

usage: test_limits_typed_once.py PROGRAM
"""
import glob
import os
import re
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
HEADER = ROOT + "/model/noxwash.h"

# limit in the header, unit in texts, words that tell it from others of the same number and unit
LIMITS = [
    ("NXW_HOT_DEGC", r" degC", r"above|passed|beyond"),
    ("NXW_NITROUS_MOST_MOL_L", r" mol/L", r"nitrous|beyond"),
    ("NXW_STRONG_ACID_WT_PCT", r" wt%", r"beyond|outside"),
    ("NXW_FULLEST_PCT", r" %", r"full|fill|spray"),
    ("NXW_PEROXIDE_MOST_WT_PCT", r" wt%", r"peroxide|above|at most|or less|hold at"),
    ("NXW_ACID_REGULATED_WT_PCT", r" wt%", r"above|regulated"),
]
IN_WORDS = re.compile(r"three quarters")
# other things of the same number, each with what sets it apart
OTHERS = [
    ("cli/after/blend_mix.c", "HOT_K 333.15"),          # what scalds
    ("cli/study/what_if.h", "NXW_CHANGE_PEROXIDE"),     # a change that is tried
    ("cli/study/uncertainty.c", "#define LITTLE"),      # a share of the variance
    ("cli/case/case_fields.c", '"bubble diameter"'),   # a bound of a key
]


def limits():
    text = open(HEADER).read()
    return {name: float(number) for name, number in
            re.findall(r"^#define (NXW_\w+_(?:DEGC|MOL_L|WT_PCT|PCT|MM)) (\d+)\b", text, re.M)}


def faults_in(path, text, value):
    """Lines of a source that type a limit."""
    numbers = {273.15 + value["NXW_HOT_DEGC"], 1e3 * value["NXW_NITROUS_MOST_MOL_L"],
               value["NXW_FULLEST_PCT"] / 100, value["NXW_PEROXIDE_MOST_WT_PCT"] / 100,
               value["NXW_ACID_REGULATED_WT_PCT"] / 100}
    out = []
    # a comment may show what is printed today
    text = re.sub(r"/\*.*?\*/", lambda m: "\n" * m.group().count("\n"), text, flags=re.S)
    for n, line in enumerate(text.splitlines(), 1):
        if any(path == p and mark in line for p, mark in OTHERS):
            continue
        strings = " ".join(re.findall(r'"((?:[^"\\]|\\.)*)"', line))
        code = re.sub(r'"(?:[^"\\]|\\.)*"', '""', line)
        told = strings.replace("%%", "%")
        for name, unit, words in LIMITS:
            shown = r"(?<![\d.])%g%s" % (value[name], re.escape(unit))
            if re.search(shown, told) and re.search(words, told, re.I):
                out.append("%s:%d: '%s' beside %s" % (path, n, told.strip(), name))
        if IN_WORDS.search(told):
            out.append("%s:%d: '%s'" % (path, n, told.strip()))
        compared = re.findall(r"(?:[<>]=? ?|fmin\(|fmax\(|#define \w+ )(\d+\.\d*(?:e-?\d+)?)", code)
        out += ["%s:%d: the number %s" % (path, n, c) for c in compared if float(c) in numbers]
        if re.search(r"depth\w* *< *1e-3", code):
            out.append("%s:%d: the depth of a tip" % (path, n))
    return out


def main():
    value = limits()
    assert len(value) == 8, value
    assert value["NXW_UNDER_MM"] == 1, "the depth of a tip is looked for as 1e-3"
    bad = []
    sources = glob.glob(ROOT + "/cli/*/*.[ch]") + [
        ROOT + "/model/%s.c" % name
        for name in ("run/watch", "run/account", "run/glass_watch", "account/blend")]
    assert len(sources) > 100
    for path in sorted(sources):
        bad += faults_in(os.path.relpath(path, ROOT), open(path).read(), value)
    hot, nitrous, full, strong, regulated = (value[n] for n in (
        "NXW_HOT_DEGC", "NXW_NITROUS_MOST_MOL_L", "NXW_FULLEST_PCT", "NXW_PEROXIDE_MOST_WT_PCT",
        "NXW_ACID_REGULATED_WT_PCT"))
    planted = ["x = T > %.2f;" % (273.15 + hot), "if (c > %.1f)" % (1e3 * nitrous),
               "y = full > %.2f;" % (full / 100), "#define MOST %.2f" % (strong / 100),
               "if (depth_m < 1e-3)", "w > %.2f" % (regulated / 100),
               '"above %g degC is beyond the range"' % hot,
               '"more than %g mol/L is beyond the data"' % nitrous,
               '"the bottle is three quarters full"', '"above %g %%%%, spray and foam"' % full,
               '"peroxide above %g wt%%%% can boil"' % strong,
               '"The acid is above %g wt%% HNO3"' % regulated]
    missed = [p for p in planted if not faults_in("planted.c", p, value)]
    print("\n".join(bad + ["planted and not found: " + p for p in missed]))
    sys.exit(1 if bad or missed else 0)


if __name__ == "__main__":
    main()
