"use strict";
/* The truck: what this browser keeps of it, what a link brings, and the answers worked out for it. Nothing that is shown
   stands here. A copy of the guide in another folder has keys of its own.

   A kept truck is {truck, site_version, computed_on, until, answers, facts, jobs, …}: its file, and what the calculators made of it.
   A truck that came with a link is a guest: shown as one, worked out here, and kept only when its reader says so.
   The event `truck` on the document tells that another one is to be shown. */
const kept = (() => {
  const { FORMAT, VERSION, fromLink, isLink, isSame, linkOf, own, united } = shared;
  const FOLDER = new URL("..", /** @type {HTMLScriptElement} */ (document.currentScript).src);
  const KEY = `diesel-handover:${FOLDER.pathname}`;
  const [ASIDE, DRAFT, GUEST, TYPED] = ["aside", "draft", "link", "typed"].map((what) => `${KEY}#${what}`);
  const OLDER = { [KEY]: "diesel-handover", [ASIDE]: "diesel-handover-aside", [DRAFT]: "diesel-handover-draft" }; // no folder was named
  const root = document.documentElement;
  const here = /** @type {Here} */ ({
    mine: null, // the truck that this browser keeps
    saved: null, // the truck that is shown, once nothing else is chosen
    guest: false, // whether it came with the link
    showing: "example", // or yours
    working: false, // whether its answers are being worked out
    given: {}, // what is typed in forms: {name: [text, unit]}
    linked: false, // whether that came with the link
    at: "", // the place of the page that the link leads to
    entry: null, // an entry that another page hands over
    problem: "", // refused or broken: what is wrong with this browser's storage
    carries: location.protocol === "file:", // pages of a folder may each have a storage of their own
  });

  const today = () => shared.today();
  const version = () => document.querySelector('meta[name="site-version"]')?.content ?? root.dataset.siteVersion ?? "";
  const tell = () => document.dispatchEvent(new Event("truck"));

  // Storage -------------------------------------------------------------------------------------

  // Where storage may not even be asked, the theme's own scripts would stop at it: they get one that holds nothing.
  const refuse = () => { throw new Error("this browser stores nothing"); };
  for (const name of /** @type {const} */ (["localStorage", "sessionStorage"])) {
    try {
      globalThis[name].getItem(KEY);
    } catch {
      if (name === "localStorage") here.problem = "refused"; // the other only remembers what was put off
      Object.defineProperty(globalThis, name, { value: { getItem: () => null, setItem: refuse, removeItem() {}, length: 0 } });
    }
  }

  /** @param {string} key @param {unknown} [thing] @param {Storage} [storage] */
  function write(key, thing, storage = localStorage) {
    try {
      if (thing === undefined) storage.removeItem(key);
      else storage.setItem(key, JSON.stringify(thing));
      return true;
    } catch {
      if (storage === localStorage) here.problem = "refused";
      return false;
    }
  }

  /** @param {string} key @param {Storage} [storage] @returns {unknown} */
  function read(key, storage = localStorage) {
    try {
      return JSON.parse(storage.getItem(key) ?? "null");
    } catch {
      return null;
    }
  }

  // What today's keys don't hold yet, an older version of the site may have stored.
  function moveIn() {
    for (const [key, older] of Object.entries(OLDER)) {
      const text = localStorage.getItem(key) === null && localStorage.getItem(older);
      if (text) localStorage.setItem(key, text);
    }
  }

  /** @returns {Saved | null} */
  function stored() {
    let text = null;
    try {
      moveIn();
      text = localStorage.getItem(KEY);
      if (text === null) return null;
      /** @type {Saved & { saved_at?: unknown }} */
      const saved = JSON.parse(text);
      if (typeof own(own(saved, "truck"), "name") !== "string") throw new Error("it is not a truck of this guide");
      const { saved_at, computed_on } = saved; // a version before stored them beside its truck
      const day = typeof saved_at === "number" ? { saved_at: new Date(saved_at).toISOString(), computed_on } : {};
      return { ...saved, truck: { ...day, ...saved.truck } };
    } catch {
      here.problem = text === null ? "refused" : "broken";
      if (text !== null) aside({ why: "What this browser had stored could not be read.", text });
      return null;
    }
  }

  // Never thrown away: what could not be read, or was replaced, waits until its owner decides.
  /** @param {Aside} thing */
  function aside(thing) {
    const others = asides();
    if (!others.some((one) => JSON.stringify(one) === JSON.stringify(thing))) write(ASIDE, [...others, thing]);
  }

  // [{why, text}] of what could not be read, [{before}] of a truck that was replaced. An older version kept one of each.
  /** @returns {Aside[]} */
  function asides() {
    const told = /** @type {Aside[] | Partial<Record<"why" | "text", string> & { before: Truck }>} */ (read(ASIDE) ?? []);
    if (Array.isArray(told)) return told;
    const { why, text = "", before } = told;
    return [...(why ? [{ why, text }] : []), ...(before ? [{ before }] : [])];
  }

  // Answers -------------------------------------------------------------------------------------

  // Whether answers are of this site and good for this day.
  /** @type {(saved: Saved | null) => boolean} */
  const fits = (saved) => saved?.site_version === version() && (saved.computed_on ?? "") <= today() && today() < (saved.until ?? "");

  /** @type {Promise<void>} */
  const parsed = new Promise((done) => {
    if (document.readyState === "complete") done();
    else document.addEventListener("DOMContentLoaded", () => done());
  });

  /**
   * @template {keyof Replies} D
   * @param {Question<D>} request
   * @param {Watcher} [watcher]
   * @returns {Promise<Replies[D]>}
   */
  async function ask(request, watcher = () => {}) {
    await parsed; // the calculators' script comes last
    const stop = dieselRuntime.watch(watcher);
    try {
      return await dieselRuntime.call(request);
    } finally {
      stop();
    }
  }

  /** @param {string} text @param {Watcher} [watcher] */
  const readTruck = (text, watcher) => ask({ do: "read_truck", text, today: today() }, watcher);

  const refused = (/** @type {Fault[]} */ faults) => new Error(faults.map((fault) => fault.do).join(" "));

  // Every answer for a truck, made by the calculators; what they could not use of it is told as faults.
  /** @param {Truck} truck @param {Watcher} [watcher] */
  async function workOut(truck, watcher) {
    const read = await readTruck(JSON.stringify(truck), watcher);
    if (!read.ok) throw refused(read.faults);
    const all = await ask({ do: "all", truck: read.truck, today: today() }, watcher);
    if (!all.ok) throw refused([...read.faults, ...all.faults]);
    const { faults, ok: _, ...made } = all;
    const pictures = (await globalThis.dieselCharts?.pictures(made.answers)) ?? {};
    const saved = { truck: read.truck, told: read.told, site_version: version(), computed_on: today(), ...made, pictures };
    return { saved, faults: [...read.faults, ...Object.values(faults).flat()] };
  }

  // The shown truck's answers, where they are another version's or day's: "working it out" until they are here.
  /** @param {Watcher} [watcher] */
  async function renew(watcher) {
    const before = here.saved;
    if (!before || fits(before) || here.working) return;
    here.working = true;
    try {
      const held = localStorage.getItem(KEY);
      const { saved } = await workOut(before.truck, watcher);
      const stays = here.saved === before && (here.guest || localStorage.getItem(KEY) === held);
      if (stays) here.saved = { ...before, ...saved };
      if (stays && !here.guest) here.mine = here.saved;
      if (stays) write(here.guest ? GUEST : KEY, here.saved);
      else look(); // another was chosen meanwhile: it is shown, and nothing is written over it
    } finally {
      here.working = false;
    }
    tell();
  }

  // Keeping -------------------------------------------------------------------------------------

  // A truck as its owner wants it kept: with every entry that this browser has of it, worked out, then stored.
  // Of two trucks that are kept at once the one that was told last stays.
  /** @param {Truck} truck @param {HowKept} [how] @param {string} [since] @returns {Promise<Kept>} */
  async function keep(truck, how = {}, since = new Date().toISOString()) {
    const { watcher, more = () => ({}) } = how;
    const before = stored();
    const mine = before?.truck.id === truck.id ? { ...truck, book: united(truck.book, before?.truck.book) } : truck;
    const made = await workOut({ ...mine, saved_at: new Date().toISOString(), site_version: version() }, watcher);
    const now = stored();
    if (now && !isSame(now.truck, before?.truck)) { // another tab was quicker
      const later = now.truck.id !== truck.id && (now.truck.saved_at ?? "") > since;
      return later ? giveWay(now.truck, made.saved.truck) : keep(truck, how, since);
    }
    navigator.storage?.persist?.().catch(() => {}); // asked for, never relied on
    if (before && (before.truck.id !== truck.id || !isSame(before.truck, here.mine?.truck))) aside({ before: before.truck });
    const saved = { filed: here.saved?.filed ?? 0, ...made.saved, ...more(made.faults) };
    return { saved, faults: made.faults, stores: replace(saved) };
  }

  /** @param {Truck} now @param {Truck} truck @returns {never} */
  function giveWay(now, truck) {
    aside({ before: truck });
    look();
    throw new Error(`${now.name} was saved meanwhile. What was told of ${truck.name} is kept aside, under My truck.`);
  }

  /** @param {Saved | null} saved */
  function replace(saved) {
    Object.assign(here, { saved, mine: saved, guest: false, showing: saved ? "yours" : "example" });
    write(GUEST);
    if (write(KEY, saved ?? undefined)) return true;
    if (!saved?.answers) return false;
    const { truck, filed, unread } = saved; // where there is no room for the answers, they are worked out anew on each page
    const kept = write(KEY, { truck, filed, unread });
    if (kept) here.problem = "";
    return kept;
  }

  let doubted = ""; // what was asked about last, as it was told

  const newId = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

  /** @type {() => Truck} */
  const blank = () => ({ format: FORMAT, version: VERSION, id: newId(), name: "My truck", facts: {}, interval: {}, book: [] });

  // What entries say, read one after another: each by itself, which is quick, or beside the whole book, which may ask about it.
  /** @param {Entry[]} entries @param {Truck} truck @param {HowKept | undefined} how @param {boolean} beside */
  async function readEntries(entries, truck, how, beside) {
    let { book = [] } = truck;
    /** @type {Fault[]} */
    const odd = [];
    /** @type {EntryRow[]} */
    const rows = [];
    for (const entry of entries) {
      const told = beside ? { truck: { ...truck, book }, today: today() } : { truck: { ...truck, book: [] } };
      const reply = await ask({ do: "add_entry", entry, ...told }, how?.watcher);
      if (!reply.ok) return { faults: reply.faults };
      book = beside ? reply.truck.book : united(book, reply.truck.book);
      odd.push(...reply.asked);
      if (reply.row) rows.push(reply.row);
    }
    return { book, odd, rows };
  }

  // Entries are only ever added; what won't do is told as faults, and nothing is added. Those of a guest make it this browser's own.
  // What does not go with the rest of the book is asked about once; told again just so, it is meant.
  /** @param {Entry[]} entries @param {HowKept} [how] @returns {Promise<Added>} */
  async function add(entries, how) {
    const truck = here.saved?.truck ?? blank();
    const another = how?.of && how.of !== truck.id;
    if (another) throw new Error(`It was begun for another truck than ${truck.name}, which is shown now. Begin it anew.`);
    let read = await readEntries(entries, truck, how, Boolean(how?.asks && !how.seen));
    if (read.rows && how?.seen) { // before the whole book is looked at: that takes the longer, the more it holds
      how.seen(read.rows);
      await new Promise((painted) => setTimeout(painted));
      if (how.asks) read = await readEntries(entries, truck, how, true);
    }
    if (!read.odd) return { ok: false, faults: read.faults };
    const meant = JSON.stringify(read.odd.map(({ field }) => [field, entries.map((entry) => entry[field])]));
    if (read.odd.length && meant !== doubted) {
      doubted = meant;
      return { ok: false, faults: read.odd };
    }
    doubted = "";
    return { ...(await keep({ ...truck, book: read.book }, how)), ok: true };
  }

  // What is kept of the shown truck, asked for where there is one.
  function shown() {
    if (!here.saved) throw new Error("no truck is saved here");
    return here.saved;
  }

  // How many entries no file has yet: this browser's copy is the pencil, the file is the book.
  const unfiled = () => (here.saved?.truck.book ?? []).length - (here.saved?.filed ?? 0);

  function asFile() {
    const saved = { ...shown(), filed: shown().truck.book?.length ?? 0 };
    here.saved = saved;
    if (!here.guest) replace(saved);
    return `${JSON.stringify(saved.truck, null, 2)}\n`;
  }

  function clear() {
    for (const older of Object.values(OLDER)) localStorage.removeItem(older);
    replace(null);
    write(DRAFT);
    write(ASIDE);
  }

  // Links ---------------------------------------------------------------------------------------

  // What a link brought, beside what is kept: this browser's own truck needs no link, and never gives way to an older one.
  function begin() {
    const link = fromLink(location.hash) ?? { truck: null, given: {}, at: "", entry: null };
    const mine = stored();
    const { truck, given, at, entry } = link;
    const older = truck && mine && truck.id === mine.truck.id && (truck.saved_at ?? "") <= (mine.truck.saved_at ?? "");
    const guest = truck && !older ? truck : null;
    const worked = guest && /** @type {Saved | null} */ (read(GUEST));
    here.mine = mine;
    Object.assign(here, { given, at, entry, guest: Boolean(guest), linked: Object.keys(given).length > 0 });
    const typed = JSON.stringify(read(TYPED, sessionStorage)); // here, before this page was loaded anew
    if (JSON.stringify(given) === typed) here.linked = false;
    here.saved = guest ? (isSame(worked?.truck, guest) ? worked : { truck: guest }) : mine;
    here.showing = here.saved ? "yours" : "example";
    if (here.saved) root.classList.add("filling");
  }

  /** @type {(at?: string, entry?: Partial<Entry>) => string | null} */
  const fragment = (at, entry) => {
    const truck = here.carries || here.guest ? here.saved?.link ?? here.saved?.truck : undefined;
    return linkOf({ at, given: here.given, truck, entry });
  };

  // What is typed stands in the address, so that a copied link shows the same answer.
  function address() {
    const data = fragment(here.at);
    write(TYPED, here.given, sessionStorage);
    if (data && (Object.keys(here.given).length || (here.carries && here.saved))) history.replaceState(null, "", data);
    else if (isLink(location.hash)) history.replaceState(null, "", here.at ? `#${here.at}` : location.pathname + location.search);
  }

  // From a folder every page may have its own storage, so the truck travels in the links.
  /** @param {{ readonly target: EventTarget | null }} event */
  function carry(event) {
    const link = /** @type {HTMLElement | null} */ (event.target)?.closest?.("a[href]");
    if (!link || link.protocol !== "file:" || link.hasAttribute("download") || !link.pathname.endsWith(".html")) return;
    if (link.pathname === location.pathname && link.hash) return;
    const at = isLink(link.hash) ? link.dataset.at : link.hash.slice(1);
    const data = here.saved || Object.keys(here.given).length ? fragment(at) : at ? `#${at}` : "";
    if (data === null) return;
    link.dataset.at = at ?? "";
    link.href = link.href.split("#")[0] + data;
  }

  // The guest's owner is its reader: what was kept here waits aside, the books of one truck become one.
  /** @param {HowKept} [how] @returns {Promise<Kept>} */
  async function keepGuest(how) {
    const [mine, guest] = [here.mine?.truck, shown().truck];
    if (mine) aside({ before: mine });
    const joined = mine && mine.id === guest.id ? await ask({ do: "join_trucks", trucks: [mine, guest] }) : null;
    if (joined && !joined.ok) throw refused(joined.faults);
    const made = await keep(joined?.truck ?? guest, how);
    address();
    tell();
    return made;
  }

  function useMine() {
    Object.assign(here, { saved: here.mine, guest: false, showing: here.mine ? "yours" : "example" });
    write(GUEST);
    address();
    tell();
  }

  // Another tab saved: what is shown follows, unless its reader chose the example or looks at a guest.
  function look() {
    const mine = stored();
    const stays = /** @type {const} */ (["site_version", "computed_on"]).every((name) => own(mine, name) === own(here.mine, name));
    if (stays && isSame(mine?.truck, here.mine?.truck)) return;
    const chosen = here.mine && here.showing === "example";
    here.mine = mine;
    if (here.guest) return;
    here.saved = mine;
    if (!chosen) here.showing = mine ? "yours" : "example";
    tell();
  }

  addEventListener("storage", ({ key }) => (key === KEY || key === null) && look());
  addEventListener("pageshow", ({ persisted }) => persisted && look()); // gone back to: it slept while another page saved

  begin();
  if (here.carries) {
    for (const way of ["pointerdown", "click", "auxclick", "contextmenu"]) document.addEventListener(way, carry, true);
    addEventListener("hashchange", () => {
      if (isLink(location.hash)) return location.reload();
      here.at = location.hash.slice(1);
      return address();
    });
  } else {
    addEventListener("hashchange", () => isLink(location.hash) && location.reload()); // a link with numbers, pasted over this page's
  }

  return {
    here, KEY, DRAFT, ASIDE, today, version, read, write, stored, aside, asides, fits, ask, readTruck, renew, keep, add, shown, unfiled,
    asFile, newId, blank, clear, fragment, address, keepGuest, useMine,
  };
})();
