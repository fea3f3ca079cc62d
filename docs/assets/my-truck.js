"use strict";
// My truck: asks every fact once, has all answers made in one go, and stores both in this browser only.
// Nothing typed or opened is ever thrown away: what can't be read stays in its field, a draft survives
// leaving the page, and a file that breaks is kept aside.
(() => {
  const { here, own, all } = handover;
  const DRAFT = `${handover.KEY}-draft`;
  const LARGEST = 1_000_000; // bytes; a truck's file has a few thousand
  const BARE = /^(?=.*[\d¼-¾⅐-⅞])[^\p{L}%$¢°#'"’”′″]*(e[+-]?\d+|k)?\s*$/iu; // a number without a unit, however it is written
  const form = document.querySelector("form[data-truck]");
  if (!form) return;
  const part = (name) => document.querySelector(`[data-${name}]`);
  const line = form.querySelector("[data-message]");
  const fields = [...form.elements].filter((one) => one.name);
  const field = (name) => fields.find((one) => one.name === name);
  const unitOf = (name) => [...form.elements].find((one) => one.dataset.unitFor === name);
  const onlyUnitOf = (one) => one.parentElement.querySelector("[data-unit]")?.dataset.unit;
  const say = (...texts) => handover.heard((line.textContent = texts.filter(Boolean).join(" ")));
  const unsaved = (text) => { form.dataset.unsaved = ""; say(text); };

  const NOTHING_STORED = "This browser stores nothing for this page: save it as a file before you leave.";
  let stores = true; // whether the last draft could be kept

  const local = {
    read(key) {
      try {
        return JSON.parse(localStorage.getItem(key));
      } catch {
        return null;
      }
    },
    write(key, thing) {
      try {
        if (thing) localStorage.setItem(key, JSON.stringify(thing));
        else localStorage.removeItem(key);
        return true;
      } catch {
        return false;
      }
    },
  };

  const keepDraft = () => (stores = local.write(DRAFT, { name: field("name").value, facts: facts() }));

  // The form and the file -------------------------------------------------------------------------

  function facts() {
    const found = {};
    for (const one of fields) {
      const text = one.value.trim();
      const units = unitOf(one.name);
      if (!text || one.name === "name") continue;
      const unit = units?.value ?? onlyUnitOf(one);
      if (text === one.dataset.shown) found[one.name] = one.dataset.exact; // shown in another unit than it was told in
      else found[one.name] = unit && BARE.test(text) ? `${text} ${unit}` : text;
    }
    return found;
  }

  function truck() {
    const made = { format: "diesel-handover-truck", version: 1, name: field("name").value.trim() || "My truck", facts: {}, done: {}, interval: {} };
    for (const [key, text] of Object.entries(facts())) {
      const [group, job, what] = key.split(".");
      if (job) (made[group][job] ??= {})[what] = text;
      else made.facts[key] = text;
    }
    return made;
  }

  function texts(told) {
    const found = { ...own(told, "facts") };
    for (const group of ["done", "interval"]) {
      for (const [job, row] of Object.entries(own(told, group) ?? {})) {
        for (const [what, text] of Object.entries(row ?? {})) found[`${group}.${job}.${what}`] = text;
      }
    }
    return found;
  }

  function put(name, told) {
    const one = field(name);
    if (!one || !["string", "number", "boolean"].includes(typeof told)) return false;
    const units = unitOf(name);
    const text = typeof told === "boolean" ? (told ? "yes" : "no") : String(told);
    const [, number, unit] = /^(\S+)\s+(\S.*)$/.exec(text) ?? [];
    const known = units && unit && [...units.options].some((option) => option.value === unit);
    one.value = known || (unit && unit === onlyUnitOf(one)) ? number : text;
    if (known) units.value = unit;
    return one.value !== "";
  }

  function fill(name, told) {
    clearFaults();
    form.reset();
    field("name").value = name ?? "";
    for (const [key, text] of Object.entries(told)) put(key, text);
    settle();
    count();
  }

  function count() {
    for (const fold of all("details", form)) {
      const told = all("input, select[name]", fold).filter((one) => one.value).length;
      fold.querySelector(":scope > summary [data-told]").textContent = told ? `${told} told` : "";
    }
  }

  // Faults ------------------------------------------------------------------------------------------

  function clearFaults() {
    for (const one of fields) one.removeAttribute("aria-invalid");
    for (const err of all(".err", form)) err.textContent = "";
  }

  const unfold = (one) => {
    for (let fold = one.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
  };

  // Beside its field where it has one; the others are told in the message.
  function showFaults(faults) {
    const loose = new Set();
    let first = null;
    for (const fault of faults) {
      const one = field(fault.field);
      if (!one) {
        loose.add(`${fault.field.replaceAll("_", " ")}: ${fault.do}`);
        continue;
      }
      first ??= one;
      one.setAttribute("aria-invalid", "true");
      document.getElementById(`${one.id}-e`).textContent = fault.do;
      unfold(one);
    }
    first?.focus();
    return [...loose];
  }

  // What a unit is counted from: as told or empty, not as another unit showed it before.
  function settle() {
    for (const units of all("[data-unit-for]", form)) units.dataset.was = units.value;
    for (const one of fields) {
      delete one.dataset.shown;
      delete one.dataset.exact;
    }
  }

  // Saving --------------------------------------------------------------------------------------------

  // The runtime's script runs once the page is read to its end.
  const parsed = document.readyState !== "complete" ? new Promise((done) => document.addEventListener("DOMContentLoaded", done)) : null;

  async function ask(request) {
    await parsed;
    const stop = dieselRuntime.watch((runtime) => {
      if (runtime.state !== "ready") say(runtime.message || "Starting the calculators…", runtime.share ? `${Math.round(runtime.share * 100)} %` : "");
    });
    try {
      return await dieselRuntime.call(request);
    } finally {
      stop();
    }
  }

  // What another tab saved since this page was opened or saved: kept aside, for this page's fields do not know it.
  function savedElsewhere() {
    const stored = here.carries ? null : local.read(handover.KEY);
    return stored?.truck && stored.saved_at !== here.saved?.saved_at ? stored.truck : null;
  }

  async function save(earlier = []) {
    keepDraft();
    clearFaults();
    say("Working everything out…");
    const read = await ask({ do: "read_truck", text: JSON.stringify(truck()) });
    const made = await ask({ do: "all", truck: read.truck, today: handover.today() });
    if (!read.ok || !made.ok) throw new Error([...(read.faults ?? []), ...(Array.isArray(made.faults) ? made.faults : [])].map((fault) => fault.do).join(" "));
    const wrong = [...read.faults, ...Object.values(made.faults).flat(), ...earlier];
    const bad = new Set(wrong.map((fault) => fault.field).filter(field));
    const unread = Object.fromEntries(Object.entries(facts()).filter(([name]) => bad.has(name)));
    const elsewhere = savedElsewhere();
    const pictures = (await globalThis.dieselCharts?.pictures(made.answers)) ?? {};
    const kept = handover.keep({
      site_version: handover.version(), computed_on: handover.today(), saved_at: Date.now(),
      truck: read.truck, answers: made.answers, facts: made.facts, calendar: made.calendar, pictures, unread,
    });
    if (kept) local.write(DRAFT, null);
    if (elsewhere) {
      handover.aside({ before: elsewhere });
      showAside();
    }
    delete form.dataset.unsaved;
    await here.packing; // what a link carries is told, and stands in the address
    here.at = "";
    handover.show("yours");
    handover.address();
    report(read.truck.name, kept, showFaults(wrong), bad.size);
  }

  function report(name, kept, loose, marked) {
    const folder = here.carries ? (handover.fragment("") ? "From a folder it travels with the links from page to page; keep a file too." : "It is too long for links to carry: save it as a file.") : "";
    say(
      kept ? `Saved in this browser. What is blue in this guide is now for ${name}.` : "This browser stores nothing for this page, so save it as a file and open that file next time.",
      folder, marked ? "What is marked could not be used: it stays in its field, and the answers that need it stay the example’s." : "", ...loose,
    );
  }

  const saving = (earlier) => save(earlier).catch((wrong) => say(`It could not be worked out: ${wrong.message} What you typed is kept here.`));

  // Files -------------------------------------------------------------------------------------------

  const asText = (made) => `${JSON.stringify(made, null, 2)}\n`;
  const download = (name, text) => handover.download(name, text, "application/json");

  async function open(file) {
    if (file.size > LARGEST) {
      say(`${file.name} is far too long for a truck’s file. Nothing was changed.`);
      return;
    }
    say(`Reading ${file.name}…`);
    const text = await file.text();
    const read = await ask({ do: "read_truck", text }).catch((wrong) => {
      keepAside(`${file.name} could not be read: ${wrong.message}`, text);
      throw wrong;
    });
    if (read.faults.length || !read.ok) keepAside(`${file.name} could not be read as it is. ${read.faults.map((fault) => `${fault.field.replaceAll("_", " ")}: ${fault.do}`).join(" ")}`, text);
    if (!read.ok) {
      say(`${file.name} could not be read, so nothing was changed.`, ...read.faults.map((fault) => fault.do));
      return;
    }
    if (here.saved || "unsaved" in form.dataset) keepBefore();
    fill(read.truck.name, texts(read.truck));
    for (const fault of read.faults) put(fault.field, fault.given);
    settle();
    await saving(read.faults.filter((fault) => !field(fault.field)));
  }

  function keepAside(why, text) {
    handover.aside({ why, text });
    showAside();
  }

  // The form as it stands: the truck that was saved, with what was typed since.
  function keepBefore() {
    handover.aside({ before: truck() });
    showAside();
  }

  function showAside() {
    const kept = handover.asides();
    part("kept").hidden = !kept.length;
    part("kept-why").textContent = kept.map(({ why, before }) => why ?? `What stood here before is kept: ${before.name}.`).join(" ");
  }

  function saveAside() {
    const kept = handover.asides();
    const files = [...kept.filter(({ text }) => text !== undefined).map(({ text }) => ["kept-aside", text]),
      ...kept.filter(({ before }) => before).map(({ before }) => ["my-truck-before", asText(before)])];
    const count = {};
    for (const [name, text] of files) {
      count[name] = (count[name] ?? 0) + 1;
      download(`${name}${count[name] > 1 ? `-${count[name]}` : ""}.json`, text);
    }
  }

  function dropAside() {
    local.write(handover.ASIDE, null);
    showAside();
  }

  function clear() {
    handover.keep(null);
    local.write(DRAFT, null);
    dropAside();
    here.given = {};
    here.at = "";
    fill("", {});
    handover.show("example");
    handover.address();
    part("confirm").hidden = true;
    delete form.dataset.unsaved;
    say("Cleared. The numbers are the example’s again.", here.carries ? "Pages you go back to may still carry it: close this window too." : "");
  }

  // The page -------------------------------------------------------------------------------------------

  function begin() {
    const draft = local.read(DRAFT);
    if (draft) {
      fill(draft.name, own(draft, "facts") ?? {});
      unsaved("This was typed here, but not saved yet.");
    } else if (here.saved) {
      fill(here.saved.truck.name, { ...texts(here.saved.truck), ...own(here.saved, "unread") });
    }
    settle();
    stores = here.problem !== "refused";
    if (!stores) say("This browser stores nothing for this page. You can still save a file and open it here next time.");
    if (here.carries) part("export").classList.add("solid");
    showAside();
    done((here.at || location.hash.slice(1)).match(/^did-(\w+)$/)?.[1]);
    if (here.saved && !draft && here.saved.site_version !== handover.version()) saving();
  }

  // "I did it today" comes here: the day is filled in, the readings are its owner's to tell.
  function done(job) {
    const fold = job && document.getElementById(`did-${job}`);
    if (!fold) return;
    unfold(fold);
    field(`done.${job}.date`).value = handover.today();
    count();
    fold.scrollIntoView({ block: "center" });
    field(`done.${job}.odometer`)?.focus();
    unsaved("The day is filled in. Add the readings if you have them, then save.");
  }

  const acts = {
    export: () => download("my-truck.json", asText(truck())),
    import: () => part("file").click(),
    clear: () => { part("confirm").hidden = false; part("clear-no").focus(); },
    "clear-no": () => { part("confirm").hidden = true; part("clear").focus(); },
    "clear-yes": clear,
    "kept-save": saveAside,
    "kept-drop": dropAside,
  };
  for (const [name, act] of Object.entries(acts)) part(name).addEventListener("click", act);
  const take = (file) => file && open(file).catch((wrong) => say(`${file.name} could not be read: ${wrong.message} Nothing was changed.`));
  part("file").addEventListener("change", ({ target }) => {
    take(target.files[0]);
    target.value = "";
  });
  // A file dropped on the page is opened; a browser's own way would be to leave the page for it.
  for (const way of ["dragover", "drop"]) {
    document.addEventListener(way, (event) => {
      if (!event.dataTransfer.types.includes("Files")) return; // text moved into a field
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
    keepDraft();
    const first = !("unsaved" in form.dataset);
    unsaved(stores ? "Changed, not saved yet." : NOTHING_STORED);
    if (first) target.scrollIntoView({ block: "nearest" }); // Save came to the foot of the screen, where the field may stand
  });
  form.addEventListener("change", async ({ target }) => {
    const one = target.dataset.unitFor && field(target.dataset.unitFor);
    const from = target.dataset.was ?? target.options?.[0].value;
    if (one && BARE.test(one.value)) {
      if (one.value !== one.dataset.shown) one.dataset.exact = `${one.value.trim()} ${from}`;
      const [, text, unit] = one.dataset.exact.match(/(.*) (.*)/);
      const reply = unit === target.value ? { ok: true, text } : await ask({ do: "convert", input: one.name, text, unit, to: target.value });
      if (reply.ok) one.dataset.shown = one.value = reply.text;
    }
    if (one) target.dataset.was = target.value;
    count();
    keepDraft();
  });
  // A draft is one for all tabs: saved in another, what was typed here goes on waiting.
  addEventListener("storage", ({ key, newValue }) => {
    if (key === DRAFT && newValue === null && "unsaved" in form.dataset) keepDraft();
  });
  handover.begun.then(begin); // a truck that came in the link is unpacked first
})();
