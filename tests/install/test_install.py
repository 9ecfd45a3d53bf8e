"""What is installed works from elsewhere: library in C and C++, man page, completion, package.

usage: test_install.py BUILD_FOLDER
"""
import glob
import os
import re
import shutil
import subprocess
import sys
import tempfile

BUILD = os.path.abspath(sys.argv[1])
HERE = os.path.dirname(os.path.abspath(__file__))
STRICT = ["-Wall", "-Wextra", "-Wpedantic", "-Werror"]


def run(*words, **more):
    more = {"capture_output": True, "text": True, "timeout": 300, **more}
    done = subprocess.run(words, **more)
    assert done.returncode == 0, (words, done.returncode, done.stdout[-500:], done.stderr[-1500:])
    return done.stdout


def one(pattern):
    found = glob.glob(pattern, recursive=True)
    assert len(found) == 1, (pattern, found)
    return found[0]


def check_library(place):
    with open(os.path.join(HERE, "example.c")) as f:
        assert len(f.readlines()) <= 30, "the example is to be read at one sight"
    environment = {**os.environ, "PKG_CONFIG_PATH": os.path.dirname(one(place + "/**/noxwash.pc"))}
    flags = run("pkg-config", "--cflags", "--libs", "noxwash", env=environment).split()
    assert any(f.startswith("-I" + place) or place in os.path.realpath(f[2:]) for f in flags), flags
    for compiler in (["gcc", "-std=c11"], ["g++", "-std=c++11", "-x", "c++"]):
        source = compiler + STRICT + [os.path.join(HERE, "example.c")]
        source += ["-x", "none"] if "c++" in compiler else []
        run(*source, *flags, "-lm", "-o", "example")
        said = run("./example")
        assert re.fullmatch(r"noxwash \d+\.\d+\.\d+: fed 0\.00420\d mol, kept \d+\.\d %; "
                            r"before that: cancelled\n", said), said
    run("cmake", "-S", HERE, "-B", "consumer", "-DCMAKE_PREFIX_PATH=" + place)
    run("cmake", "--build", "consumer")
    assert run("consumer/example") == said


def check_symbols(place):
    """What the library gives to others, and what the header declares, carries the prefix."""
    library = one(place + "/**/libnoxwash.a")
    given = [line.split() for line in run("nm", "-g", "--defined-only", library).splitlines()]
    given = {words[2] for words in given if len(words) == 3}
    assert len(given) > 50 and not [s for s in given if not s.startswith("nxw_")], given
    headers = glob.glob(place + "/include/noxwash/*.h")
    declared = set()
    for header in headers:
        with open(header) as f:
            text = re.sub(r"/\*.*?\*/", "", f.read(), flags=re.S)
        for name in re.findall(r"^\s*#define\s+(\w+)", text, re.M):
            assert name.startswith(("NXW_", "NOXWASH_")), name
        for name in re.findall(r"\b(?:struct|enum)\s+(\w+)\s*\{", text):
            assert name.startswith("nxw_"), name
        declared |= set(re.findall(r"^(?!typedef)[a-z][\w \*]*?\b(\w+)\s*\([^;{]*\)\s*;", text, re.M))
    assert len(declared) > 25 and declared <= given, (len(declared), declared - given)


def names(program, command):
    return re.findall(r"^  (--[A-Za-z0-9-]+)", run(program, command, "--help"), re.M)


def commands(program):
    text = run(program, "--help").split("A first run")[0]
    return [w for w in re.findall(r"^  ([a-z]+) ", text, re.M) if w != "noxwash"]


def check_manual(program, page):
    warned = subprocess.run(["groff", "-man", "-ww", "-z", page], capture_output=True)
    assert warned.returncode == 0 and warned.stderr == b"", warned.stderr
    plain = run("groff", "-man", "-Tascii", "-P-cbou", "-rLL=500n", page)
    parts = re.split(r"^   noxwash (\S+).*$", plain, flags=re.M)
    section = dict(zip(parts[1::2], parts[2::2]))
    assert list(section) == commands(program), section.keys()
    for command in section:
        shown = re.findall(r"^ +(--[A-Za-z0-9-]+)", section[command], re.M)
        assert shown == names(program, command), (command, shown)
        whole = " ".join(section[command].split())
        for line in run(program, command, "--help").splitlines():
            if line.startswith("  --"):  # name, argument and meaning
                assert " ".join(line.split()) in whole, (command, line)
    for code in ("70 internal fault", "130 interrupted"):
        assert code in plain
    assert "If fumes break through" in " ".join(plain.split())


