"use strict";
/* The calculators' Python, away from the page. runtime.js starts this and sends, in this order:
     {start: {memory, plain, base, key}}   how to start; memory: the bytes of the kept memory, plain: without it
     {parts: {module, heap}}               the compiled runtime and the kept memory, when they have arrived
     {id, request}                         a question as JSON text; the answer goes back as {id, reply}
   and hears {ready: true}, {failed: reason} or {id, reply}.
   Opened from a folder this text stands in one blob with Pyodide's scripts before it.
   macros/runtime/build.py puts a first line before it: self.bareLock, a lock file without packages. */

if (typeof loadPyodide === "undefined") {
  // pyodide.asm.js first: pyodide.js then has no need to fetch it
  importScripts(`pyodide.asm.js${self.location.search}`, `pyodide.js${self.location.search}`);
}

/** @type {(parts: Parts) => void} */
let deliver;
/** @type {Promise<Parts>} */
const parts = new Promise((resolve) => (deliver = resolve));
/** @type {Promise<Calculate>} */
let ready;
let warmed = false;

self.onmessage = (/** @type {MessageEvent<Asked>} */ { data }) => {
  if (data.start) ready = begin(data.start);
  else if (data.parts) deliver(data.parts);
  else answer(data);
};

/** @param {HowToStart} how @returns {Promise<Calculate>} */
async function begin(how) {
  try {
    const python = await (how.plain ? plain(how) : restored(how));
    const call = python.pyimport("calculators").call;
    self.postMessage({ ready: true });
    return call;
  } catch (wrong) {
    failed(wrong);
    return () => { throw wrong; };
  }
}

/** @param {Question} question */
async function answer({ id, request }) {
  try {
    const call = await ready;
    self.postMessage({ id, reply: call(request) });
    if (!warmed && request.startsWith('{"do":"answer"')) warm(call, request, 12);
  } catch (wrong) {
    self.postMessage({ id, failed: String(wrong) });
  }
}

/* The browser compiles Python's own code only while it is at work: the first question is asked a few times more, between
   the reader's next ones, and those are answered a few times faster. It rests as long as it works: a reader's question
   seldom waits for it, and what compiles has a processor too. */
/** @param {Calculate} call @param {string} request @param {number} times */
function warm(call, request, times) {
  warmed = true;
  const began = performance.now();
  call(request);
  if (times > 1) setTimeout(warm, performance.now() - began, call, request, times - 1);
}

/** @param {unknown} wrong */
function failed(wrong) {
  self.postMessage({ failed: String(wrong) });
}

/* A Python that was started, and had imported the calculators, when the site was built. */
/** @param {HowToStart} how */
function restored({ memory }) {
  const heap = new Uint8Array(memory); // filled when the parts are here: much of the start needs its size only
  takeParts(heap);
  return loadPyodide({
    indexURL: "https://not-asked.invalid/", // takeParts answers in its place
    lockFileContents: self.bareLock,
    _loadSnapshot: heap,
  });
}

/* The ordinary way: start Python from its library, then install the wheel of the calculators. */
/** @param {HowToStart} how */
async function plain({ base, key }) {
  takeParts();
  const lock = await (await fetch(`${base}pyodide-lock.json?${key}`)).json();
  return loadPyodide({
    indexURL: base,
    packageBaseUrl: base,
    stdLibURL: `${base}python_stdlib.zip?${key}`,
    lockFileContents: lock,
    packages: Object.keys(lock.packages),
    messageCallback: () => {}, // else it tells the console of each package
  });
}

/* Pyodide would load the runtime itself, and wait forever where that fails: the page does it instead. */
/** @param {Uint8Array} [heap] */
function takeParts(heap) {
  const realFetch = self.fetch;
  const ours = heap ? /pyodide\.asm\.wasm$|python_stdlib\.zip$/ : /pyodide\.asm\.wasm$/;
  const isOurs = (/** @type {RequestInfo | URL} */ what) => ours.test(what instanceof Request ? what.url : String(what));
  self.fetch = (what, how) => (isOurs(what) ? Promise.resolve(new Response("")) : realFetch(what, how));
  WebAssembly.instantiateStreaming = async (_response, imports = {}) => {
    try {
      const { module, heap: kept } = await parts;
      if (!heap) return { module, instance: await WebAssembly.instantiate(module, imports) };
      if (kept?.byteLength !== heap.length) throw new Error("the kept memory is not of this version");
      heap.set(new Uint8Array(kept));
      return { module, instance: await fitting(module, imports, heap) };
    } catch (wrong) {
      failed(wrong); // Pyodide itself only warns, and then hangs
      throw wrong;
    }
  };
}

/* The kept memory names functions by their places in a table that Pyodide fills as it starts, and all browsers have to fill
   it alike. In WebKit a function that is exported and stands in the table already is two, and would get a second place: so
   each export is the one that the table has under its number. On an iPhone Pyodide goes without what counts a call's
   arguments: so the kept memory is told where that is here, or that it is not. */
/**
 * @param {WebAssembly.Module} module
 * @param {WebAssembly.Imports} imports
 * @param {Uint8Array} heap
 * @returns {Promise<WebAssembly.Instance>}
 */
async function fitting(module, imports, heap) {
  const env = /** @type {Environment} */ (/** @type {unknown} */ (imports.env));
  const begin = env._PyEM_InitTrampoline_js;
  env._PyEM_InitTrampoline_js = () => {
    begin();
    /** @type {(name: string) => number} */
    const address = (name) => /** @type {WebAssembly.Global} */ (instance.exports[name]).value + env.__memory_base.value;
    const [here, kept] = [env.memory.buffer, heap.buffer].map((bytes) => new DataView(bytes));
    const counter = address("_PyRuntime") + here.getInt32(address("_PyEM_EMSCRIPTEN_COUNT_ARGS_OFFSET"), true);
    const start = kept.getUint32(4, true); // what stands before it in a snapshot tells how long that is
    kept.setInt32(start + counter, here.getInt32(counter, true), true);
  };
  const instance = await WebAssembly.instantiate(module, imports);
  const table = env.__indirect_function_table;
  const placed = Array.from({ length: table.length }, (_, place) => table.get(place)).filter(Boolean);
  const numbered = new Map(placed.map((one) => [one.name, one])); // the name of a function of WebAssembly is its number
  /** @type {(one: [string, WebAssembly.ExportValue]) => [string, unknown]} */
  const exported = ([name, one]) => [name, (typeof one === "function" && numbered.get(one.name)) || one];
  return { exports: /** @type {WebAssembly.Exports} */ (Object.fromEntries(Object.entries(instance.exports).map(exported))) };
}
