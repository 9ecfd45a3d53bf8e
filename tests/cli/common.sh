# Shared by the tests of the commands, which name 'program' and 'command' before they read it. Gives
# the folders of the shipped cases and runs, an empty folder to work in, and ways to ask and to judge.
cases=$(cd "$(dirname "$0")/../../params/cases" && pwd) || exit 1
runs=$(cd "$(dirname "$0")/../../params" && pwd) || exit 1
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
failures=0

fail() {
    echo "FAIL: $*" >&2
    failures=$((failures + 1))
}

# run CODE ARGUMENTS...
run() {
    wanted=$1
    shift
    "$program" "$command" "$@" >out 2>err
    got=$?
    [ "$got" -eq "$wanted" ] || fail "'$*' ended with $got, not $wanted: $(head -c 300 err)"
}

# refuse CODE MESSAGE ARGUMENTS...: exactly this one line, nothing on standard output
refuse() {
    code=$1
    message=$2
    shift 2
    run "$code" "$@"
    [ ! -s out ] || fail "'$*' printed something in spite of its fault"
    [ "$(cat err)" = "noxwash: $message" ] || fail "'$*' said: $(cat err)"
}

has() {
    tr -s ' \n' '  ' <out | grep -qF -e "$1" || fail "not in the output: $1"
}

hasnt() {
    ! tr -s ' \n' '  ' <out | grep -qF -e "$1" || fail "in the output: $1"
}
