#!/bin/sh
# The selftest command from outside: exit code, one line per check, JSON, no tree needed, time.
# usage: test_selftest_command.sh PROGRAM
set -u
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1") || exit 1
command=selftest
. "$(dirname "$0")/common.sh"
tree=$(cd "$(dirname "$0")/../.." && pwd) || exit 1
cd "$work" || exit 1

"$program" selftest >out 2>err || fail "selftest ended with $?"
# of the processor: other work on the machine must not fail the test; nor a build without optimisation
[ -n "${NXW_UNOPTIMISED:-}" ] ||
    /usr/bin/python3 - "$program" <<'PY' || fail "selftest took more than 2 s"
import resource, subprocess, sys
subprocess.run([sys.argv[1], "selftest"], stdout=subprocess.DEVNULL)
used = resource.getrusage(resource.RUSAGE_CHILDREN)
sys.exit(used.ru_utime + used.ru_stime > 2.0)
PY
[ ! -s err ] || fail "selftest wrote to standard error"
total=$(sed -n 's/^\([0-9]*\) checks: .*/\1/p' out)
lines=$(grep -c ' ours .* published .* difference .* allowed ' out)
[ "${total:-0}" -gt 1000 ] || fail "${total:-no} checks"
[ "$lines" -eq "${total:-0}" ] || fail "$lines lines for $total checks"
grep -q '^Known misses$' out || fail "the known misses have no section"
grep -qE ' 0 failed, [0-9]+ known misses, 0 known misses met, 0 unreadable$' out ||
    fail "the summary: $(tail -n 1 out)"
grep -qE '^[0-9]+ whole-bottle checks: [0-9]+ passed, 0 failed, [0-9]+ known misses, 0 .* 0 unreadable$' out ||
    fail "the whole bottles: $(tail -n 2 out)"
for word in nan inf safe; do
    ! grep -qiw -e "$word" out || fail "'$word' in the output"
done

"$program" selftest --json >json || fail "selftest --json ended with $?"
/usr/bin/python3 - "${total:-0}" <<'PY' || fail "the JSON"
import json, sys
d = json.load(open("json"))
assert d["schema"] == "noxwash-selftest-1" and d["good"] is True
assert d["checks"] == int(sys.argv[1]) == len(d["results"])
assert d["passed"] + d["known_misses"] == d["checks"]
for r in d["results"]:
    inside = r["allowed_low"] <= r["ours"] <= r["allowed_high"]
    assert inside == (r["verdict"] == "passed"), r
    assert r["source"] and r["reason"] and r["unit"], r
    assert inside or r["known_miss"], r
w = d["whole_bottles"]
assert w["checks"] == len(w["results"]) > 40 and w["passed"] + w["known_misses"] == w["checks"]
for r in w["results"]:
    inside = r["allowed_low"] <= r["ours"] <= r["allowed_high"]
    assert inside == (r["verdict"] == "passed"), r
    assert r["source"] and r["fact"] and r["unit"] and (inside or r["known_miss"]), r
PY

# what is said of the counts elsewhere is what is counted, by kind of knowledge
/usr/bin/python3 - "$tree" <<'PY' || fail "the counts by kind of knowledge"
import json, re, sys
d = json.load(open("json"))
kinds = ["published", "computed", "from memory", "common practice"]
figures, bottles = d["known"], d["whole_bottles"]["known"]
for counts, rows in ((figures, d["results"]), (bottles, d["whole_bottles"]["results"])):
    for k in kinds:
        assert counts[k] == sum(r["known"] == k for r in rows), k
total = [figures[k] + bottles[k] for k in kinds]
told = re.search(r"^how the (\d+) are known:\n" +
                 "".join(r" +(\d+) %s: .*\n" % k for k in kinds), open("out").read(), re.M)
assert told and [int(n) for n in told.groups()] == [sum(total)] + total, told
def said(path, pattern, want):
    text = " ".join(open(sys.argv[1] + path).read().split())
    found = re.search(pattern, text)
    assert found and [int(n) for n in found.groups()] == want, (path, found, want)
said("/README.md", r"against (\d+) values, (\d+) of them whole bottles .*?: (\d+) published, "
     r"(\d+) computed .*?, (\d+) from memory, (\d+) common practice",
     [sum(total), d["whole_bottles"]["checks"]] + total)
said("/notebooks/README.md", r"(\d+) values stand in the self-test .*?: (\d+) published, "
     r"(\d+) computed .*?, (\d+) from memory, (\d+) common practice. (\d+) are known misses",
     [d["checks"]] + [figures[k] for k in kinds] + [d["known_misses"]])
PY

"$program" selftest something >out 2>err
[ $? -eq 2 ] || fail "an operand is no usage error"
"$program" selftest >/dev/full 2>err
[ $? -eq 6 ] || fail "a full disk is not told"
exit "$failures"