def complete(script, *words):
    line = " ".join("'%s'" % w for w in words)
    shell = ("source '%s'; COMP_WORDS=(%s); COMP_CWORD=%d; _noxwash; printf '%%s\\n' "
             '"${COMPREPLY[@]}"' % (script, line, len(words) - 1))
    return [w for w in run("bash", "--norc", "-c", shell).split("\n") if w]


def check_completion(program, script):
    assert complete(script, "noxwash", "") == commands(program) + ["--help", "--version"]
    for command in commands(program):
        assert complete(script, "noxwash", command, "--") == names(program, command), command
    with open("my case.yaml", "w"):
        pass
    assert complete(script, "noxwash", "estimate", "my") == ["my case.yaml"]
    assert complete(script, "noxwash", "report", "x.yaml", "--out", "my") == ["my case.yaml"]
    assert complete(script, "noxwash", "size", "x.yaml", "--capture", "my") == []
    assert complete(script, "noxwash", "new", "my") == []


def check_package(build):
    run("cpack", "--config", build + "/CPackConfig.cmake", "-B", os.path.abspath("deb"))
    package = one("deb/*.deb")
    listed = run("dpkg-deb", "--contents", package)
    for name in ("./usr/bin/noxwash\n", "/libnoxwash.a\n", "./usr/include/noxwash/noxwash.h\n",
                 "./usr/share/man/man1/noxwash.1", "bash-completion/completions/noxwash\n"):
        assert name in listed, (name, listed)
    depends = run("dpkg-deb", "--field", package, "Depends")
    for library in ("libc6", "libyaml", "libjansson", "libsqlite3", "libsundials-cvodes"):
        assert library in depends, depends
    check_removal(os.path.abspath(package))


def check_removal(package):
    """Put into an empty root and taken out again, nothing is left; what it needs is not looked at."""
    root = os.path.abspath("root")
    for name in ("updates", "info"):
        os.makedirs(root + "/var/lib/dpkg/" + name)
    for name in ("status", "available"):
        open(root + "/var/lib/dpkg/" + name, "w").close()
    dpkg = ["dpkg", "--root=" + root, "--force-not-root", "--force-depends",
            "--force-script-chrootless", "--log=/dev/null"]
    run(*dpkg, "--install", package)
    said = run(root + "/usr/bin/noxwash", "--version")
    assert said.startswith("noxwash "), said
    run(root + "/usr/bin/noxwash", "estimate", "--quick",
        one(root + "/usr/share/doc/noxwash/cases/still.yaml"))
    run(*dpkg, "--purge", "noxwash")
    left = [os.path.join(d, f) for d, _, files in os.walk(root) for f in files]
    assert not [f for f in left if not f.startswith(root + "/var/lib/dpkg/")], left
    assert not os.path.exists(root + "/usr/share/doc/noxwash"), os.listdir(root + "/usr/share/doc")


def main():
    with tempfile.TemporaryDirectory() as folder:
        folder = os.path.realpath(folder)
        os.chdir(folder)
        run("cmake", "--install", BUILD, "--prefix", folder + "/first")
        shutil.move(folder + "/first", folder + "/place")  # nothing may know where it was
        program = folder + "/place/bin/noxwash"
        assert "kept as nitric acid" in run(
            program, "estimate", "--quick", one(folder + "/place/**/cases/still.yaml"))
        check_library(folder + "/place")
        check_symbols(folder + "/place")
        check_manual(program, one(folder + "/place/**/noxwash.1"))
        check_completion(program, one(folder + "/place/**/completions/noxwash"))
        check_package(BUILD)
        os.chdir("/")


main()
print("install: all good")
