"use strict";
/* Opened from a folder, browsers refuse `new Worker("file:…")`, which the theme's search wants. There a
   hidden frame with the same script takes the worker's place; what goes in and out is copied, as a
   worker would get it. Workers made of a blob are left alone.
   The name holds "iframe-worker", so that the theme's offline plugin names no shim of another host. */
if (location.protocol === "file:") {
  const RealWorker = self.Worker;

  class FrameWorker extends EventTarget {
    constructor(address) {
      super();
      this.addEventListener("message", (event) => this.onmessage?.(event));
      this.frame = document.createElement("iframe");
      this.frame.hidden = true;
      this.frame.title = "Search, at work";
      this.inside = new Promise((resolve) => this.frame.addEventListener("load", () => resolve(this.begin(address)), { once: true }));
      document.body.append(this.frame);
    }

    begin(address) {
      const inside = this.frame.contentWindow;
      inside.postMessage = (data) => this.dispatchEvent(new MessageEvent("message", { data: structuredClone(data) }));
      const script = inside.document.createElement("script");
      script.src = address;
      const loaded = new Promise((resolve) => script.addEventListener("load", () => resolve(inside)));
      inside.document.head.append(script);
      return loaded;
    }

    async postMessage(data) {
      const inside = await this.inside;
      inside.dispatchEvent(new inside.MessageEvent("message", { data: structuredClone(data) }));
    }

    terminate() {
      this.frame.remove();
    }
  }

  self.Worker = function Worker(address, options) {
    return String(address).startsWith("blob:") ? new RealWorker(address, options) : new FrameWorker(address);
  };
}

/* The theme asks for its index, and makes the worker that searches it, when a page opens. Most readers never search: on a slow line
   they would wait for half a megabyte. Here both wait for the search field: the request, and with it the worker's first message. */
if (location.protocol !== "file:") {
  const RealWorker = self.Worker;
  const { send, open } = XMLHttpRequest.prototype;
  const INDEX = /\bsearch\/search_index\.json$/;
  const searching = new Promise((resolve) => {
    const field = (event) => event.target.closest?.(".md-search, [for=__search]") && resolve();
    for (const way of ["focusin", "click"]) addEventListener(way, field, true);
    if (new URLSearchParams(location.search).has("q")) resolve();
    addEventListener("DOMContentLoaded", () => document.activeElement?.closest(".md-search") && resolve());
  });

  XMLHttpRequest.prototype.open = function (method, address, ...rest) {
    this.waits = INDEX.test(address);
    return open.call(this, method, address, ...rest);
  };
  XMLHttpRequest.prototype.send = function (...body) {
    if (this.waits) searching.then(() => send.apply(this, body));
    else send.apply(this, body);
  };

  class LateWorker extends EventTarget {
    constructor(address) {
      super();
      this.address = address;
    }

    postMessage(data) {
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
    tell(event) {
      this[`on${event.type}`]?.(event);
      this.dispatchEvent(event);
    }

    terminate() {
      this.worker?.terminate();
    }
  }

  self.Worker = function Worker(address, options) {
    return /\bjavascripts\/workers\/search\./.test(address) ? new LateWorker(address) : new RealWorker(address, options);
  };
}

/* The theme hears keys only: words that are pasted or spoken come as input without one. */
addEventListener("input", (event) => {
  if (event.target.matches?.(".md-search__input")) event.target.dispatchEvent(new KeyboardEvent("keyup", { bubbles: true }));
}, true);
