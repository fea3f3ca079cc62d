// node in_memory.mjs ROOT FILES ARGUMENT...: runs pytest in the Python of the built site's kept memory.
// FILES "with" puts the files of calculators back for tests that read them; "without" leaves Python as a page has it.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import zlib from "node:zlib";

const [root, files, ...told] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(path.join(root, "node_modules/pyodide/pyodide.mjs")));
const memory = zlib.gunzipSync(fs.readFileSync(path.join(root, "site/runtime/snapshot.bin.gz")));
const python = await loadPyodide({ _loadSnapshot: memory });
python.mountNodeFS("/project", root);
python.mountNodeFS("/packages", fs.realpathSync(path.join(root, ".venv/lib/python3.13/site-packages")));
python.globals.set("told", python.toPy(told));
python.globals.set("with_files", files === "with");
const code = python.runPython(`
import os, pathlib, shutil, sys
import calculators

sys.path[:0] = ["/project"]
sys.path.append("/packages")
sys.modules["numpy"] = None  # it is there, but compiled for another machine; what can do without it does
os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
os.chdir("/project")
home = pathlib.Path(calculators.__file__).parent
assert not home.exists(), "a restored Python has no files"
if with_files:
    shutil.copytree("/project/calculators", home)

import pytest

int(pytest.main(["--noconftest", "-p", "no:cacheprovider", "-p", "no:faulthandler", "--tb=short", *told]))
`);
process.exit(code);
