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
    environment = {**os.environ, "PKG_CONFIG_PATH": os.path.dirname(one(place + "/**/noxwash.pc"))}
    flags = run("pkg-config", "--cflags", "--libs", "noxwash", env=environment).split()
    assert any(f.startswith("-I" + place) or place in os.path.realpath(f[2:]) for f in flags), flags
    for compiler in (["gcc", "-std=c11"], ["g++", "-std=c++11", "-x", "c++"]):
        source = compiler + STRICT + [os.path.join(HERE, "example.c")]
        source += ["-x", "none"] if "c++" in compiler else []
        run(*source, *flags, "-lm", "-o", "example")
        said = run("./example")
        assert re.fullmatch(r"noxwash \d+\.\d+\.\d+: fed 0\.0042\d\d mol, kept \d+\.\d %, "
                            r"escaped \d+\.\d %\n", said), said
    run("cmake", "-S", HERE, "-B", "consumer", "-DCMAKE_PREFIX_PATH=" + place)
    run("cmake", "--build", "consumer")
    assert run("consumer/example") == said


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
    assert "open nothing" in plain


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
        check_manual(program, one(folder + "/place/**/noxwash.1"))
        check_completion(program, one(folder + "/place/**/completions/noxwash"))
        check_package(BUILD)
        os.chdir("/")


main()
print("install: all good")
