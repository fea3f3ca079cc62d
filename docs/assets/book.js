"use strict";
// The book: an entry is written here, also one that another page hands over; those that are in it are listed, to be corrected or
// taken back. An entry never changes: a correction is a new one, and so is taking one back. Its file goes out and in here too.
(() => {
  const { isBare, isPlain, own } = shared;
  const { here } = kept;
  const { all, row, sure, the } = words;
  const found = document.querySelector("form[data-entry]");
  if (!found) return;
  const form = found;
  const METERS = /** @type {const} */ (["odometer", "engine_hours", "idle_hours"]);
  const FEW = 8; // entries that are listed at first
  const MORE = 200; // and when more are asked for
  const STORES_NOTHING = "This browser stores nothing for this page: save the file before you leave.";
  const list = the("[data-entries]");
  const line = the("[data-message]", form);
  const { elements } = form;
  const field = (/** @type {string} */ name) => sure(elements.namedItem(name), name);
  const fields = [...elements].filter((one) => one.name && !["kind", "date"].includes(one.name));
  const unitsOf = (/** @type {Field} */ one) => one.parentElement?.querySelector("select[data-unit-for]");
  const unitOf = (/** @type {Field} */ one) => unitsOf(one)?.value ?? one.parentElement?.querySelector("[data-unit]")?.dataset.unit;
  const say = (/** @type {string[]} */ ...texts) => words.heard((line.textContent = texts.filter(Boolean).join(" ")));
  const written = new Set(); // ids of this visit's entries: those are undone, not corrected
  const part = (/** @type {string} */ name) => the(`[data-${name}]`);
  /** @type {string | null} */
  let corrects = null; // the entry that is being corrected
  let whose = here.saved?.truck.id; // the truck that the form was begun for
  let listed = FEW;
  /** @type {Record<string, string>} */
  let guessed = {}; // the meters as the guide supposes them, where their fields still say so
  let asked = 0;

  // The form --------------------------------------------------------------------------------------

  const isShown = (/** @type {Field} */ one) => !one.closest("[hidden]");

  function chooseKind() {
    const { value } = field("kind");
    for (const part of all("[data-of]", form)) part.hidden = !["every", value].some((kind) => part.dataset.of.split(" ").includes(kind));
  }

  /** @param {string} name @param {unknown} told */
  function put(name, told) {
    const one = elements.namedItem(name);
    if (!one || !isPlain(told)) return;
    const text = typeof told === "boolean" ? (told ? "yes" : "no") : String(told);
    const [, number, unit] = /^(\S+)\s+(\S.*)$/.exec(text) ?? [];
    const units = unitsOf(one);
    const known = units && [...units.options].some((option) => option.value === unit);
    words.write(one, known || (unit && unit === unitOf(one)) ? number : text);
    if (known) units.value = unit;
  }

  /** @param {Partial<Entry>} entry */
  function fillIn(entry) {
    form.reset();
    guessed = {};
    whose = here.saved?.truck.id;
    field("kind").value = own(entry, "kind") ?? "job";
    field("date").value = own(entry, "date") ?? (entry.kind === "job" && corrects ? "" : kept.today());
    for (const [name, told] of Object.entries(entry)) if (fields.some((one) => one.name === name)) put(name, told);
    chooseKind();
    clearFaults();
  }

  // The meters as they should stand on that day, filled in where nothing was typed; what is left so is told to be an estimate.
  async function guess() {
    const mine = ++asked;
    if (corrects || !here.saved || !["job", "reading"].includes(field("kind").value)) return;
    const day = field("date").value || kept.today();
    const reply = await kept.ask({ do: "estimate", truck: here.saved.truck, today: kept.today(), day }).catch(() => null);
    if (mine !== asked || !reply?.ok) return;
    for (const meter of METERS) {
      const one = field(meter);
      const told = own(reply.meters, meter);
      if (!told || (one.value && one.value !== guessed[meter])) continue;
      put(meter, told);
      guessed[meter] = one.value;
      one.closest(".cell")?.classList.add("about");
    }
  }

  function told() {
    /** @type {Record<string, string>} */
    const found = {};
    for (const one of fields) {
      const text = words.written(one);
      if (!text || !isShown(one)) continue;
      const unit = unitOf(one);
      found[one.name] = unit && isBare(text) ? `${text} ${unit}` : text;
    }
    return found;
  }

  // The entry, and beside it a reading of the meters that were read, where others are the guide's own guess.
  /** @returns {Entry[]} */
  function entries() {
    const own = told();
    const about = METERS.filter((meter) => own[meter] !== undefined && field(meter).value === guessed[meter]);
    const read = METERS.filter((meter) => own[meter] !== undefined && !about.includes(meter));
    const date = field("date").value;
    const head = { id: kept.newId(), ...(date ? { date } : {}), kind: field("kind").value, written: new Date().toISOString() };
    const made = { ...head, ...own, ...(about.length ? { estimated: true } : {}), ...(corrects ? { replaces: corrects } : {}) };
    const reading = { ...head, id: kept.newId(), kind: "reading", ...Object.fromEntries(read.map((meter) => [meter, own[meter]])) };
    return about.length && read.length ? [made, reading] : [made];
  }

  function clearFaults() {
    for (const one of all("[aria-invalid]", form)) one.removeAttribute("aria-invalid");
    for (const err of all(".err", form)) err.textContent = "";
    for (const cell of all(".cell.about", form)) if (!Object.keys(guessed).length) cell.classList.remove("about");
  }

  // What won't do stands beside its field; the book stays as it was until it is mended.
  /** @param {Fault[]} faults */
  function showFaults(faults) {
    /** @type {string[]} */
    const loose = [];
    for (const fault of faults) {
      const one = elements.namedItem(fault.field);
      const err = one && document.getElementById(`${one.id}-e`);
      if (!one || !err) {
        loose.push(fault.do);
        continue;
      }
      one.setAttribute("aria-invalid", "true");
      err.textContent = fault.do;
    }
    form.querySelector("[aria-invalid]")?.focus();
    say("Nothing was added yet.", ...loose);
  }

  // What could be read stands in the list at once; all that follows from it comes later.
  /** @param {EntryRow[]} rows */
  function seen(rows) {
    for (const { id } of rows) written.add(id);
    list.prepend(...rows.map(rowOf));
  }

  /** @param {Entry[]} made @param {string} words @param {boolean} [asks] */
  async function add(made, words, asks) {
    say("Working everything out…");
    const { kind, replaces } = made[0];
    const of = asks || (corrects && replaces === corrects) ? whose : undefined; // what stands in the list is the shown truck's
    const { ok, faults, stores } = await kept.add(made, { seen, asks, of });
    if (!ok) {
      show(); // without what was seen already
      return showFaults(faults);
    }
    settle();
    fillIn({ kind: kind === "deleted" ? "job" : kind });
    handover.show("yours");
    return say(stores ? words : STORES_NOTHING);
  }

  /** @type {(made: Entry[], words: string, asks?: boolean) => Promise<void>} */
  const adding = (made, words, asks) => add(made, words, asks).catch((wrong) => {
    show();
    say(`It could not be added. ${shared.why(wrong)} What you typed is kept here.`);
  });

  // The list --------------------------------------------------------------------------------------

  const entriesNow = () => own(here.saved, "entries") ?? [];
  const many = (/** @type {number} */ count) => count.toLocaleString("en-US");

  /** @param {EntryRow} entry */
  function rowOf(entry) {
    const made = row(entry.struck_by ? "struck" : written.has(entry.id) ? "written" : "entry", entry);
    made.dataset.id = entry.id;
    return made;
  }

  function show() {
    const rows = entriesNow();
    list.replaceChildren(...rows.slice(0, listed).map(rowOf));
    part("no-entry").hidden = rows.length > 0;
    const more = part("all-entries");
    more.hidden = rows.length <= listed;
    const last = rows.length - listed <= MORE;
    more.textContent = last ? `Show all ${many(rows.length)} entries` : `Show ${many(MORE)} more of ${many(rows.length)} entries`;
    showFile();
  }

  function showMore() {
    const first = listed;
    listed = first + MORE;
    show();
    list.children[first]?.querySelector("button")?.focus();
  }

  // Which of it is in no file yet.
  function showFile() {
    const left = kept.unfiled();
    const only = left === 1 ? "1 entry is only in this browser." : `${many(left)} entries are only in this browser.`;
    const any = entriesNow().length > 0;
    part("unfiled").textContent = any ? (left > 0 ? only : "Every entry is in your file.") : "";
    for (const name of ["file-book", "table-book"]) part(name).hidden = !any;
  }

  const entryOf = (/** @type {HTMLElement} */ target) => entriesNow().find(({ id }) => id === target.closest("[data-id]")?.dataset.id);

  const rawOf = (/** @type {{ id: string }} */ { id }) => sure(kept.shown().truck.book?.find((raw) => raw.id === id), id);

  /** @param {string} kind @param {Partial<Entry>} [told] */
  function open(kind, told = {}) {
    form.hidden = false;
    fillIn({ kind, ...told });
    form.scrollIntoView({ block: "nearest" });
  }

  /** @param {EntryRow} entry */
  function correct(entry) {
    corrects = entry.id;
    const raw = rawOf(entry);
    open(raw.kind, raw);
    leave.textContent = "Leave it as it was";
    strike.hidden = false;
    say("Correct what is wrong. What stood there stays readable below.");
    field("date").focus();
  }

  // Nothing is being corrected any more.
  function settle() {
    corrects = null;
    leave.textContent = "Close";
    strike.hidden = true;
  }

  const stamp = () => ({ id: kept.newId(), written: new Date().toISOString() });
  /** @type {(entry: { id: string }) => Promise<void>} */
  const undo = (entry) => adding([{ ...stamp(), kind: "deleted", replaces: entry.id }], "Taken back. Below it can be put back.");

  /** @param {EntryRow} entry */
  function putBack(entry) {
    const { replaces: _, ...raw } = rawOf(entry);
    return adding([{ ...raw, ...stamp(), replaces: entry.struck_by }], "Put back.");
  }

  // The page --------------------------------------------------------------------------------------

  const leave = the("[data-leave]", form);
  const strike = the("[data-strike]", form);
  leave.addEventListener("click", () => {
    settle();
    form.hidden = true;
    say("");
    part("write").focus();
  });
  strike.addEventListener("click", () => corrects && undo({ id: corrects }));
  for (const button of all("[data-write]")) {
    button.addEventListener("click", () => {
      settle();
      open(button.dataset.write);
      say("");
      field(button.dataset.write === "fuel" ? "odometer" : "kind").focus();
      guess();
    });
  }
  field("kind").addEventListener("change", () => { chooseKind(); guess(); });
  field("date").addEventListener("change", guess);
  form.addEventListener("input", ({ target }) => {
    if (target.value !== guessed[target.name]) target.closest(".cell")?.classList.remove("about");
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearFaults();
    adding(entries(), "It stands in the book. The dates of this guide go by it.", true);
  });
  document.addEventListener("click", ({ target }) => {
    const entry = target.closest("[data-id]") && entryOf(target);
    if (!entry) return;
    if (target.closest("[data-correct]")) correct(entry);
    if (target.closest("[data-undo-entry]")) undo(entry);
    if (target.closest("[data-put-back]")) putBack(entry);
  });
  part("all-entries").addEventListener("click", showMore);
  document.addEventListener("handover", show);

  // The file, out and in ---------------------------------------------------------------------------

  const fileLine = part("file-message");
  const tell = (/** @type {string[]} */ ...texts) => words.heard((fileLine.textContent = texts.filter(Boolean).join(" ")));
  /** @type {(count: number, one: string, more: string) => string} */
  const counted = (count, one, more) => (count === 1 ? `1 ${one}` : `${many(count)} ${more}`);

  part("file-book").addEventListener("click", () => {
    handover.download("my-truck.json", kept.asFile(), "application/json");
    showFile();
  });
  part("table-book").addEventListener("click", () => {
    writeTable().catch((wrong) => tell(`It could not be written. ${shared.why(wrong)}`));
  });

  async function writeTable() {
    const { text } = await kept.ask({ do: "write_table", truck: kept.shown().truck });
    if (text === undefined) return tell("It could not be written.");
    handover.download("entries.csv", text, "text/csv");
    return tell("");
  }

  part("read-in").addEventListener("click", () => part("read-file").click());
  const chooser = the("input[data-read-file]");
  chooser.addEventListener("change", async () => {
    const file = chooser.files?.[0];
    chooser.value = "";
    if (!file) return;
    tell(`Reading ${file.name}…`);
    await readIn(file).catch((wrong) => tell(`${file.name} could not be read in. ${shared.why(wrong)}`));
  });

  /** @param {File} file */
  async function readIn(file) {
    const text = await file.text();
    const isTruck = text.trimStart().startsWith("{");
    const { truck, says } = await (isTruck ? united(text) : fromTable(text));
    if (!truck) return tell(...says);
    const before = entriesNow().length;
    const { stores } = await kept.keep(truck);
    handover.show("yours");
    const added = Math.max(entriesNow().length - before, 0);
    return tell(`${counted(added, "entry is", "entries are")} new.`, ...says, stores ? "" : STORES_NOTHING);
  }

  // A file of this very truck: its book and this one become one.
  /** @param {string} text @returns {Promise<{ truck?: Truck, says: string[] }>} */
  async function united(text) {
    const read = await kept.readTruck(text);
    if (!read.ok) return { says: read.faults.map((fault) => fault.do) };
    if (!here.saved) return { truck: read.truck, says: [] };
    const joined = await kept.ask({ do: "join_trucks", trucks: [here.saved.truck, read.truck] });
    if (joined.ok) return { truck: joined.truck, says: [] };
    return { says: [`This is the file of ${read.truck.name}, another truck. Open it under My truck.`] };
  }

  // Rows of a spreadsheet; each that could not be used says why, the first few of them here.
  /** @param {string} text @returns {Promise<{ truck?: Truck, says: string[] }>} */
  async function fromTable(text) {
    const truck = here.saved?.truck ?? kept.blank();
    const { truck: more, added, others, problems = [], faults = [] } = await kept.ask({ do: "read_table", truck, text });
    const quoted = (/** @type {string} */ value) => (value ? `, “${value.slice(0, 60)}”` : "");
    const wrong = problems.slice(0, 5)
      .map(({ row: at, column, value, do: does }) => `Row ${at}, ${column}${quoted(value)}: ${does.replace(/\.$/, "")}.`);
    const left = problems.length - wrong.length;
    const says = [others ? `${counted(others, "row is", "rows are")} another truck’s.` : "", ...wrong,
      left ? `${counted(left, "more row", "more rows")} could not be used.` : "", ...faults.map((fault) => fault.do)];
    return added ? { truck: more, says } : { says: ["Nothing in it is new.", ...says] };
  }

  // "I did it" leads here, from a page of this site or, from a folder, with an entry in the link: filled in, and added when confirmed.
  function begin() {
    const job = (here.at || location.hash.slice(1)).match(/^did-(\w+)$/)?.[1];
    fillIn(here.entry ?? (job ? { kind: "job", job } : {}));
    show();
    form.hidden = !(job || here.entry);
    if (!form.hidden) {
      say(job && !here.entry ? "Look at the day and the meters, then add it." : "This came with the link. Look at it, then add it.");
      form.scrollIntoView({ block: "start" });
      (METERS.map((meter) => elements.namedItem(meter)).find(Boolean) ?? field("date")).focus();
      guess();
    }
  }
  begin();
})();
