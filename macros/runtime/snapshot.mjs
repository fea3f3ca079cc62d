// node snapshot.mjs PYODIDE CALCULATORS OUT: starts Python, runs warm.py in it and writes its memory to OUT.
// The same files give the same bytes, so everything that Python could learn of this machine is frozen first.
import crypto from "node:crypto";
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [pyodide, calculators, out] = process.argv.slice(2);

function freezeChance() {
  let state = 1;
  const fill = (view) => {
    const bytes = new Uint8Array(view.buffer, view.byteOffset, view.byteLength);
    for (let i = 0; i < bytes.length; i++) {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      bytes[i] = state >>> 16;
    }
    return view;
  };
  crypto.randomFillSync = fill;
  globalThis.crypto.getRandomValues = fill;
  syncBuiltinESMExports(); // Pyodide takes chance from node:crypto
}

function freezeTime() {
  const now = Number(process.env.SOURCE_DATE_EPOCH) * 1000;
  const RealDate = Date;
  globalThis.Date = class extends RealDate {
    constructor(...told) {
      super(...(told.length ? told : [now]));
    }
    static now() {
      return now;
    }
  };
  performance.now = () => 1000;
}

function copyInto(FS, from, to) {
  FS.mkdirTree(to);
  for (const entry of fs.readdirSync(from, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))) {
    const [source, target] = [path.join(from, entry.name), `${to}/${entry.name}`];
    if (entry.name === "__pycache__") continue;
    if (entry.isDirectory()) copyInto(FS, source, target);
    else FS.writeFile(target, fs.readFileSync(source));
  }
}

freezeChance();
freezeTime();
const { loadPyodide } = await import(pathToFileURL(path.join(pyodide, "pyodide.mjs")));
const python = await loadPyodide({
  _makeSnapshot: true,
  _sysExecutable: "/usr/bin/python3", // else the working directory gets in
  env: { PYTHONHASHSEED: "0", LANG: "C.UTF-8", _: "/usr/bin/python3" }, // else the machine's language gets in
});
copyInto(python.FS, calculators, `${python.runPython("import sysconfig; sysconfig.get_path('purelib')")}/calculators`);
try {
  python.runPython(fs.readFileSync(path.join(import.meta.dirname, "warm.py"), "utf8"), { filename: "warm.py" });
} catch (wrong) {
  console.error(wrong.message.trim()); // Python's own traceback; Node would print a screenful of Pyodide's source first
  process.exit(1);
}
fs.writeFileSync(out, python.makeMemorySnapshot());
process.exit(0); // Python's own timers would keep Node waiting
