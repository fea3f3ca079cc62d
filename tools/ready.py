"""Make what a build needs, in this folder: Python packages, Node packages, Pango; for the tests a Chromium;
for the audit a Firefox and the checks from outside.

`make` runs it first. It keeps to what any Python 3 can read, so that an old one is told what it lacks
instead of failing on the grammar.
"""

import contextlib
import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NoReturn, TextIO

ROOT = Path(__file__).resolve().parent.parent
SCRATCH = ROOT / ".build"
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
NODE_PACKAGES = ROOT / "node_modules"

OLDEST = (3, 13)
PYTHON_NAMES = ("python3.13", "python3.14", "python3.15", "python3")
PANGO_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")
CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome")
HEADLESS_SHELL = "chromium-headless-shell"  # the program and Debian's package
FIREFOX_NAMES = ("firefox-esr", "firefox")
WEBKIT_DRIVER = "WebKitWebDriver"

# What only the audit needs is pinned beside its tests, so that a build doesn't fetch it. Its Python packages stand
# aside from the others: one of them is a pytest plugin, which pytest would load into every run.
OUTSIDE = ROOT / "tests" / "outside"
OUTSIDE_PYTHON = VENV / "outside"
SCRIPTS = ROOT / "tests" / "scripts"  # the same of what only the tests need to look at the pages' scripts
# The second lock's library is published as source only. What builds it is pinned by the first: nothing unpinned is fetched.
BUILT_ONLY, BUILD_HERE = ("--only-binary", ":all:"), ("--no-deps", "--no-build-isolation")
PYTHON_LOCKS = {"requirements.txt": BUILT_ONLY, "tests/reference/requirements.txt": BUILD_HERE}


def say(text: str) -> None:
    print(text, flush=True)


def stop(text: str) -> NoReturn:
    sys.exit("\nCan't go on. " + text)


@contextlib.contextmanager
def alone() -> "Iterator[None]":
    """Hold this folder: two builds at once would write over each other.

    The lock is handed down to the programs started meanwhile. If only this process is killed,
    the next make waits until they are gone too.
    """
    SCRATCH.mkdir(exist_ok=True)
    with open(str(SCRATCH / "lock"), "w") as lock:
        os.set_inheritable(lock.fileno(), True)
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("Another make is at work in this folder: waiting for it.")
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def run(*command: "str | Path", stdout: "int | TextIO | None" = None, stderr: "int | TextIO | None" = None,
        env: "dict[str, str] | None" = None) -> bool:
    """True if the command did its work. Its children keep the lock."""
    done = subprocess.run([str(word) for word in command], close_fds=False, cwd=str(ROOT), stdout=stdout, stderr=stderr, env=env)
    return done.returncode == 0


def key(folder: Path, *made_from: "str | Path") -> str:
    """What a folder is made from, and where it stands: scripts inside hold its path."""
    digest = hashlib.sha256(os.path.realpath(str(folder)).encode())
    for name in made_from:
        digest.update((ROOT / name).read_bytes())
    return digest.hexdigest()


def is_ready(folder: Path, wanted: str) -> bool:
    stamp = folder / "ready"
    return stamp.exists() and stamp.read_text() == wanted


# Python


def new_enough_python() -> None:
    """Go on under a Python that is new enough, or say how to get one."""
    if sys.version_info >= OLDEST:
        return
    test = "import sys; sys.exit(sys.version_info < {})".format(OLDEST)  # noqa: UP032
    for name in PYTHON_NAMES:
        path = shutil.which(name)
        if path and run(path, "-c", test, stderr=subprocess.DEVNULL):
            os.execv(path, [path, "-m", "tools.ready"] + sys.argv[1:])  # noqa: RUF005
    stop(
        f"Python 3.13 or newer is needed; {sys.executable} is {sys.version.split()[0]}.\n"
        "Get it from your system (`sudo apt-get install python3.13 python3.13-venv`, `brew install python@3.13`)\n"
        "or with pyenv (`pyenv install 3.13`). If it is not on the PATH, say where it is:\n"
        "    make PYTHON=/path/to/python3.13"
    )


