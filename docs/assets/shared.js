"use strict";
/* What all pages share and no page is needed for: a truck's file, what a link carries, days, words with holes.
   A classic script, for pages, for the worker and for Node's tests alike. */
const shared = (() => {
  const FORMAT = "diesel-handover-truck";
  const VERSION = 2;
  const LINK = "#v2.";
  const OLDER_LINK = "#v1."; // carried a truck's answers too, which nobody takes from a link any more
  const LONGEST = 200_000; // characters a link may carry

  const isObject = (/** @type {unknown} */ thing) => typeof thing === "object" && thing !== null;
  /** @type {Own} */
  const own = (thing, name) => (isObject(thing) && Object.hasOwn(thing, name) ? /** @type {never} */ (thing)[name] : undefined);
  /** @type {Entries} */
  const entries = (thing) => (isObject(thing) && !Array.isArray(thing) ? Object.entries(thing) : []);
  const BARE = /^(?=.*[\d¼-¾⅐-⅞])[^\p{L}%$¢°#'"’”′″]*(e[+-]?\d+|k)?\s*$/iu;
  /** @param {string} text */
  const isBare = (text) => BARE.test(text); // a number without a unit, however it is written
  // As the calculators say a number in its field: 88900 as 88,900.
  /** @type {(text: string) => string} */
  const inField = (text) => text.replace(/^-?[1-9]\d{3,}(?=\.|$)/, (whole) => Number(whole).toLocaleString("en-US"));
  /** @type {(told: unknown) => told is Told} */
  const isPlain = (told) => typeof told === "string" || typeof told === "number" || typeof told === "boolean";

  // A truck's file ⇄ facts by the names of inputs --------------------------------------------------

  // fuel_price is a fact; interval.engine_oil.time is what is told of a job in a part of the file.
  /** @param {string} name @returns {{ part: string, job: string | null, what: string }} */
  function placeOf(name) {
    const [part, job, what] = name.split(".");
    return what === undefined ? { part: "facts", job: null, what: name } : { part, job, what };
  }

  /** @type {(part: string, job: string, what: string) => string} */
  const nameOf = (part, job, what) => `${part}.${job}.${what}`;

  /** @param {Partial<Truck> | null | undefined} truck @returns {Record<string, Told>} */
  function factsOf(truck) {
    const found = Object.fromEntries(entries(own(truck, "facts")));
    for (const part of /** @type {const} */ (["interval", "done"])) {
      for (const [job, row] of entries(own(truck, part))) {
        for (const [what, told] of entries(row)) found[nameOf(part, job, what)] = told;
      }
    }
    return found;
  }

  // A job's row, made where there is none: by its own name only, as a file may name a job anything.
  /** @type {(rows: JobRows, job: string) => Record<string, Told>} */
  const rowOf = (rows, job) => own(rows, job) ?? (rows[job] = {});

  // A gauge that is told is as of the day on which it was read.
  /** @type {Record<string, string>} */
  const LEVELS = { def_level: "def_level_read_on", fuel_in_tank: "fuel_in_tank_read_on" };
  /** @type {(facts: Record<string, Told>, day: string) => Record<string, Told>} */
  const readOn = (facts, day) => ({
    ...Object.fromEntries(Object.entries(LEVELS).filter(([gauge]) => own(facts, gauge)).map(([, read]) => [read, day])), ...facts,
  });

  // The truck with these facts and no others; whatever else its file holds stays.
  /** @template {Partial<Truck>} T @param {T | null | undefined} truck @param {Record<string, Told>} told @returns {T & Truck} */
  function withFacts(truck, told) {
    /** @type {{ facts: Record<string, Told>, interval: JobRows, done: JobRows }} */
    const parts = { facts: {}, interval: {}, done: {} };
    for (const [name, fact] of Object.entries(told)) {
      const { part, job, what } = placeOf(name);
      if (job === null) parts.facts[what] = fact;
      else if (part === "interval" || part === "done") rowOf(parts[part], job)[what] = fact;
    }
    const { facts, interval, done } = parts;
    const { done: _, ...rest } = truck ?? /** @type {T} */ ({});
    const records = Object.keys(done).length ? { done } : {};
    return /** @type {T & Truck} */ ({ format: FORMAT, version: VERSION, name: "", ...rest, facts, interval, ...records });
  }

  // The entries of both books, each once. One id with two contents stays twice: the calculators ask about it.
  /** @param {Entry[] | undefined} book @param {Entry[] | undefined} other */
  function united(book, other) {
    const found = new Map();
    for (const entry of [...(book ?? []), ...(other ?? [])]) found.set(canonical(entry), entry);
    return [...found.values()];
  }

  /** @param {unknown} told @returns {string} */
  function canonical(told) {
    if (Array.isArray(told)) return `[${told.map(canonical).join()}]`;
    if (told === null || typeof told !== "object") return JSON.stringify(told) ?? "null";
    return `{${Object.keys(told).toSorted().map((name) => `${JSON.stringify(name)}:${canonical(own(told, name))}`).join()}}`;
  }

  // Links ---------------------------------------------------------------------------------------

  const TRUCK = ["format", "version", "id", "name", "saved_at", "site_version", "facts", "interval", "done", "book", "learned"];
  const ENTRY = ["id", "date", "kind", "job", "new", "meter_new", "odometer", "engine_hours", "idle_hours", "written",
    "estimated", "day_assumed"];

  /** @param {string} hash */
  const isLink = (hash) => hash.startsWith(LINK) || hash.startsWith(OLDER_LINK);

  /** @param {Uint8Array} bytes */
  function letters(bytes) {
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  }

  /** @param {string} text */
  const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (letter) => letter.charCodeAt(0));

  // {truck, given, at, entry} as a fragment; null where it is too long for one.
  /** @param {{ truck?: Truck | null, given: Given, at?: string, entry?: Partial<Entry> | null }} told @returns {string | null} */
  function linkOf({ truck, ...rest }) {
    const told = { ...rest, ...(truck ? { truck: travelling(truck) } : {}) };
    const data = letters(new TextEncoder().encode(JSON.stringify(told)));
    return data.length > LONGEST ? null : `${LINK}${data}`;
  }

  // What a fragment brings, as far as it is of the right kind: never an answer, never words, never who somebody is.
  /** @param {string} hash @returns {Link | null} */
  function fromLink(hash) {
    if (!isLink(hash) || hash.length > LONGEST * 2) return null;
    try {
      /** @type {unknown} */
      const told = JSON.parse(new TextDecoder().decode(bytes(hash.slice(LINK.length))));
      const truck = own(told, "truck") ?? own(own(told, "saved"), "truck");
      const [at, entry] = [own(told, "at"), own(told, "entry")];
      const texts = (/** @type {unknown} */ fact) => [fact].flat().slice(0, 2).filter((text) => typeof text === "string");
      const given = entries(own(told, "given")).map(([name, fact]) => /** @type {const} */ ([name, texts(fact)]));
      return {
        truck: typeof own(truck, "name") === "string" ? travelling(/** @type {Truck} */ (/** @type {unknown} */ (truck))) : null,
        given: Object.fromEntries(given.filter(([, fact]) => fact.length)),
        at: typeof at === "string" ? at : "",
        entry: entry ? picked(/** @type {Entry} */ (entry), ENTRY) : null,
      };
    } catch {
      return null;
    }
  }

  /** @type {<T extends object>(thing: T, names: string[]) => T} */
  const picked = (thing, names) => /** @type {typeof thing} */ (Object.fromEntries(names.filter((name) => own(thing, name) !== undefined)
    .map((name) => [name, own(thing, name)])));

  /** @param {Truck} truck */
  function travelling(truck) {
    const made = picked(truck, TRUCK);
    if (Array.isArray(made.book)) made.book = made.book.map((entry) => picked(entry, ENTRY));
    return made;
  }

  /** @type {(truck: Partial<Truck> | null | undefined, other: Partial<Truck> | null | undefined) => boolean} */
  const isSame = (truck, other) => truck?.id !== undefined && truck.id === other?.id && truck.saved_at === other.saved_at;

  // What went wrong, in the words of what was thrown.
  const why = (/** @type {unknown} */ wrong) => (wrong instanceof Error ? wrong.message : String(wrong));

  // Days and words --------------------------------------------------------------------------------

  // The reader's own day, as 2026-11-30.
  const today = (now = new Date()) => new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);

  const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

  // 6/14/2026, 2026-06-14, Jun 14, 2026 or, as the first of a month that is all that's known, 6/2026 and Jun 2026.
  /** @param {string} text @returns {{ date: string, about: boolean } | null} */
  function dayOf(text) {
    const month = (/** @type {string} */ name) => MONTHS.findIndex((one) => name.toLowerCase().startsWith(one.toLowerCase())) + 1;
    /** @type {[RegExp, (found: string[]) => (string | number)[]][]} */
    const ways = [
      [/^(\d{4})-(\d{1,2})-(\d{1,2})$/, ([y, m, d]) => [y, m, d]],
      [/^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})$/, ([m, d, y]) => [y, m, d]],
      [/^([a-z]{3,9})\.? (\d{1,2}),? (\d{4})$/i, ([m, d, y]) => [y, month(m), d]],
      [/^(\d{1,2})[/.-](\d{4})$/, ([m, y]) => [y, m]],
      [/^(\d{4})-(\d{1,2})$/, ([y, m]) => [y, m]],
      [/^([a-z]{3,9})\.?,? (\d{4})$/i, ([m, y]) => [y, month(m)]],
    ];
    for (const [way, read] of ways) {
      const found = way.exec(text.replace(/\s+/g, " "));
      if (!found) continue;
      const [y, m, d] = read(found.slice(1)).map(Number);
      const made = new Date(Date.UTC(y, m - 1, d ?? 1));
      if (made.getUTCMonth() === m - 1) return { date: made.toISOString().slice(0, 10), about: d === undefined };
    }
    return null;
  }

  // Of words that each hold from a day on, in order, those of this day.
  /** @type {<T extends { from: string }>(list: readonly T[], day: string) => T} */
  const onDay = (list, day) => list.findLast(({ from }) => from <= day) ?? list[0];

  // {} in a text takes what comes next.
  /** @type {(text: string, holes: readonly string[]) => string} */
  const filled = (text, holes) => text.split("{}").map((part, place) => (place ? (holes[place - 1] ?? "{}") + part : part)).join("");

  return {
    FORMAT, VERSION, LEVELS, own, isBare, inField, isPlain, placeOf, factsOf, withFacts, readOn, united, linkOf, fromLink, isLink,
    travelling, isSame, today, dayOf,
    onDay, filled, why,
  };
})();
if (typeof module === "object") Object.assign(module, { exports: shared });
