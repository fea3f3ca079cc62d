"use strict";
// My truck: asks every fact once, has all answers made in one go, and stores both in this browser only.
// Nothing typed or opened is ever thrown away: what can't be read stays in its field, a draft survives
// leaving the page, and a file that breaks is kept aside.
const myTruck = (() => {
  const { LEVELS, factsOf, isBare, isPlain, own, withFacts } = shared;
  const { here, DRAFT } = kept;
  const { all, byId, the } = words;
  const LARGEST = 5_000_000; // bytes; a book of two thousand entries has a tenth of that
  const found = document.querySelector("form[data-truck]");
  if (!found) return null;
  const form = found;
  // It stands in the page before this, and works with this form.
  const six = /** @type {NonNullable<typeof sixQuestions>} */ (sixQuestions);
  const part = (/** @type {string} */ name) => the(`[data-${name}]`);
  const line = the("[data-message]", form);
  const fields = [...form.elements].filter((one) => one.name && !one.dataset.sets);
  const field = (/** @type {string} */ name) => fields.find((one) => one.name === name);
  const nameField = words.sure(field("name"), "name");
  /** @type {(name: string) => HTMLSelectElement | undefined} */
  const unitOf = (name) => [...form.elements].filter((one) => one instanceof HTMLSelectElement).find((one) => one.dataset.unitFor === name);
  const onlyUnitOf = (/** @type {Field} */ one) => one.parentElement?.querySelector("[data-unit]")?.dataset.unit;
  const foot = part("says");
  const say = (/** @type {string[]} */ ...texts) => words.heard((foot.textContent = line.textContent = texts.filter(Boolean).join(" ")));
  const unsaved = (/** @type {string} */ text) => { form.dataset.unsaved = ""; say(text); };

  const NOTHING_STORED = "This browser stores nothing for this page: save it as a file before you leave.";
  const READ = 6000; // milliseconds
  let stores = true; // whether the last draft could be kept

  /** @type {Record<string, Told>} */
  let loose = {}; // what is told and has no field here, as what only a newer guide knows
  const DAYS = { odometer: "read_on", engine_hours: "engine_hours_read_on" }; // of each meter, the day on which it was read
  const gauged = new Set(); // those that were typed in
  /** @type {Truck | null} */
  let base = null; // the truck that the fields came from: what another tab saved since is not in them
  /** @type {Record<string, string>} */
  let readings = {}; // what the book tells the fields: a meter that still shows that is no new reading

  const keepDraft = () => (stores = kept.write(DRAFT, { name: nameField.value, facts: { ...facts(), ...six.told() } }));

  /** @type {Watcher} */
  const watcher = ({ state, message, share }) => {
    if (state !== "ready") say(message || "Starting the calculators…", share ? `${Math.round(share * 100)} %` : "");
  };

  // The form and the file -------------------------------------------------------------------------

  function facts() {
    /** @type {Record<string, Told>} */
    const found = { ...loose };
    for (const one of fields) {
      const text = words.written(one);
      const units = unitOf(one.name);
      if (!text || one.name === "name" || six.isOwn(one.name)) continue;
      const unit = units?.value ?? onlyUnitOf(one);
      if (one.value.trim() === one.dataset.shown) found[one.name] = one.dataset.exact ?? text; // shown in another unit than it was told in
      else found[one.name] = unit && isBare(text) ? `${text} ${unit}` : text;
    }
    return found;
  }

  // The truck with what stands in the fields, and the meters that were read anew.
  /** @returns {{ truck: Truck, read: Record<string, Told> }} */
  function told() {
    const found = facts();
    const anew = Object.keys(DAYS).filter((meter) => found[meter] && found[meter] !== readings[meter]);
    const read = Object.fromEntries(anew.map((meter) => [meter, found[meter]]));
    for (const name of Object.entries(DAYS).flat()) delete found[name]; // they stand in the book
    for (const [gauge, day] of Object.entries(LEVELS)) {
      if (!found[gauge]) delete found[day];
      else if (gauged.has(gauge) || found[gauge] !== factsOf(base)[gauge]) found[day] = kept.today();
    }
    /** @type {Partial<Truck>} */
    const before = here.saved?.truck ?? { id: kept.newId(), book: [] };
    const identity = { ...own(before, "identity"), ...six.identity() };
    return { truck: withFacts({ ...before, identity, name: nameField.value.trim() || "My truck" }, found), read };
  }

  /** @type {(read: Record<string, Told>) => Entry} */
  const reading = (read) => ({ id: kept.newId(), kind: "reading", date: kept.today(), written: new Date().toISOString(), ...read });

  /** @returns {Truck} */
  function truck() {
    const { truck: made, read } = told();
    const entries = six.entries().made.map(({ head, fields: own }) => ({ ...head, ...own }));
    return { ...made, book: [...(made.book ?? []), ...entries, ...(Object.keys(read).length ? [reading(read)] : [])] };
  }

  // Meters that were read become a reading of today, and what the six questions told entries; what won't do stays in its field
  // and is told as a fault.
  async function withEntries() {
    const { truck: made, read } = told();
    const { made: entries, faults } = six.entries();
    let before = made;
    const meters = Object.keys(read).length ? [{ part: "", head: reading({}), fields: read }] : [];
    for (const { part: name, head, fields: values } of [...entries, ...meters]) {
      const reply = await withEntry(before, head, values);
      before = reply.truck;
      faults.push(...reply.faults.map((fault) => ({ ...fault, field: name ? `${name}.${fault.field}` : fault.field })));
    }
    return { truck: before, faults };
  }

  /** @param {Truck} made @param {Entry} head @param {Record<string, Told>} values @returns {Promise<{ truck: Truck, faults: Fault[] }>} */
  async function withEntry(made, head, values) {
    /** @type {Fault[]} */
    const faults = [];
    let left = values;
    for (;;) {
      const reply = await kept.ask({ do: "add_entry", truck: made, entry: { ...head, ...left } }, watcher);
      if (reply.ok) return { truck: reply.truck, faults };
      const bad = new Set(reply.faults.map((fault) => fault.field));
      faults.push(...reply.faults);
      const good = Object.entries(left).filter(([name]) => !bad.has(name));
      if (!good.length || good.length === Object.keys(left).length) return { truck: made, faults };
      left = Object.fromEntries(good);
    }
  }

  /** @param {string} name @param {unknown} told */
  function put(name, told) {
    const one = field(name);
    if (!one || !isPlain(told)) return false;
    const units = unitOf(name);
    const text = typeof told === "boolean" ? (told ? "yes" : "no") : String(told);
    const [, number, unit] = /^(\S+)\s+(\S.*)$/.exec(text) ?? [];
    const known = units && unit && [...units.options].some((option) => option.value === unit);
    words.write(one, known || (unit && unit === onlyUnitOf(one)) ? number : text);
    if (known) units.value = unit;
    return one.value !== "";
  }

  /** @param {string} name @param {Record<string, Told>} told */
  function fill(name, told) {
    clearFaults();
    form.reset();
    gauged.clear();
    nameField.value = name ?? "";
    loose = Object.fromEntries(Object.entries(told).filter(([key]) => !field(key)));
    for (const [key, text] of Object.entries(told)) put(key, text);
    settle();
    count();
    six.show();
  }

  function count() {
    for (const fold of all("details", form)) {
      const told = all("input, select[name]", fold).filter((one) => one.value).length;
      the(":scope > summary [data-told]", fold).textContent = told ? `${told} told` : "";
    }
  }

  // Faults ------------------------------------------------------------------------------------------

  function clearFaults() {
    for (const one of fields) one.removeAttribute("aria-invalid");
    for (const err of all(".err", form)) err.textContent = "";
  }

  /** @type {(one: Element) => void} */
  const unfold = (one) => {
    for (let fold = one.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
  };

  // Beside its field where it has one; the others are told in the message.
  /** @param {Fault[]} faults */
  function showFaults(faults) {
    /** @type {Set<string>} */
    const loose = new Set();
    /** @type {Field | null} */
    let first = null;
    for (const fault of faults) {
      const one = field(fault.field);
      if (!one) {
        loose.add(`${fault.field.replaceAll("_", " ")}: ${fault.do}`);
        continue;
      }
      first ??= one;
      one.setAttribute("aria-invalid", "true");
      byId(`${one.id}-e`).textContent = fault.do;
      unfold(one);
    }
    first?.focus();
    return [...loose];
  }

  // What a unit is counted from: as told or empty, not as another unit showed it before.
  function settle() {
    for (const units of all("select[data-unit-for]", form)) units.dataset.was = units.value;
    for (const one of fields) {
      delete one.dataset.shown;
      delete one.dataset.exact;
    }
  }

  // Saving --------------------------------------------------------------------------------------------

  /** @param {Fault[]} [earlier] */
  async function save(earlier = []) {
    keepDraft();
    clearFaults();
    say("Working everything out…");
    if (here.mine && !shared.isSame(here.mine.truck, base) && here.mine.truck !== base) kept.aside({ before: here.mine.truck });
    const made = await withEntries();
    earlier.push(...made.faults);
    const bad = (/** @type {Fault[]} */ faults) => new Set([...faults, ...earlier].map((fault) => fault.field).filter(field));
    const typed = { ...facts(), ...six.told() };
    const marked = (/** @type {Fault[]} */ faults) => Object.fromEntries(Object.entries(typed).filter(([name]) => bad(faults).has(name)));
    const unread = (/** @type {Fault[]} */ faults) => ({ unread: { ...six.waiting(), ...marked(faults) } });
    const { saved, faults, stores: stored } = await kept.keep(made.truck, { watcher, more: unread });
    if (stored) kept.write(DRAFT);
    delete form.dataset.unsaved;
    here.at = "";
    handover.show("yours");
    kept.address();
    showTruck();
    showAside();
    report(saved.truck.name, stored, showFaults([...faults, ...earlier]), bad(faults).size);
    return stored && !bad(faults).size;
  }

  /** @param {string} name @param {boolean} stored @param {string[]} more @param {number} marked */
  function report(name, stored, more, marked) {
    const travels = kept.fragment("") ? "From a folder it travels with the links from page to page; keep a file too."
      : "It is too long for links to carry: save it as a file.";
    const saved = stored ? `Saved in this browser. What is blue in this guide is now for ${name}.`
      : "This browser stores nothing for this page, so save it as a file and open that file next time.";
    const wrong = "What is marked could not be used: it stays in its field, and the answers that need it stay the example’s.";
    say(saved, here.carries ? travels : "", marked ? wrong : "", ...more);
    form.dataset.said = ""; // the words stay at the foot of the screen for as long as they are read
    setTimeout(() => delete form.dataset.said, READ);
  }

  // Saved, and on to what it makes of the truck; where something stays to be mended, or nothing could be kept, the page stays.
  async function enough() {
    if (!form.querySelector("[data-ask]:not(.wait)") && !here.saved) return leave();
    return (await saving()) && leave();
  }

  function leave() {
    const link = document.createElement("a");
    link.href = "index.html";
    form.append(link); // from a folder the truck travels in it
    link.click();
    link.remove();
  }

  /** @type {(earlier?: Fault[]) => Promise<boolean | void>} */
  const saving = (earlier) => save(earlier)
    .catch((wrong) => say(`It could not be worked out: ${shared.why(wrong)} What you typed is kept here.`));

  // Files -------------------------------------------------------------------------------------------

  const asText = (/** @type {Truck} */ made) => `${JSON.stringify(made, null, 2)}\n`;
  const download = (/** @type {string} */ name, /** @type {string} */ text) => handover.download(name, text, "application/json");

  /** @param {File} file */
  async function open(file) {
    if (file.size > LARGEST) {
      say(`${file.name} is far too long for a truck’s file. Nothing was changed.`);
      return;
    }
    say(`Reading ${file.name}…`);
    const text = await file.text();
    const read = await kept.readTruck(text, watcher).catch((wrong) => {
      keepAside(`${file.name} could not be read: ${shared.why(wrong)}`, text);
      throw wrong;
    });
    const told = read.faults.map((fault) => `${fault.field.replaceAll("_", " ")}: ${fault.do}`);
    if (told.length || !read.ok) keepAside(`${file.name} could not be read as it is. ${told.join(" ")}`, text);
    if (!read.ok) {
      say(`${file.name} could not be read, so nothing was changed.`, ...read.faults.map((fault) => fault.do));
      return;
    }
    // A file that does not say when it was saved was so when it was written.
    await bring({ saved_at: new Date(file.lastModified).toISOString(), ...read.truck }, read.faults);
  }

  // A file of the truck that is here brings its entries along; of its facts those saved last win, and the others are put aside and named.
  /** @param {ReadTruck} opened @param {Fault[]} faults */
  async function bring(opened, faults) {
    const before = here.saved?.truck;
    if ("unsaved" in form.dataset) kept.aside({ before: truck() });
    const joined = before?.id === opened.id ? await kept.ask({ do: "join_trucks", trucks: [before, opened] }, watcher) : null;
    if (joined && !joined.ok) throw new Error(joined.faults.map((fault) => fault.do).join(" "));
    const one = joined?.truck ?? opened;
    if (one === opened && before) kept.aside({ before });
    here.saved = { truck: one, filed: opened.book.length };
    showTruck();
    for (const fault of faults) put(fault.field, fault.given);
    settle();
    await saving(faults.filter((fault) => !field(fault.field)));
  }

  /** @param {string} why @param {string} text */
  function keepAside(why, text) {
    kept.aside({ why, text });
    showAside();
  }

  function showAside() {
    const waiting = kept.asides();
    part("kept").hidden = !waiting.length;
    part("kept-why").textContent = waiting.map(({ why, before }) => why ?? `What stood here before is kept: ${before?.name}.`).join(" ");
  }

  function saveAside() {
    const waiting = kept.asides();
    const files = [...waiting.flatMap(({ text }) => (text === undefined ? [] : [{ name: "kept-aside", text }])),
      ...waiting.flatMap(({ before }) => (before ? [{ name: "my-truck-before", text: asText(before) }] : []))];
    /** @type {Record<string, number>} */
    const count = {};
    for (const { name, text } of files) {
      count[name] = (count[name] ?? 0) + 1;
      download(`${name}${count[name] > 1 ? `-${count[name]}` : ""}.json`, text);
    }
  }

  function dropAside() {
    kept.write(kept.ASIDE);
    showAside();
  }

  function clear() {
    kept.clear();
    showAside();
    here.given = {};
    here.at = "";
    showTruck();
    handover.show("example");
    kept.address();
    part("confirm").hidden = true;
    delete form.dataset.unsaved;
    const carried = here.carries ? "Pages you go back to may still carry it: close this window too." : "";
    say("Cleared. The numbers are the example’s again.", carried);
  }

  // The fields hold what the shown truck tells, and its meters as they were last read.
  function showTruck() {
    const { saved } = here;
    base = saved?.truck ?? null;
    readings = own(saved, "told") ?? {};
    const meters = Object.fromEntries(Object.keys(DAYS).filter((meter) => readings[meter]).map((meter) => [meter, readings[meter]]));
    fill(saved?.truck.name ?? "", { ...factsOf(saved?.truck), ...meters, ...six.kept(), ...own(saved, "unread") });
  }

  // The page -------------------------------------------------------------------------------------------

  function begin() {
    const draft = /** @type {{ name: string, facts?: Record<string, Told> } | null} */ (kept.read(DRAFT));
    showTruck();
    if (draft) {
      fill(draft.name, own(draft, "facts") ?? {});
      unsaved("This was typed here, but not saved yet.");
    }
    settle();
    stores = here.problem !== "refused";
    if (!stores) say("This browser stores nothing for this page. You can still save a file and open it here next time.");
    if (here.carries) part("export").classList.add("solid");
    showAside();
    document.addEventListener("truck", changed);
  }

  // Another truck is shown, as when another tab saved: what is typed here stays, and is told so.
  function changed() {
    readings = own(here.saved, "told") ?? {};
    if (!("unsaved" in form.dataset) && !form.contains(document.activeElement)) showTruck();
    else if (!here.guest) say("Another tab saved this truck. What you typed here stays, and goes on from there when you save.");
  }

  const acts = {
    export: () => download("my-truck.json", "unsaved" in form.dataset || !here.saved ? asText(truck()) : kept.asFile()),
    import: () => part("file").click(),
    clear: () => { part("confirm").hidden = false; part("clear-no").focus(); },
    "clear-no": () => { part("confirm").hidden = true; part("clear").focus(); },
    "clear-yes": clear,
    "kept-save": saveAside,
    "kept-drop": dropAside,
    enough,
  };
  for (const [name, act] of Object.entries(acts)) part(name).addEventListener("click", act);
  /** @type {(file: File | undefined) => unknown} */
  /** @type {(file: File | undefined) => unknown} */
  const take = (file) => file && open(file)
    .catch((wrong) => say(`${file.name} could not be read: ${shared.why(wrong)} Nothing was changed.`));
  const chooser = the("input[data-file]");
  chooser.addEventListener("change", () => {
    take(chooser.files?.[0]);
    chooser.value = "";
  });
  // A file dropped on the page is opened; a browser's own way would be to leave the page for it.
  for (const way of /** @type {const} */ (["dragover", "drop"])) {
    document.addEventListener(way, (event) => {
      if (!event.dataTransfer?.types.includes("Files")) return; // text moved into a field
      event.preventDefault();
      if (way === "drop") take(event.dataTransfer.files[0]);
    });
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    saving();
  });
  // While typing, not on leaving a field: a line that comes or goes then would move the button under the pointer.
  form.addEventListener("input", ({ target }) => {
    if (target.dataset.shown !== undefined && target.value !== target.dataset.shown) { // typed anew: no longer what another unit showed
      delete target.dataset.shown;
      delete target.dataset.exact;
    }
    if (own(LEVELS, target.name)) gauged.add(target.name);
    keepDraft();
    const first = !("unsaved" in form.dataset);
    unsaved(stores ? "Changed, not saved yet." : NOTHING_STORED);
    if (first) target.scrollIntoView({ block: "nearest" }); // Save came to the foot of the screen, where the field may stand
  });
  // Another unit shows the same fact, converted from what was told.
  /** @param {HTMLSelectElement} units @param {Field} one */
  async function convert({ dataset, options, value: to }, one) {
    const { exact, shown } = one.dataset;
    const told = exact === undefined || one.value !== shown ? `${one.value.trim()} ${dataset.was ?? options[0].value}` : exact;
    one.dataset.exact = told;
    const [, text, unit] = told.match(/(.*) (.*)/) ?? [];
    const reply = unit === to ? { ok: true, text } : await dieselRuntime.call({ do: "convert", input: one.name, text, unit, to });
    if (reply.ok) one.dataset.shown = one.value = reply.text ?? "";
  }

  form.addEventListener("change", async ({ target }) => {
    const one = target.dataset.unitFor && field(target.dataset.unitFor);
    if (one && target instanceof HTMLSelectElement) {
      if (isBare(one.value)) await convert(target, one);
      target.dataset.was = target.value;
    }
    count();
    keepDraft();
  });
  // A draft is one for all tabs: saved in another, what was typed here goes on waiting.
  addEventListener("storage", ({ key, newValue }) => {
    if (key === DRAFT && newValue === null && "unsaved" in form.dataset) keepDraft();
  });
  begin();
  return { truck };
})();
