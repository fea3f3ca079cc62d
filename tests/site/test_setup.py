"""`make` says what is missing and how to get it, and leaves nothing half-built.

What is missing is really missing to the programs that look for it: an interpreter that reports an old
version, a Pango library that can't be loaded, a PATH without a Chromium.
"""

import hashlib
import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tools import build, ready

OLD_PYTHON = "import sys\nsys.version_info = (3, 11, 7, 'final', 0)\nsys.version = '3.11.7 (pretended)'\n"


def program(path: Path, script: str) -> Path:
    path.parent.mkdir(exist_ok=True)
    path.write_text("#!/bin/sh\n" + script)
    path.chmod(0o755)
    return path


@pytest.fixture
def programs(tmp_path: Path) -> Path:
    """A PATH with nothing but an apt-get that notes what it is asked for, and can't get it."""
    folder = tmp_path / "programs"
    program(folder / "apt-get", f'echo "$@" >> "{folder}/asked"\nexit 1\n')
    program(folder / "sudo", '[ "$1" = -n ] && shift\nexec "$@"\n')
    (folder / "env").symlink_to("/usr/bin/env")
    return folder


def get_ready(*names: str, python: Path = ready.PYTHON, **environment: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [python, "-m", "tools.ready", *names],
        cwd=ready.ROOT,
        env={name: str(value) for name, value in environment.items()},
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
    )