def python_packages() -> None:
    wanted = key(VENV, *PYTHON_LOCKS)
    if is_ready(VENV, wanted) and PYTHON.exists():
        return
    if VENV.is_symlink():
        VENV.unlink()
        wanted = key(VENV, *PYTHON_LOCKS)
    say("Python packages into .venv: about a minute the first time.")
    if not run(sys.executable, "-m", "venv", "--clear", VENV):
        stop(
            "This Python can't make a virtual environment.\n"
            "Get its venv module: `sudo apt-get install python3.13-venv` (Debian, Ubuntu)."
        )
    for lock, how in PYTHON_LOCKS.items():
        pip_install(lock, *how)
    (VENV / "ready").write_text(wanted)


def pip_install(lock: str, *how: "str | Path") -> None:
    if not run(PYTHON, "-m", "pip", "install", "-qq", "--require-hashes", "-r", lock, *how):
        stop(f"pip could not install {lock}: its lines above say why. Then run make again.")


# Node


def node_packages(home: Path = ROOT) -> None:
    """What a folder's package-lock.json names, into its node_modules."""
    folder, lock = home / "node_modules", home / "package-lock.json"
    wanted = key(folder, lock, ".npmrc")
    if is_ready(folder, wanted):
        return
    if folder.is_symlink():
        folder.unlink()
        wanted = key(folder, lock, ".npmrc")
    where = folder.relative_to(ROOT)
    say(f"Node packages into {where}.")
    install = ("ci", "--prefix", str(home))
    if not run(VENV / "bin" / "npm", *install, "--silent", env=with_venv_first()):
        stop(f"npm could not install {lock.relative_to(ROOT)}: run `.venv/bin/npm {' '.join(install)}` to see why. Then run make again.")
    (folder / "ready").write_text(wanted)


def with_venv_first() -> "dict[str, str]":
    return dict(os.environ, PATH=f"{VENV / 'bin'}:{os.environ['PATH']}")


# System libraries


