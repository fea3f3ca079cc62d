"use strict";
/* Opened from a folder, browsers refuse `new Worker("file:…")`, which the theme's search wants. There a
   hidden frame with the same script takes the worker's place; what goes in and out is copied, as a
   worker would get it. Workers made of a blob are left alone.
   The name holds "iframe-worker", so that the theme's offline plugin names no shim of another host. */
if (location.protocol === "file:") {
  const RealWorker = self.Worker;

  class FrameWorker extends EventTarget {
    /** @type {((event: Event) => void) | undefined} */
    onmessage;

    constructor(/** @type {string | URL} */ address) {
      super();
      this.addEventListener("message", (event) => this.onmessage?.(event));
      this.frame = document.createElement("iframe");
      this.frame.hidden = true;
      this.frame.title = "Search, at work";
      /** @type {Promise<Window & typeof globalThis>} */
      this.inside = new Promise((resolve) => this.frame.addEventListener("load", () => resolve(this.begin(address)), { once: true }));
      document.body.append(this.frame);
    }

    begin(/** @type {string | URL} */ address) {
      const inside = /** @type {Window & typeof globalThis} */ (this.frame.contentWindow);
      /** @type {(data: unknown) => void} */
      inside.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data: structuredClone(data) }));
      const script = inside.document.createElement("script");
      script.src = String(address);
      /** @type {Promise<typeof inside>} */
      const loaded = new Promise((resolve) => script.addEventListener("load", () => resolve(inside)));
      inside.document.head.append(script);
      return loaded;
    }

    async postMessage(/** @type {unknown} */ data) {
      const inside = await this.inside;
      inside.dispatchEvent(new inside.MessageEvent("message", { data: structuredClone(data) }));
    }

    terminate() {
      this.frame.remove();
    }
  }

  /** @type {MakesWorker} */
  const make = function Worker(address, options) {
    return String(address).startsWith("blob:") ? new RealWorker(address, options) : new FrameWorker(address);
  };
  self.Worker = /** @type {typeof Worker} */ (/** @type {unknown} */ (make));
}

/* The theme asks for its index, and makes the worker that searches it, when a page opens. Most readers never search: on a slow line
   they would wait for half a megabyte. Here both wait for the search field: the request, and with it the worker's first message. */
if (location.protocol !== "file:") {
  const RealWorker = self.Worker;
  const { send, open } = XMLHttpRequest.prototype;
  const INDEX = /\bsearch\/search_index\.json$/;
  /** @type {Promise<void>} */
  const searching = new Promise((resolve) => {
    const field = (/** @type {Event} */ { target }) => /** @type {Element} */ (target).closest?.(".md-search, [for=__search]") && resolve();
    for (const way of ["focusin", "click"]) addEventListener(way, field, true);
    if (new URLSearchParams(location.search).has("q")) resolve();
    addEventListener("DOMContentLoaded", () => document.activeElement?.closest(".md-search") && resolve());
  });

  /** @type {(this: LateRequest, method: string, address: string | URL, ...rest: unknown[]) => void} */
  XMLHttpRequest.prototype.open = function (method, address, ...rest) {
    this.waits = INDEX.test(String(address));
    return open.apply(this, /** @type {Parameters<typeof open>} */ ([method, address, ...rest]));
  };
  /** @type {(this: LateRequest, ...body: Parameters<typeof send>) => void} */
  XMLHttpRequest.prototype.send = function (...body) {
    if (this.waits) searching.then(() => send.apply(this, body));
    else send.apply(this, body);
  };

  class LateWorker extends EventTarget {
    /** @type {((event: Event) => void) | undefined} */
    onmessage;
    /** @type {((event: Event) => void) | undefined} */
    onerror;
    /** @type {Worker | undefined} */
    worker;

    constructor(/** @type {string | URL} */ address) {
      super();
      this.address = address;
    }

    postMessage(/** @type {unknown} */ data) {
      this.worker ??= this.begin();
      this.worker.postMessage(data);
    }

    begin() {
      const worker = new RealWorker(this.address);
      worker.onmessage = ({ data }) => this.tell(new MessageEvent("message", { data }));
      worker.onerror = ({ message }) => this.tell(new ErrorEvent("error", { message }));
      return worker;
    }

    // Today's theme adds a listener, its successor sets a property.
    tell(/** @type {Event} */ event) {
      (event.type === "error" ? this.onerror : this.onmessage)?.(event);
      this.dispatchEvent(event);
    }

    terminate() {
      this.worker?.terminate();
    }
  }

  /** @type {MakesWorker} */
  const make = function Worker(address, options) {
    return /\bjavascripts\/workers\/search\./.test(String(address)) ? new LateWorker(address) : new RealWorker(address, options);
  };
  self.Worker = /** @type {typeof Worker} */ (/** @type {unknown} */ (make));
}

/* The theme hears keys only: words that are pasted or spoken come as input without one. */
addEventListener("input", (event) => {
  const { target } = event;
  if (target instanceof Element && target.matches(".md-search__input")) target.dispatchEvent(new KeyboardEvent("keyup", { bubbles: true }));
}, true);
