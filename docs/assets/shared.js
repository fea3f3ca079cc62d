"use strict";
/* What all pages share and no page is needed for: a truck's file, what a link carries, days, words with holes.
   A classic script, for pages, for the worker and for Node's tests alike. */
const shared = (() => {
  const FORMAT = "diesel-handover-truck";
  const VERSION = 2;
  const LINK = "#v2.";
  const OLDER_LINK = "#v1."; // carried a truck's answers too, which nobody takes from a link any more
  const LONGEST = 200_000; // characters a link may carry

  const own = (thing, name) => (thing && typeof thing === "object" && Object.hasOwn(thing, name) ? thing[name] : undefined);
  const entries = (thing) => (thing && typeof thing === "object" && !Array.isArray(thing) ? Object.entries(thing) : []);
  const BARE = /^(?=.*[\d¼-¾⅐-⅞])[^\p{L}%$¢°#'"’”′″]*(e[+-]?\d+|k)?\s*$/iu;
  const isBare = (text) => BARE.test(text); // a number without a unit, however it is written
  const isPlain = (told) => ["string", "number", "boolean"].includes(typeof told);

  // A truck's file ⇄ facts by the names of inputs --------------------------------------------------

  // fuel_price is a fact; interval.engine_oil.time is what is told of a job in a part of the file.
  function placeOf(name) {
    const [part, job, what] = name.split(".");
    return what === undefined ? { part: "facts", job: null, what: name } : { part, job, what };
  }

  const nameOf = (part, job, what) => `${part}.${job}.${what}`;

  function factsOf(truck) {
    const found = Object.fromEntries(entries(own(truck, "facts")));
    for (const part of ["interval", "done"]) {
      for (const [job, row] of entries(own(truck, part))) {
        for (const [what, told] of entries(row)) found[nameOf(part, job, what)] = told;
      }
    }
    return found;
  }

  // The truck with these facts and no others; whatever else its file holds stays.
  function withFacts(truck, told) {
    const parts = { facts: {}, interval: {}, done: {} };
    for (const [name, fact] of Object.entries(told)) {
      const { part, job, what } = placeOf(name);
      const rows = own(parts, part);
      if (rows) (job === null ? rows : (rows[job] ??= {}))[what] = fact;
    }
    const { facts, interval, done } = parts;
    const { done: _, ...rest } = truck ?? {};
    return { format: FORMAT, version: VERSION, name: "", ...rest, facts, interval, ...(Object.keys(done).length ? { done } : {}) };
  }

  // The entries of both books, each once. One id with two contents stays twice: the calculators ask about it.
  function united(book, other) {
    const found = new Map();
    for (const entry of [...(book ?? []), ...(other ?? [])]) found.set(canonical(entry), entry);
    return [...found.values()];
  }

  function canonical(told) {
    if (Array.isArray(told)) return `[${told.map(canonical).join()}]`;
    if (told === null || typeof told !== "object") return JSON.stringify(told) ?? "null";
    return `{${Object.keys(told).toSorted().map((name) => `${JSON.stringify(name)}:${canonical(told[name])}`).join()}}`;
  }

  // Links ---------------------------------------------------------------------------------------

  const TRUCK = ["format", "version", "id", "name", "saved_at", "site_version", "facts", "interval", "done", "book", "learned"];
  const ENTRY = ["id", "date", "kind", "job", "new", "meter_new", "odometer", "engine_hours", "idle_hours", "written", "estimated", "day_assumed"];

  const isLink = (hash) => hash.startsWith(LINK) || hash.startsWith(OLDER_LINK);

  function letters(bytes) {
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  }

  const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (letter) => letter.charCodeAt(0));

  // {truck, given, at, entry} as a fragment; null where it is too long for one.
  function linkOf({ truck, ...rest }) {
    const told = { ...rest, ...(truck ? { truck: travelling(truck) } : {}) };
    const data = letters(new TextEncoder().encode(JSON.stringify(told)));
    return data.length > LONGEST ? null : `${LINK}${data}`;
  }

  // What a fragment brings, as far as it is of the right kind: never an answer, never words, never who somebody is.
  function fromLink(hash) {
    if (!isLink(hash) || hash.length > LONGEST * 2) return null;
    try {
      const told = JSON.parse(new TextDecoder().decode(bytes(hash.slice(LINK.length))));
      const truck = own(told, "truck") ?? own(own(told, "saved"), "truck");
      const at = own(told, "at");
      const given = entries(own(told, "given")).map(([name, fact]) => [name, [fact].flat().slice(0, 2).filter((text) => typeof text === "string")]);
      return {
        truck: typeof own(truck, "name") === "string" ? travelling(truck) : null,
        given: Object.fromEntries(given.filter(([, fact]) => fact.length)),
        at: typeof at === "string" ? at : "",
        entry: own(told, "entry") ? picked(told.entry, ENTRY) : null,
      };
    } catch {
      return null;
    }
  }

  const picked = (thing, names) => Object.fromEntries(names.filter((name) => own(thing, name) !== undefined).map((name) => [name, thing[name]]));

  function travelling(truck) {
    const made = picked(truck, TRUCK);
    if (Array.isArray(made.book)) made.book = made.book.map((entry) => picked(entry, ENTRY));
    return made;
  }

  const isSame = (truck, other) => Boolean(truck && other) && truck.id !== undefined && truck.id === other.id && truck.saved_at === other.saved_at;

  // Days and words --------------------------------------------------------------------------------

  // The reader's own day, as 2026-11-30.
  const today = (now = new Date()) => new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);

  // Of words that each hold from a day on, in order, those of this day.
  const onDay = (list, day) => list.findLast(({ from }) => from <= day) ?? list[0];

  // {} in a text takes what comes next.
  const filled = (text, holes) => text.split("{}").map((part, place) => (place ? (holes[place - 1] ?? "{}") + part : part)).join("");

  return { FORMAT, VERSION, own, isBare, isPlain, placeOf, factsOf, withFacts, united, linkOf, fromLink, isLink, travelling, isSame, today, onDay, filled };
})();
if (typeof module === "object") Object.assign(module, { exports: shared });
