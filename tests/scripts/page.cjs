"use strict";
// A page with no more than the pages' scripts ask for as they load: their pure parts are tried in it without a browser.
const { readFileSync } = require("node:fs");
const { join } = require("node:path");
const vm = require("node:vm");

const ASSETS = join(__dirname, "..", "..", "docs", "assets");

// A storage of a browser: full, where what is put in is longer than `room`; refused, where it may not even be asked.
function storage(held = {}, { room = Infinity } = {}) {
  const items = new Map(Object.entries(held));
  return {
    items,
    getItem: (key) => items.get(key) ?? null,
    removeItem: (key) => void items.delete(key),
    setItem(key, text) {
      if (text.length > room) throw new Error("the quota is exceeded");
      items.set(key, text);
    },
  };
}

const refused = { getItem() { throw new Error("denied"); } };

// Runs these scripts as a page of the guide would, on this day; what they declare and tell comes back.
function page(scripts, { local = storage(), session = storage(), hash = "", day = "2026-11-30", version = "v1", ...more } = {}) {
  const heard = new Map();
  const told = [];
  const hear = (type, listener) => heard.set(type, [...(heard.get(type) ?? []), listener]);
  const tell = (type, event = {}) => (heard.get(type) ?? []).forEach((listener) => listener({ type, ...event }));
  const root = { dataset: { siteVersion: version }, classList: { add() {}, contains: () => false } };
  const document = {
    currentScript: { src: "https://guide.example/here/assets/script.js" }, documentElement: root, readyState: "complete",
    querySelector: () => null, querySelectorAll: () => [], addEventListener: hear,
    dispatchEvent: (event) => { told.push(event.type); tell(event.type, event); },
  };
  class Day extends Date {
    constructor(...args) { super(...(args.length ? args : [`${day}T12:00:00Z`])); }
    getTimezoneOffset() { return 0; }
  }
  const context = vm.createContext({
    document, location: new URL(`https://guide.example/here/page.html${hash}`), history: { replaceState() {} }, navigator: {},
    addEventListener: hear, Event, URL, TextEncoder, TextDecoder, atob, btoa, crypto, setTimeout, clearTimeout, Date: Day,
    localStorage: local, sessionStorage: session, ...more,
  });
  context.self = context;
  for (const name of scripts) vm.runInContext(readFileSync(join(ASSETS, name), "utf-8"), context, { filename: name });
  return { run: (code) => vm.runInContext(code, context), context, told, tell };
}

module.exports = { page, refused, storage };
