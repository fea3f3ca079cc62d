"use strict";
// Your records: an entry is written here, also one that another page hands over; those that are in the book are listed, to be
// corrected or taken back. An entry never changes: a correction is a new one, and so is taking one back.
(() => {
  const { isBare, isPlain, own } = shared;
  const { here } = kept;
  const { all, row } = words;
  const form = document.querySelector("form[data-entry]");
  if (!form) return;
  const METERS = ["odometer", "engine_hours", "idle_hours"];
  const list = document.querySelector("[data-entries]");
  const line = form.querySelector("[data-message]");
  const field = (name) => form.elements.namedItem(name);
  const fields = [...form.elements].filter((one) => one.name && !["kind", "date"].includes(one.name));
  const unitOf = (one) => one.parentElement.querySelector("[data-unit-for]")?.value ?? one.parentElement.querySelector("[data-unit]")?.dataset.unit;
  const say = (...texts) => words.heard((line.textContent = texts.filter(Boolean).join(" ")));
  let corrects = null; // the entry that is being corrected
  let guessed = {}; // the meters as the guide supposes them, where their fields still say so
  let asked = 0;

  // The form --------------------------------------------------------------------------------------

  const isShown = (one) => one.closest(".of").checkVisibility();

  function chooseKind() {
    const { value } = field("kind");
    for (const part of all("[data-of]", form)) part.hidden = !["every", value].some((kind) => part.dataset.of.split(" ").includes(kind));
  }

  function put(name, told) {
    const one = field(name);
    if (!one || !isPlain(told)) return;
    const text = typeof told === "boolean" ? (told ? "yes" : "no") : String(told);
    const [, number, unit] = /^(\S+)\s+(\S.*)$/.exec(text) ?? [];
    const units = one.parentElement.querySelector("[data-unit-for]");
    const known = units && [...units.options].some((option) => option.value === unit);
    one.value = known || (unit && unit === unitOf(one)) ? number : text;
    if (known) units.value = unit;
  }

  function fillIn(entry) {
    form.reset();
    guessed = {};
    field("kind").value = own(entry, "kind") ?? "job";
    field("date").value = own(entry, "date") ?? (entry.kind === "job" && corrects ? "" : kept.today());
    for (const [name, told] of Object.entries(entry)) if (fields.includes(field(name))) put(name, told);
    chooseKind();
    clearFaults();
  }

  // The meters as they should stand on that day, filled in where nothing was typed; what is left so is told to be an estimate.
  async function guess() {
    const mine = ++asked;
    if (corrects || !here.saved || !["job", "reading"].includes(field("kind").value)) return;
    const reply = await kept.ask({ do: "estimate", truck: here.saved.truck, today: kept.today(), day: field("date").value || kept.today() }).catch(() => null);
    if (mine !== asked || !reply?.ok) return;
    for (const meter of METERS) {
      const one = field(meter);
      const told = own(reply.meters, meter);
      if (!told || (one.value && one.value !== guessed[meter])) continue;
      put(meter, told);
      guessed[meter] = one.value;
      one.closest(".cell").classList.add("about");
    }
  }

  function told() {
    const found = {};
    for (const one of fields) {
      const text = one.value.trim();
      if (!text || !isShown(one)) continue;
      const unit = unitOf(one);
      found[one.name] = unit && isBare(text) ? `${text} ${unit}` : text;
    }
    return found;
  }

  // The entry, and beside it a reading of the meters that were read, where others are the guide's own guess.
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
  function showFaults(faults) {
    const loose = [];
    for (const fault of faults) {
      const one = field(fault.field);
      const err = one && document.getElementById(`${one.id}-e`);
      if (!err) {
        loose.push(fault.do);
        continue;
      }
      one.setAttribute("aria-invalid", "true");
      err.textContent = fault.do;
    }
    form.querySelector("[aria-invalid]")?.focus();
    say("Nothing was added yet.", ...loose);
  }

  async function add(made, words) {
    say("Working everything out…");
    const { ok, faults, stores } = await kept.add(made);
    if (!ok) return showFaults(faults);
    corrects = null;
    fillIn({});
    leave.hidden = true;
    show();
    return say(stores ? words : "This browser stores nothing for this page: save the file before you leave.");
  }

  const adding = (made, words) => add(made, words).catch((wrong) => say(`It could not be added. ${wrong.message} What you typed is kept here.`));

  // The list --------------------------------------------------------------------------------------

  function show() {
    const rows = own(here.saved, "entries") ?? [];
    list.replaceChildren(...rows.map((entry) => {
      const made = row(entry.struck_by ? "struck" : "entry", entry);
      made.dataset.id = entry.id;
      return made;
    }));
    const left = kept.unfiled();
    const part = document.querySelector("[data-unfiled]");
    part.hidden = !left;
    part.firstElementChild.textContent = left === 1 ? "1 entry is only in this browser." : `${left} entries are only in this browser.`;
  }

  const entryOf = (target) => (own(here.saved, "entries") ?? []).find(({ id }) => id === target.closest("[data-id]")?.dataset.id);

  const rawOf = ({ id }) => here.saved.truck.book.find((raw) => raw.id === id);

  function correct(entry) {
    corrects = entry.id;
    fillIn(rawOf(entry));
    leave.hidden = false;
    say(`Correct what is wrong. What stood there stays readable below.`);
    form.scrollIntoView({ block: "nearest" });
    field("date").focus();
  }

  const stamp = () => ({ id: kept.newId(), written: new Date().toISOString() });
  const undo = (entry) => adding([{ ...stamp(), kind: "deleted", replaces: entry.id }], "Taken back. Below it can be put back.");

  function putBack(entry) {
    const { replaces: _, ...raw } = rawOf(entry);
    return adding([{ ...raw, ...stamp(), replaces: entry.struck_by }], "Put back.");
  }

  // The page --------------------------------------------------------------------------------------

  const leave = form.querySelector("[data-leave]");
  leave.addEventListener("click", () => {
    corrects = null;
    leave.hidden = true;
    fillIn({});
    say("");
  });
  field("kind").addEventListener("change", () => { chooseKind(); guess(); });
  field("date").addEventListener("change", guess);
  form.addEventListener("input", ({ target }) => {
    if (target.value !== guessed[target.name]) target.closest(".cell")?.classList.remove("about");
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearFaults();
    adding(entries(), "It stands in the book. The dates of this guide go by it.");
  });
  list.addEventListener("click", ({ target }) => {
    const entry = entryOf(target);
    if (!entry) return;
    if (target.closest("[data-correct]")) correct(entry);
    if (target.closest("[data-undo-entry]")) undo(entry);
    if (target.closest("[data-put-back]")) putBack(entry);
  });
  document.querySelector("[data-file-book]").addEventListener("click", () => {
    handover.download("my-truck.json", kept.asFile(), "application/json");
    show();
  });
  document.addEventListener("handover", show);

  // "I did it" leads here, from a page of this site or, from a folder, with an entry in the link: filled in, and added when confirmed.
  function begin() {
    const job = (here.at || location.hash.slice(1)).match(/^did-(\w+)$/)?.[1];
    fillIn(here.entry ?? (job ? { kind: "job", job } : {}));
    show();
    if (job || here.entry) {
      say(job && !here.entry ? "Look at the day and the meters, then add it." : "This came with the link. Look at it, then add it.");
      form.scrollIntoView({ block: "start" });
      (METERS.map(field).find(Boolean) ?? field("date")).focus();
    }
    guess();
  }
  begin();
})();
