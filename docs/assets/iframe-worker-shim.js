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