def system_packages(*names: str) -> None:
    """Install Debian packages where we may; else leave it to the message that follows."""
    if not shutil.which("apt-get"):
        return
    as_root = [] if os.geteuid() == 0 else ["sudo"] if sys.stdin.isatty() else ["sudo", "-n"]
    if as_root and not shutil.which("sudo"):
        return
    say("System packages: " + " ".join(names))
    install = ("env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "install", "-y", "--no-install-recommends")
    with open(str(SCRATCH / "apt.log"), "w") as log:
        if run(*as_root, "apt-get", "update", stdout=log, stderr=log):
            run(*as_root, *install, *names, stdout=log, stderr=log)


def pango() -> None:
    """The libraries that lay out the sheets. WeasyPrint itself is asked: it knows what it needs."""
    if not has_pango():
        system_packages(*PANGO_PACKAGES)
    if not has_pango():
        stop(
            "The sheets need the Pango libraries, and WeasyPrint can't load them.\n"
            f"Debian, Ubuntu: `sudo apt-get install {' '.join(PANGO_PACKAGES)}`\n"
            "Fedora: `sudo dnf install pango`. macOS: `brew install pango`."
        )


def has_pango() -> bool:
    return run(PYTHON, "-c", "import weasyprint", stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


# Chromium


def chromium() -> None:
    """An installed one, else the system's package, else Playwright's own."""
    if not find_chromium():
        system_packages("chromium")
    if not find_chromium():
        say("Chromium, by Playwright.")
        run(PYTHON, "-m", "playwright", "install", "chromium", stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    if not find_chromium():
        stop(
            "The tests need a Chromium, and none could be had.\n"
            "Debian: `sudo apt-get install chromium`. Elsewhere install one, and say where it is\n"
            "if it is not on the PATH: `CHROMIUM=/path/to/chromium make test`."
        )
    headless_shell()


def headless_shell() -> None:
    """Chromium without the window it never shows: pages open in half the time. Asked for once; without it tests only take longer."""
    asked = SCRATCH / "asked-for-headless-shell"
    if find_headless_shell() or os.environ.get("CHROMIUM") or asked.exists():
        return
    system_packages(HEADLESS_SHELL)
    asked.touch()


def find_headless_shell() -> "str | None":
    """The path of Debian's, or None; none either where somebody chose a Chromium."""
    return None if os.environ.get("CHROMIUM") else shutil.which(HEADLESS_SHELL)


def find_chromium() -> "str | None":
    """The path of a Chromium, or None."""
    for name in (os.environ.get("CHROMIUM"), *CHROMIUM_NAMES):
        path = name and shutil.which(name)
        if path:
            return path
    ask = "from playwright.sync_api import sync_playwright as s\nwith s() as p: print(p.chromium.executable_path)"
    own = subprocess.run([str(PYTHON), "-c", ask], stdout=subprocess.PIPE, check=True).stdout.decode().strip()
    return own if os.path.exists(own) else None


# The audit


def firefox() -> None:
    """An installed one, else the system's package. Playwright's own is another: it leaves out Firefox's rule for files."""
    if not find_firefox():
        system_packages("firefox-esr")
    if not find_firefox():
        stop(
            "The audit needs a Firefox, and none could be had.\n"
            "Debian: `sudo apt-get install firefox-esr`. Elsewhere install one, and say where it is\n"
            "if it is not on the PATH: `FIREFOX=/path/to/firefox make audit`."
        )


def find_firefox() -> "str | None":
    """The path of a Firefox, or None."""
    names = (os.environ.get("FIREFOX"), *FIREFOX_NAMES)
    return next((path for path in (name and shutil.which(name) for name in names) if path), None)


def webkit() -> None:
    """An installed one with a screen to run on, else the system's packages."""
    if not find_webkit() or not shutil.which("Xvfb"):
        system_packages("webkit2gtk-driver", "xvfb")
    if not find_webkit() or not shutil.which("Xvfb"):
        stop(
            "The audit needs a WebKit with its driver, and Xvfb, and they could not be had.\n"
            "Debian: `sudo apt-get install webkit2gtk-driver xvfb`. Elsewhere install them, and say where the driver is\n"
            "if it is not on the PATH: `WEBKIT=/path/to/WebKitWebDriver make audit`."
        )


def find_webkit() -> "str | None":
    """The path of a WebKit's driver, or None."""
    return shutil.which(os.environ.get("WEBKIT") or WEBKIT_DRIVER)


def nginx() -> None:
    """The server that HOSTING.md describes first."""
    if not find_nginx():
        system_packages("nginx-light")
    if not find_nginx():
        stop("The audit needs nginx, and it could not be had.\nDebian: `sudo apt-get install nginx-light`.")


def find_nginx() -> "str | None":
    """The path of nginx, or None; Debian keeps it where only root's PATH leads."""
    return shutil.which("nginx") or shutil.which("/usr/sbin/nginx")


def outside() -> None:
    """The packages that only the audit needs."""
    lock = str((OUTSIDE / "requirements.txt").relative_to(ROOT))
    wanted = key(OUTSIDE_PYTHON, lock)
    if not is_ready(OUTSIDE_PYTHON, wanted):
        say("Python packages for the audit into .venv/outside.")
        shutil.rmtree(str(OUTSIDE_PYTHON), ignore_errors=True)
        pip_install(lock, *BUILT_ONLY, "--target", OUTSIDE_PYTHON)
        (OUTSIDE_PYTHON / "ready").write_text(wanted)
    node_packages(OUTSIDE)


def scripts() -> None:
    """What looks at the pages' scripts."""
    node_packages(SCRIPTS)


def main() -> None:
    new_enough_python()
    with alone():
        python_packages()
        node_packages()
        for name in sys.argv[1:]:
            {"pango": pango, "chromium": chromium, "firefox": firefox, "webkit": webkit, "nginx": nginx,
             "outside": outside, "scripts": scripts}[name]()


if __name__ == "__main__":
    main()
