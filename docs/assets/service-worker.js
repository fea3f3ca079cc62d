"use strict";
/* Serves the guide from this device. macros/offline.py puts a first line before this: self.guide, the build's version and
   its files in the order in which they are kept, each as [path, bytes, hash, ...].
     first   the emergency pages and the start page, with all they need
     rest    every other page, and what search needs
     large   the calculators' Python, what draws charts, PDFs, pictures: kept at their first use or on *Keep for offline*

   A file is kept under its hash, and only when its bytes have that hash. So nothing gets in of a sign-in page, of a server
   in the middle of an update or of another version; and what two versions share is fetched once.
   `current` is the list of the version that the reader has. A newer one waits, whole, until the reader says "use".
   Before a first version is whole the network answers, and what is kept only where it does not. */

const { version, first, rest, large } = self.guide;
const { scope } = self.registration;
const PAGES = `pages of ${scope}`;
const LARGE = `large files of ${scope}`;
const CURRENT = `${scope}current`;
const PATIENCE = 4000; // milliseconds a kept page waits for a weak signal

/** @param {string} url */
const path = (url) => decodeURIComponent(url.split(/[?#]/)[0]).slice(scope.length);
/** @param {GuideFile} file */
const key = ([name, , hash]) => `${scope}${name}?${hash}`;
/** @param {Guide} list */
const every = (list) => [...list.first, ...list.rest, ...list.large];
/** @param {GuideFile | undefined} file */
const kept = async (file) => (file ? caches.match(key(file)) : undefined);
/** @type {Set<Promise<void>>} */
const writing = new Set(); // files on their way into the cache
let full = false; // the browser has refused more room
/** @type {Guide | undefined} */
let now; // the list of the version in use

/** @returns {Promise<Guide | undefined>} */
async function current() {
  return (now ??= await (await caches.match(CURRENT))?.json());
}

async function setCurrent() {
  await (await caches.open(PAGES)).put(CURRENT, new Response(JSON.stringify(self.guide)));
  now = self.guide;
  await tidy();
}

/** @param {GuideFile[]} files */
async function missing(files) {
  const there = new Set();
  for (const name of [PAGES, LARGE]) {
    for (const { url } of await (await caches.open(name)).keys()) there.add(url);
  }
  return files.filter((file) => !there.has(key(file)));
}

// What neither this version nor the one in use needs.
async function tidy() {
  const needed = new Set([CURRENT, ...[self.guide, (await current()) ?? self.guide].flatMap(every).map(key)]);
  for (const name of [PAGES, LARGE]) {
    const store = await caches.open(name);
    for (const { url } of await store.keys()) if (!needed.has(url)) await store.delete(url);
  }
}

// Keeping -------------------------------------------------------------------------------------------

/** @param {GuideFile} file @param {ArrayBuffer} bytes */
async function fits([, , ...hashes], bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes), 0, 8);
  return hashes.includes([...digest].map((byte) => byte.toString(16).padStart(2, "0")).join(""));
}

/** @param {GuideFile} file @param {ArrayBuffer} bytes @param {string} type */
async function put(file, bytes, type) {
  try {
    const store = await caches.open(large.some(([name]) => name === file[0]) ? LARGE : PAGES);
    await store.put(key(file), new Response(bytes, { headers: { "Content-Type": type } }));
    full = false;
  } catch (wrong) {
    full = true;
    throw wrong;
  }
}

const typeOf = (/** @type {Response} */ response) => response.headers.get("Content-Type") ?? "";

/** @param {GuideFile} file */
async function keep(file) {
  for (const cache of /** @type {const} */ (["default", "reload"])) { // what the browser still has may be another version's
    const response = await fetch(`${scope}${file[0]}`, { cache });
    const bytes = await response.arrayBuffer();
    if (response.ok && (await fits(file, bytes))) return put(file, bytes, typeOf(response));
  }
  throw new Error(`${file[0]} is not of this version`);
}

/** @param {GuideFile[]} files */
async function keepAll(files) {
  const left = await missing(files);
  const inTurn = async () => {
    for (let file; (file = left.shift()); ) await keep(file);
  };
  await Promise.all([inTurn(), inTurn()]); // not more at once: a reader may be at work
}

/* A newer version is whole before it is offered, with those large files that the reader's own has here. */
async function install() {
  const old = await current();
  await keepAll(first);
  if (!old) return;
  const gone = new Set((await missing(old.large)).map(([name]) => name));
  const had = new Set(old.large.map(([name]) => name).filter((name) => !gone.has(name)));
  await keepAll(rest);
  await keepAll(large.filter(([name]) => had.has(name))).catch((wrong) => {
    if (!full) throw wrong; // without room for both versions' large files, the newer one's come again at their first use
  });
}

async function activate() {
  const used = await current();
  if (!used) await clients.claim();
  else if (used.version === version) await loadAnew();
  await tidy();
}

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(activate()));

