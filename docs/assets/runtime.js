"use strict";
/* The calculators in this page: starts their Python in a worker and carries questions to it.

     dieselRuntime.start()        promise; resolves when it can compute. Calling it again costs nothing, and
                                  after a failure tries anew
     dieselRuntime.call(request)  promise of the reply to one request of calculators.call; starts if need be
     dieselRuntime.state          asleep, starting, slow (an ordinary start is under way), ready or failed
     dieselRuntime.message        a sentence for the reader, or ""
     dieselRuntime.share          0 to 1: how much has been loaded
     dieselRuntime.bytes          how much a first start loads; 0 where that is not known
     dieselRuntime.watch(f)       f(dieselRuntime) now and at every change; returns what ends it

   Served, the parts are fetched. A page in a folder may not read files, so there the same parts come as
   one classic script, engine.js, and the worker is made of the texts in it. */

const dieselRuntime = (() => {
  const PATIENCE = 30_000; // milliseconds without a sign of life
  const base = new URL("../runtime/", /** @type {HTMLScriptElement} */ (document.currentScript).src).href;
  const served = /^https?:$/.test(location.protocol);

  /** @type {Set<Watcher>} */
  const watchers = new Set();
  /** @type {Map<number, { resolve(reply: never): void, reject(wrong: Error): void }>} */
  const waiting = new Map();
  let asked = 0;
  /** @type {Worker | null} */
  let worker = null;
  /** @type {Promise<void> | null} */
  let starting = null;

  /** @type {Runtime} */
  const runtime = { state: "asleep", message: "", share: 0, bytes: 0, start, call, watch };

  /** @param {Watcher} listener */
  function watch(listener) {
    watchers.add(listener);
    listener(runtime);
    return () => watchers.delete(listener);
  }

  /** @param {Partial<Runtime>} change */
  function tell(change) {
    Object.assign(runtime, change);
    for (const listener of watchers) listener(runtime);
  }

  function start() {
    return (starting ??= begin().catch((wrong) => {
      stop(wrong);
      throw wrong;
    }));
  }

  async function begin() {
    tell({ state: "starting", message: "", share: 0 });
    try {
      await attempt(false);
    } catch (wrong) {
      if (!served || /** @type {Unable} */ (wrong).final) throw wrong;
      discard();
      tell({
        state: "slow",
        share: 0,
        message: "The quick start did not work here. The calculators are starting the slower, ordinary way.",
      });
      await attempt(true);
    }
    tell({ state: "ready", share: 1, message: "" });
  }

  /** @param {Error} wrong */
  function stop(wrong) {
    discard();
    starting = null;
    for (const { reject } of waiting.values()) reject(wrong);
    waiting.clear();
    tell({ state: "failed", message: wrong.message });
  }

  function discard() {
    worker?.terminate();
    worker = null;
  }

  /** @template {keyof Replies} D @param {Question<D>} request @returns {Promise<Replies[D]>} */
  async function call(request) {
    await start();
    return new Promise((resolve, reject) => {
      const id = ++asked;
      const late = setTimeout(() => stop(new Error("The calculators did not answer. Try again.")), PATIENCE);
      /** @type {<A extends unknown[]>(settle: (...value: A) => void) => (...value: A) => void} */
      const settled = (settle) => (...value) => {
        clearTimeout(late);
        settle(...value);
      };
      waiting.set(id, { resolve: settled(resolve), reject: settled(reject) });
      /** @type {Worker} */ (worker).postMessage({ id, request: JSON.stringify(request) });
    });
  }

  /** @param {Replied} message */
  function replied({ id, reply, failed }) {
    // The calculators tell every fault in a reply. What still fails has broken Python itself: the next call starts anew.
    if (failed) return stop(unable("broke down over this and were stopped. Try again"));
    const asker = waiting.get(id);
    waiting.delete(id);
    asker?.resolve(/** @type {never} */ (JSON.parse(reply)));
  }

  // One start, by the kept memory or plain; whatever goes wrong, it ends.
  /** @param {boolean} plain @returns {Promise<void>} */
  function attempt(plain) {
    return new Promise((resolve, reject) => {
      /** @type {number | undefined} */
      let timer;
      let over = false;
      /** @type {<A extends unknown[]>(settle: (...value: A) => void) => (...value: A) => void} */
      const end = (settle) => (...value) => {
        over = true;
        clearTimeout(timer);
        settle(...value);
      };
      const fail = end(reject);
      const alive = () => {
        clearTimeout(timer);
        const late = () => fail(unable("did not start within {} seconds", { final: true, hole: String(PATIENCE / 1000) }));
        if (!over) timer = setTimeout(late, PATIENCE);
      };
      alive();
      run(plain, { alive, fail, done: end(() => resolve()) }).catch((wrong) => fail(wrong.told ? wrong : damaged()));
    });
  }

  /** @param {boolean} plain @param {Hear} hear */
  async function run(plain, hear) {
    if (!self.WebAssembly || !self.DecompressionStream) {
      throw unable("need a newer browser than this one", { final: true });
    }
    const source = served ? fetchedParts(plain, hear.alive) : await folderParts();
    const mine = (worker = source.worker); // a second attempt has another
    listen(mine, hear);
    mine.postMessage({ start: { memory: source.memory, plain, base, key: source.key } });
    const [module, heap] = await Promise.all([source.module, source.heap]);
    hear.alive();
    mine.postMessage({ parts: { module, heap } }, heap ? [heap] : []);
  }

  /** @param {Worker} worker @param {Hear} hear */
  function listen(worker, { alive, fail, done }) {
    worker.onmessage = (/** @type {MessageEvent<FromWorker>} */ { data }) => {
      alive();
      if (data.id !== undefined) replied(data);
      else if (data.ready) done();
      else fail(damaged());
    };
    worker.onerror = (event) => {
      event.preventDefault();
      if (runtime.state === "ready") stop(damaged());
      else fail(damaged());
    };
  }

  // What the browser says of it is for its makers.
  const damaged = () => unable("could not start: a file of theirs is missing or damaged. Load the page anew, or copy the folder again");

  // An error, whose words are told apart from what stands in their hole, so that a page can say them in two languages.
  /** @param {string} what @param {{ final?: boolean, hole?: string }} [why] @returns {Unable} */
  function unable(what, { final = false, hole = "" } = {}) {
    const words = `The calculators ${what}.`;
    return Object.assign(new Error(words.replace("{}", () => hole)), { final, told: /** @type {Unable["told"]} */ ([words, hole]) });
  }

  // ---- served ----

  /** @param {boolean} plain @param {() => void} alive @returns {Parts} */
  function fetchedParts(plain, alive) {
    // Written into every page by macros/finish.py: "KEY WASM SNAPSHOT MEMORY", the last three in bytes.
    const meta = document.querySelector('meta[name="runtime-parts"]');
    if (!meta) throw unable("are not told what to load");
    const [key, ...sizes] = meta.content.split(" ");
    const [wasm, snapshot, memory] = sizes.map(Number);
    let loaded = 0;
    tell({ bytes: wasm + (plain ? 0 : snapshot) });
    const count = (/** @type {number} */ bytes) => {
      loaded += bytes;
      alive();
      tell({ share: Math.min(1, loaded / (wasm + (plain ? 0 : snapshot))) });
    };
    return {
      key,
      memory,
      // The key in each address keeps a browser from mixing the parts of two versions of the site.
      module: fetched(`pyodide.asm.wasm?${key}`, count).then((bytes) => WebAssembly.compile(bytes)),
      heap: plain ? null : fetched(`snapshot.bin.gz?${key}`, count).then(unpackedIfPacked),
      worker: new Worker(`${base}worker.js?${key}`),
    };
  }

  /** @param {string} name @param {(bytes: number) => void} count */
  async function fetched(name, count) {
    const response = await fetch(base + name).catch(() => null);
    if (!response?.ok) {
      const file = name.replace(/\?.*/, "");
      const final = file.endsWith(".wasm"); // no start without it; without the kept memory there is the plain one
      throw unable("could not be loaded: {} is missing. Check the connection, then try again", { final, hole: file });
    }
    /** @type {TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>} */
    const counted = new TransformStream({
      transform(chunk, next) {
        count(chunk.length);
        next.enqueue(chunk);
      },
    });
    return new Response(response.body?.pipeThrough(counted)).arrayBuffer();
  }

  // Some servers name the gzip of a .gz file as its encoding, and the browser has then unpacked it already.
  /** @param {ArrayBuffer} bytes */
  function unpackedIfPacked(bytes) {
    const [first, second] = new Uint8Array(bytes, 0, 2);
    return first === 0x1f && second === 0x8b ? unpacked(bytes) : bytes;
  }

  // ---- from a folder ----

  /** @returns {Promise<Parts>} */
  async function folderParts() {
    const engine = await loadedEngine();
    const scripts = unpacked(bytesOf(engine.scripts));
    const module = unpacked(bytesOf(engine.wasm)).then((bytes) => WebAssembly.compile(bytes));
    const heap = unpacked(bytesOf(engine.snapshot));
    const address = URL.createObjectURL(new Blob([await scripts], { type: "text/javascript" }));
    const worker = new Worker(address);
    worker.addEventListener("message", () => URL.revokeObjectURL(address), { once: true });
    return { memory: engine.size, module, heap, worker };
  }

  /** @returns {Promise<Engine>} */
  function loadedEngine() {
    return new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = `${base}engine.js`;
      script.onload = () => {
        resolve(/** @type {Engine} */ (self.dieselEngine));
        delete self.dieselEngine; // eleven megabytes of text that nobody needs twice
        script.remove();
      };
      script.onerror = () => reject(unable("could not be loaded: runtime/engine.js is missing. Copy the whole folder again"));
      document.head.append(script);
    });
  }

  /** @param {string} text @returns {Uint8Array<ArrayBuffer>} */
  function bytesOf(text) {
    return Uint8Array.fromBase64?.(text) ?? Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  }

  /** @param {BlobPart} bytes */
  function unpacked(bytes) {
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
  }

  return runtime;
})();
