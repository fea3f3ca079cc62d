"use strict";
// Served, the guide installs as an app and works without a signal. This starts the service worker (service-worker.js tells
// what it does), offers a newer version, and fills the part of a page that keeps the large files.
// From a folder, and where a browser refuses, none of it is there to see.
(() => {
  const workers = navigator.serviceWorker;
  if (!workers || !/^https?:$/.test(location.protocol)) return;
  const root = new URL("../", /** @type {HTMLScriptElement} */ (document.currentScript).src);
  const at = (/** @type {string} */ path) => new URL(path, root).href;
  const LATER = "diesel-handover-later"; // the version its reader wants no more word of in this tab
  const QUIET = 2000; // milliseconds after its load, and after its reader's last letter, in which a page is left alone
  const USED = /^(runtime\/(worker|pyodide\.|snapshot)|assets\/vega\/)/; // what a calculator has loaded once it is ready
  const megabytes = (/** @type {number} */ bytes) => (bytes / 1e6).toFixed(1);
  /** @type {ServiceWorkerRegistration} */
  let registration;
  let keeping = false;
  let typed = -Infinity; // when its reader last typed
  addEventListener("input", () => (typed = performance.now()), true);

  // Keeping files takes a share of the machine: not while a reader waits for an answer.
  async function handsRest() {
    for (let left; (left = typed + QUIET - performance.now()) > 0; ) await new Promise((resolve) => setTimeout(resolve, left));
  }

  // By script: a page in a folder would complain of it.
  document.head.append(Object.assign(document.createElement("link"), { rel: "manifest", href: at("assets/manifest.webmanifest") }));

  /** @param {ServiceWorker | null} worker @param {"look" | "fill" | "use"} what @returns {Promise<KeptFiles>} */
  function ask(worker, what) {
    return new Promise((resolve) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = ({ data }) => resolve(data);
      worker?.postMessage({ do: what, active: worker === registration.active }, [port2]);
    });
  }

  async function begin() {
    if (!workers.controller) await handsRest();
    registration = await workers.register(at("service-worker.js"));
    registration.addEventListener("updatefound", () => follow(registration.installing));
    follow(registration.installing);
    await workers.ready;
    if (!workers.controller) await new Promise((resolve) => workers.addEventListener("controllerchange", resolve, { once: true }));
    await look();
    dieselRuntime.watch(({ state }) => state === "ready" && keepUsed());
  }

  /** @type {(worker: ServiceWorker | null) => void} */
  const follow = (worker) => worker?.addEventListener("statechange", () => worker.state === "installed" && look());

  async function look() {
    const { active, waiting } = registration;
    if (!active) return;
    const ours = await ask(active, "fill");
    show(ours);
    const next = waiting && (await ask(waiting, "fill"));
    for (const { worker, told } of [{ worker: waiting, told: next }, { worker: active, told: ours }]) {
      if (told?.whole && told.current && told.current !== told.version) return offer(worker, told.version);
    }
  }

  // A newer version -----------------------------------------------------------------------------

  /** @param {ServiceWorker | null} worker @param {string} version */
  function offer(worker, version) {
    remove();
    if (later.get() === version) return;
    const bar = document.createElement("aside");
    bar.className = "newer md-typeset";
    bar.setAttribute("aria-label", "Newer guide");
    const [words, use, notNow] = [document.createElement("p"), button("btn solid", "Use it"), button("btn", "Later")];
    words.setAttribute("role", "status");
    bar.append(words, use, notNow);
    document.body.append(bar);
    covers.observe(bar);
    words.textContent = "A newer guide is ready.";
    use.onclick = async () => {
      use.disabled = true;
      const told = await ask(worker, "use");
      use.disabled = false;
      if (told.current !== version) words.textContent = "It is not whole. Try again when you have a signal.";
    };
    notNow.onclick = () => {
      later.set(version);
      remove();
    };
  }

  const button = (/** @type {string} */ className, /** @type {string} */ textContent) =>
    Object.assign(document.createElement("button"), { type: "button", className, textContent });

  function remove() {
    document.querySelector(".newer")?.remove();
  }

  // How much of the page's foot the bar covers; nothing once it is gone. A field in use is not left under it.
  const covers = new ResizeObserver(([{ target }]) => {
    document.documentElement.style.setProperty("--offer", `${/** @type {HTMLElement} */ (target).offsetHeight}px`);
    const used = document.activeElement;
    if (!used) return;
    const { top, bottom } = used.getBoundingClientRect();
    if (used !== document.body && top < innerHeight && bottom > 0) used.scrollIntoView({ block: "nearest" });
  });

  // Session storage may be forbidden: then it is offered on each page.
  const later = {
    get: () => { try { return sessionStorage.getItem(LATER); } catch { return null; } },
    set: (/** @type {string} */ version) => { try { sessionStorage.setItem(LATER, version); } catch { /* as above */ } },
  };

  function reload() {
    const used = document.activeElement;
    if (used instanceof HTMLElement) used.blur(); // what stands in a field not yet left is kept as on leaving it
    location.reload();
  }

  workers.addEventListener("message", reload); // its reader has taken the newer version, here or in another tab

  // Keep for offline ----------------------------------------------------------------------------

  /** @param {string} path @param {(bytes: number) => void} [loaded] */
  async function load(path, loaded = () => {}) {
    const parts = document.querySelector('meta[name="runtime-parts"]')?.content ?? "";
    const key = path.startsWith("runtime/") ? `?${parts.split(" ")[0]}` : "";
    const response = await fetch(at(path) + key); // the service worker keeps what it hands on
    if (!response.ok) throw new Error(path);
    const reader = response.body?.getReader();
    for (let part; (part = (await reader?.read())?.value); ) loaded(part.length);
  }

  async function keepUsed() {
    const { missing } = await ask(registration.active, "look");
    for (const [path] of missing.filter(([name]) => USED.test(name))) await handsRest().then(() => load(path)).catch(() => {});
  }

  /** @param {KeptFiles} told @param {string} [trouble] */
  function show({ missing, bytes, current }, trouble = "") {
    const part = document.querySelector("[data-offline]");
    if (!part || keeping) return;
    const left = missing.reduce((sum, [, size]) => sum + size, 0);
    const button = words.the("button", part);
    const done = Boolean(current) && !left;
    if (part.hidden && location.hash === "#not-kept") requestAnimationFrame(() => part.scrollIntoView());
    part.hidden = false;
    part.toggleAttribute("data-whole", done);
    words.the("progress", part).hidden = true;
    button.hidden = done;
    button.onclick = () => keep(part, button);
    const waits = trouble || `${megabytes(left)} MB, once.`;
    words.the("[data-state]", part).textContent = done ? `Kept: works without a signal. ${megabytes(bytes)} MB.` : waits;
  }

  /** @param {HTMLElement} part @param {HTMLButtonElement} button */
  async function keep(part, button) {
    const progress = words.the("progress", part);
    const line = words.the("[data-state]", part);
    keeping = true;
    button.hidden = true;
    progress.hidden = false;
    navigator.storage?.persist?.().catch(() => {}); // asks the browser not to clear it by itself
    let told = await ask(registration.active, "fill");
    let loaded = told.missing.reduce((left, [, size]) => left - size, told.bytes);
    const tell = (/** @type {number} */ more) => {
      loaded = Math.min(loaded + more, told.bytes);
      progress.value = loaded / told.bytes;
      line.textContent = `${megabytes(loaded)} of ${megabytes(told.bytes)} MB`;
    };
    tell(0);
    try {
      for (const [path] of told.missing) await load(path, tell);
    } catch { /* what is missing is told below */ }
    told = await ask(registration.active, "look");
    keeping = false;
    show(told, told.full ? "This browser gives no more room. Free some space on this device, then press again."
      : "The connection broke off. What has come stays here: press again when you have a signal.");
  }

  const start = () => begin().catch(() => {}); // a private window, for one: then there is nothing to keep it in
  addEventListener("load", () => setTimeout(start, workers.controller ? 0 : QUIET));
})();