// What pages say ------------------------------------------------------------------------------------

const loadAnew = async () => (await clients.matchAll({ type: "window" })).forEach((page) => page.postMessage("load anew"));

/** @type {Record<Ask["do"], (asked: Ask) => unknown>} */
const can = {
  look() {},

  async fill({ active }) {
    await keepAll([...first, ...rest]);
    if (active && !(await current())) await setCurrent();
  },

  async use({ active }) {
    await keepAll([...first, ...rest]);
    await setCurrent();
    if (active) await loadAnew();
    else await skipWaiting(); // and then activate() has the pages load anew
  },
};

async function state() {
  await Promise.allSettled(writing);
  const used = await current();
  const files = (used ?? self.guide).large;
  return {
    version,
    current: used?.version,
    whole: !(await missing([...first, ...rest])).length,
    missing: (await missing(files)).map(([name, bytes]) => [name, bytes]),
    bytes: files.reduce((sum, [, bytes]) => sum + bytes, 0),
    full,
  };
}

addEventListener("message", (event) => {
  /** @type {Ask} */
  const asked = event.data;
  const done = Promise.resolve(can[asked.do](asked)).catch(() => {}); // the state tells what is missing
  event.waitUntil(done.then(state).then((told) => event.ports[0].postMessage(told)));
});

// Answering -----------------------------------------------------------------------------------------

/* Some hosts leave `.html` out of an address, and a folder's address means its first page. */
/** @param {Guide} list @param {string} name */
function named(list, name) {
  const names = [name, `${name}.html`, `${name}index.html`];
  return every(list).find((file) => names.includes(file[0]));
}

/* Handed on as it comes; kept at its end. What turns out to be of another version than the page breaks off there. */
/** @param {FetchEvent} event @param {GuideFile} file @param {boolean} strict */
async function handedOn(event, file, strict) {
  const response = await fetch(new Request(event.request, { cache: "no-cache" }));
  if (response.status !== 200) return response;
  const type = typeOf(response);
  /** @type {BlobPart[]} */
  const chunks = [];
  /** @type {ArrayBuffer | undefined} */
  let bytes;
  const through = new TransformStream({
    transform(chunk, out) {
      chunks.push(chunk);
      out.enqueue(chunk);
    },
    async flush() {
      const all = await new Blob(chunks).arrayBuffer();
      if (await fits(file, all)) bytes = all;
      else if (strict) throw new TypeError(`${file[0]} is not of this version`);
    },
  });
  const save = async () => {
    await response.body?.pipeTo(through.writable);
    if (!bytes) return;
    const saved = put(file, bytes, type);
    writing.add(saved);
    await saved.finally(() => writing.delete(saved));
  };
  event.waitUntil(save().catch(() => {}));
  return new Response(through.readable, { headers: { "Content-Type": type } });
}

/* Before a version is whole: the network, unless it is silent for long. */
/** @param {Request} request @param {Response} copy */
async function networkFirst(request, copy) {
  /** @type {Promise<never>} */
  const silent = new Promise((_, give) => setTimeout(give, PATIENCE));
  const response = await Promise.race([fetch(request), silent]);
  return response.ok ? response : copy;
}

/** @param {FetchEvent} event */
async function answer(event) {
  const { request } = event;
  const used = await current();
  const file = named(used ?? self.guide, path(request.url));
  const copy = await kept(file);
  if (copy && used) return copy;
  try {
    if (copy) return await networkFirst(request, copy);
    return await (file ? handedOn(event, file, Boolean(used)) : fetch(request));
  } catch {
    return copy ?? without(request, file);
  }
}

/** @param {Request} request @param {GuideFile | undefined} file */
function without({ mode, destination }, file) {
  if (mode === "navigate" && file?.[0] !== "index.html") return Response.redirect(`${scope}index.html#not-kept`);
  const headers = { "Content-Type": "image/svg+xml" };
  if (destination === "image") return new Response('<svg xmlns="http://www.w3.org/2000/svg"/>', { headers });
  return Response.error();
}

addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && event.request.url.startsWith(scope)) event.respondWith(answer(event));
});