def test_an_old_python_is_told_which_it_needs_and_how_to_get_it(tmp_path: Path, programs: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(OLD_PYTHON)
    done = get_ready(PATH=programs, PYTHONPATH=tmp_path)
    assert done.returncode == 1
    assert "Python 3.13 or newer is needed" in done.stderr
    assert "is 3.11.7" in done.stderr
    assert "pyenv install 3.13" in done.stderr
    assert "make PYTHON=/path/to/python3.13" in done.stderr


def test_an_old_python_hands_over_to_a_newer_one_on_the_path(tmp_path: Path, programs: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(OLD_PYTHON)
    program(programs / "python3.13", f'unset PYTHONPATH\necho handed over\nexec "{sys.executable}" "$@"\n')
    done = get_ready(PATH=programs, PYTHONPATH=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "handed over" in done.stdout


@pytest.fixture
def broken_pango(tmp_path: Path) -> Path:
    """A library folder that comes first and holds a Pango that can't be loaded."""
    library = tmp_path / "lib" / "libpango-1.0.so.0"
    library.parent.mkdir()
    library.write_bytes(b"")
    return library


def test_without_pango_the_libraries_and_the_command_are_named(programs: Path, broken_pango: Path) -> None:
    done = get_ready("pango", PATH=programs, LD_LIBRARY_PATH=broken_pango.parent)
    assert done.returncode == 1
    assert "The sheets need the Pango libraries" in done.stderr
    assert f"sudo apt-get install {' '.join(ready.PANGO_PACKAGES)}" in done.stderr
    assert "brew install pango" in done.stderr


def test_without_pango_the_system_is_asked_for_it(programs: Path, broken_pango: Path) -> None:
    program(programs / "apt-get", f'echo "$@" >> "{programs}/asked"\n/bin/rm -f "{broken_pango}"\n')
    done = get_ready("pango", PATH=programs, LD_LIBRARY_PATH=broken_pango.parent)
    assert done.returncode == 0, done.stderr
    update, install = (programs / "asked").read_text().splitlines()
    assert update == "update"
    assert install.endswith(" ".join(ready.PANGO_PACKAGES))


def test_without_chromium_three_ways_are_tried_and_the_way_out_is_named(programs: Path, tmp_path: Path) -> None:
    nowhere = {"PLAYWRIGHT_BROWSERS_PATH": tmp_path, "PLAYWRIGHT_DOWNLOAD_HOST": "http://127.0.0.1:9"}
    done = get_ready("chromium", PATH=programs, **nowhere)
    assert done.returncode == 1
    assert "System packages: chromium" in done.stdout
    assert "Chromium, by Playwright" in done.stdout
    assert "The tests need a Chromium" in done.stderr
    assert "sudo apt-get install chromium" in done.stderr
    assert "CHROMIUM=/path/to/chromium make test" in done.stderr


def test_a_chromium_can_be_pointed_at(programs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    own = program(programs / "my browser", "exit 0\n")
    monkeypatch.setenv("CHROMIUM", str(own))
    assert ready.find_chromium() == str(own)


def test_a_chosen_chromium_is_the_only_one(programs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shell = program(programs / ready.HEADLESS_SHELL, "exit 0\n")
    monkeypatch.setenv("PATH", str(programs))
    monkeypatch.delenv("CHROMIUM", raising=False)
    assert ready.find_headless_shell() == str(shell)
    monkeypatch.setenv("CHROMIUM", str(program(programs / "my browser", "exit 0\n")))
    assert ready.find_headless_shell() is None


def test_the_faster_chromium_is_asked_for_once_and_not_missed(programs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program(programs / "chromium", "exit 0\n")
    monkeypatch.setenv("PATH", f"{programs}:/usr/bin:/bin")
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(ready, "SCRATCH", tmp_path)
    monkeypatch.setattr(ready, "find_headless_shell", lambda: None)
    ready.chromium()
    first = (programs / "asked").read_text()
    ready.chromium()
    assert first and (programs / "asked").read_text() == first


def test_without_firefox_the_system_is_asked_and_the_way_out_is_named(programs: Path) -> None:
    done = get_ready("firefox", PATH=programs)
    assert done.returncode == 1
    assert (programs / "asked").read_text().splitlines()[0] == "update"
    assert "System packages: firefox-esr" in done.stdout
    assert "The audit needs a Firefox" in done.stderr
    assert "sudo apt-get install firefox-esr" in done.stderr
    assert "FIREFOX=/path/to/firefox make audit" in done.stderr


def test_a_firefox_from_the_system_is_enough(programs: Path) -> None:
    program(programs / "apt-get", f'echo "#!/bin/sh" > "{programs}/firefox-esr"\n/bin/chmod +x "{programs}/firefox-esr"\n')
    done = get_ready("firefox", PATH=programs)
    assert done.returncode == 0, done.stderr


def test_a_failed_installation_is_not_taken_for_a_finished_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "venv"
    asked = []

    def pip_fails(*command: object, **_options: object) -> bool:
        asked.append([str(word) for word in command])
        folder.mkdir(exist_ok=True)
        return "pip" not in command

    monkeypatch.setattr(ready, "VENV", folder)
    monkeypatch.setattr(ready, "run", pip_fails)
    for _ in range(2):
        with pytest.raises(SystemExit, match=r"pip could not install requirements\.txt"):
            ready.python_packages()
    assert [words[2] for words in asked] == ["venv", "pip", "venv", "pip"]
    assert not (folder / "ready").exists()


def test_a_changed_lock_or_another_folder_installs_again(tmp_path: Path) -> None:
    folder = tmp_path / "installed"
    folder.mkdir()
    (folder / "ready").write_text(ready.key(folder, "requirements.txt"))
    assert ready.is_ready(folder, ready.key(folder, "requirements.txt"))
    assert not ready.is_ready(folder, ready.key(folder, "package-lock.json"))
    moved = folder.rename(tmp_path / "moved")
    assert not ready.is_ready(moved, ready.key(moved, "requirements.txt"))


@pytest.mark.parametrize("lock", [*ready.PYTHON_LOCKS, "tests/outside/requirements.txt"])
def test_every_python_package_is_pinned_by_hash_and_no_registry_is_named(lock: str) -> None:
    requirements = (ready.ROOT / lock).read_text()
    pinned = [line for line in requirements.splitlines() if line and line[0] not in " #"]
    assert pinned
    assert all("==" in line and line.endswith("\\") for line in pinned)
    assert "://" not in requirements


def test_what_builds_a_source_package_is_pinned_too() -> None:
    assert re.search(r"^setuptools==", (ready.ROOT / "requirements.txt").read_text(), re.MULTILINE)


@pytest.mark.parametrize("home", [ready.ROOT, ready.OUTSIDE], ids=["site", "audit"])
def test_every_node_package_is_pinned_by_hash_and_no_registry_is_named(home: Path) -> None:
    node_lock = (home / "package-lock.json").read_text()
    assert '"resolved"' not in node_lock
    assert node_lock.count('"integrity"') == node_lock.count('"node_modules/')
    assert "registry=" not in (home / ".npmrc").read_text()
    asked = json.loads((home / "package.json").read_text())
    named = asked.get("dependencies", {}) | asked.get("devDependencies", {})
    assert named
    assert all(re.fullmatch(r"\d+\.\d+\.\d+", version) for version in named.values()), named


def test_what_both_locks_pin_is_the_same() -> None:
    """The audit's packages come last on the path: an older or newer twin would never be the one that is loaded."""

    def pins(home: Path) -> dict[str, str]:
        return dict(re.findall(r"^([\w.-]+)==([\w.]+)", (home / "requirements.txt").read_text(), re.MULTILINE))

    site, audit = pins(ready.ROOT), pins(ready.OUTSIDE)
    assert {name for name in site.keys() & audit.keys() if site[name] != audit[name]} == set()


@pytest.fixture
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> dict[str, Path]:
    """The site and the folders beside it, each with one page that says what it is."""
    made = {}
    for name in ("SITE", "OLD", "NEW"):
        made[name] = tmp_path / name
        made[name].mkdir()
        (made[name] / "index.html").write_text(name)
        monkeypatch.setattr(build, name, made[name])
    monkeypatch.setattr(build, "KEY", tmp_path / "KEY")
    return made


def page(folder: Path) -> str:
    return (folder / "index.html").read_text()


def test_a_new_site_takes_the_old_ones_place(folders: dict[str, Path]) -> None:
    build.settle()
    folders["NEW"].mkdir()
    (folders["NEW"] / "index.html").write_text("newer")
    build.swap("key")
    assert page(folders["SITE"]) == "newer"
    assert build.KEY.read_text() == "key"
    assert not folders["OLD"].exists()
    assert not folders["NEW"].exists()


def test_killed_between_the_two_renames_the_old_site_is_put_back(folders: dict[str, Path]) -> None:
    build.settle()
    folders["SITE"].rename(folders["OLD"])
    build.settle()
    assert page(folders["SITE"]) == "SITE"


def test_killed_after_the_renames_the_new_site_stays(folders: dict[str, Path]) -> None:
    build.settle()
    assert page(folders["SITE"]) == "SITE"
    assert not folders["OLD"].exists()
    assert not folders["NEW"].exists()


def bytes_of(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def wait_for(path: Path, seconds: float = 120) -> None:
    end = time.monotonic() + seconds
    while not path.exists():
        assert time.monotonic() < end, f"{path.name} did not come"
        time.sleep(0.05)


@pytest.mark.slow
def test_a_killed_build_leaves_the_old_site_whole(copy: Path, environment: dict[str, str]) -> None:
    old = {"index.html": hashlib.sha256(b"the old site").hexdigest()}
    (copy / "site").mkdir()
    (copy / "site" / "index.html").write_text("the old site")

    killed = subprocess.Popen(["make", "site"], cwd=copy, env=environment, start_new_session=True)
    wait_for(copy / ".build" / "site-new" / "index.html")
    os.killpg(killed.pid, signal.SIGKILL)
    assert killed.wait() == -signal.SIGKILL
    assert bytes_of(copy / "site") == old

    subprocess.run(["make", "site"], cwd=copy, env=environment, check=True)
    assert bytes_of(copy / "site") != old
    assert not (copy / ".build" / "site-new").exists()

    again = subprocess.run(["make", "site"], cwd=copy, env=environment, check=True, capture_output=True, text=True)
    assert again.stdout == "The site is up to date: site/index.html\n"
