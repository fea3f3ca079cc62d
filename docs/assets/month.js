"use strict";
// The month's check: what was told becomes one entry of the truck's book; the result says what moved and what to do.
// What a finding means stands in the page's own lines; the dates come from the calculators.
(() => {
  const found = document.querySelector("form[data-month]");
  if (!found) return;
  const form = found;
  const { elements } = form;
  const { the, sure } = words;
  const { own, isBare } = shared;
  const { here } = kept;
  /** @param {string} name @param {ParentNode} [within] */
  const part = (name, within) => the(`[data-${name}]`, within);
  const field = (/** @type {string} */ name) => sure(elements.namedItem(name), name);
  const message = part("message", form);
  const result = part("month-result");
  const meanings = the("template[data-month-words]").content;
  const COUNTED = 9; // things that the check asks
  /** @type {Record<string, string>} */
  const UNITS = { odometer: "mi", engine_hours: "h", idle_hours: "h", def: "gal", water: "mL" };
  const CHOSEN = ["jar", "oil_mark", "tires"];
  /** @type {Map<string, number>} */
  const counts = new Map(); // a count that nobody told is none, not nothing
  /** @type {{ saved: Saved | null, last: Record<string, Entry | undefined> }} */
  let before = { saved: null, last: {} }; // what was saved and told last, before the entry
  /** @type {Entry | null} */
  let entry = null;
  let saving = false;
  let whose = here.saved?.truck.id; // the truck that the check was begun for

  const book = () => own(own(here.saved, "truck"), "book") ?? [];
  /** @type {(told: Told | undefined) => string} */
  const bare = (told) => shared.inField(String(told ?? "").replace(/\s*(mi|h|gal|mL|km|L)$/, ""));
  /** @type {(field: string, value: Told | undefined) => string} */
  const label = (field, value) => meanings.querySelector(`[data-label="${field}.${value}"]`)?.textContent ?? "";

  const text = (/** @type {Value} */ value) => value.phrase ?? value.shown;

  // What was told last, of each thing by itself; what was taken back or corrected counts for nothing.
  /** @param {string} field @returns {Entry | undefined} */
  function last(field) {
    const gone = new Set(book().map((one) => one.replaces));
    const dated = book().filter((one) => own(one, field) !== undefined && one.date && !gone.has(one.id));
    return dated.toSorted((a, b) => ((a.date ?? "") < (b.date ?? "") ? -1 : 1)).at(-1);
  }

  function showLast() {
    if (!Object.keys(told()).length) whose = here.saved?.truck.id;
    for (const place of words.all("[data-was]", form)) {
      const name = place.dataset.was;
      const found = last(name);
      const was = found?.[name];
      const said = CHOSEN.includes(name) ? label(name, was).toLowerCase() : `${bare(was)} ${UNITS[name]}`;
      place.textContent = found ? `was ${said}` : "";
    }
  }

  function told() {
    /** @type {Tellings} */
    const made = {};
    for (const name of Object.keys(UNITS)) {
      const text = field(name).value.trim();
      if (!text || (name === "water" && field("jar").value !== "water")) continue;
      made[name] = isBare(text) ? `${text} ${UNITS[name]}` : text;
    }
    for (const name of CHOSEN) if (field(name).value) made[name] = field(name).value;
    for (const [name, count] of counts) made[name] = count;
    return made;
  }

  function count() {
    const many = Object.keys(told()).filter((name) => name !== "water").length;
    part("told", form).textContent = many ? `${many} of ${COUNTED} told` : "Nothing told yet";
    the(".water", form).hidden = field("jar").value !== "water";
  }

  /** @param {HTMLButtonElement} button */
  function step(button) {
    const steps = sure(button.closest("[data-step]"), "[data-step]");
    const name = steps.dataset.step;
    const up = counts.has(name) || button.matches(":last-child") ? 1 : 0;
    const next = (counts.get(name) ?? 0) + (button.matches(":first-child") ? -1 : up);
    if (next < 0) counts.delete(name);
    else counts.set(name, next);
    the("output", button.parentElement ?? steps).textContent = String(counts.get(name) ?? "–");
    count();
  }

  // The result ------------------------------------------------------------------------------------

  const rowsOf = (/** @type {Saved | null} */ saved) => own(own(own(own(saved, "answers"), "service_due"), "results"), "jobs") ?? [];
  const jobs = (/** @type {Saved | null} */ saved) => new Map(rowsOf(saved).map((row) => [row.job.value, row]));

  /** @param {string} of @param {string} now */
  function line(of, now) {
    const made = meanings.querySelector(`[data-of="${of}"]`)?.cloneNode(true);
    if (made) part("now", made).textContent = now;
    return made;
  }

  /** @param {Tellings} now */
  function findings(now) {
    const found = CHOSEN.map((field) => now[field] && line(`${field}.${now[field]}`, comparison(field, now, before.last[field])));
    const [broken, finished] = [now.burns_broken_off, now.burns_finished].map((count) => Number(count ?? 0));
    if (broken > 0) found.push(line("burns_broken_off", `${broken} of ${broken + finished}`));
    return found.filter((one) => one instanceof HTMLElement).toSorted((a, b) => Number(b.matches(".stop")) - Number(a.matches(".stop")));
  }

  /** @param {string} field @param {Tellings} now @param {Entry | undefined} was */
  function comparison(field, now, was) {
    const worded = (/** @type {Tellings} */ told) => (field === "jar" && told.water ? String(told.water) : label(field, told[field]));
    const [value, earlier] = [worded(now), was && worded(was)];
    return earlier ? `${value}, was ${earlier}` : value;
  }

  function moved() {
    const [old, fresh] = [jobs(before.saved), jobs(here.saved)];
    return [...fresh].flatMap(([job, row]) => {
      const [was, due] = [old.get(job)?.due_date, row.due_date];
      if (!was?.value || !due.value || was.value === due.value) return [];
      const made = sure(line("moved", `${text(due)}, was ${text(was)}`), "moved");
      the("b", made).textContent = text(row.job);
      return [made];
    });
  }

  /** @param {Tellings} now */
  function show(now) {
    const rows = [...findings(now), ...moved()];
    const said = rows.length ? `${rows.length} ${rows.length === 1 ? "thing" : "things"} to know` : "As before";
    const since = Object.keys(now).flatMap((name) => before.last[name]?.date ?? []).toSorted().at(-1);
    part("head", result).textContent = since ? `${said} since ${words.dayWords(since)}` : "This is the baseline";
    part("since", result).replaceChildren(...rows);
    part("since", result).hidden = !rows.length;
    fillThen(now);
    form.hidden = true;
    result.hidden = false;
    part("head", result).focus();
  }

  /** @param {Tellings} now */
  function fillThen(now) {
    const table = the("table[data-then]", result);
    const rows = ["odometer", "engine_hours", "idle_hours"].filter((name) => now[name]).map((name) => {
      const row = table.tBodies[0].insertRow();
      const earlier = before.last[name];
      const label = the(`label[for=month-${name}]`, form).textContent;
      for (const text of [label, earlier ? bare(earlier[name]) : "–", bare(now[name])]) row.insertCell().textContent = text;
      row.cells[0].className = "words";
      return row;
    });
    part("since-day", result).textContent = "Read";
    table.tBodies[0].replaceChildren(...rows);
    table.hidden = !rows.length;
  }

  async function save() {
    const now = told();
    if (!here.saved) return say("No truck is saved in this browser yet. Save yours under My truck, then write the check.");
    if (!Object.keys(now).length) return say("Tell at least one thing: the odometer alone counts.");
    const names = [...Object.keys(UNITS), ...CHOSEN, ...counts.keys()];
    before = { saved: here.saved, last: Object.fromEntries(names.map((name) => [name, last(name)])) };
    entry = { ...stamp(), date: kept.today(), kind: "check", ...now };
    showFaults([]);
    say("Working out what moved…");
    const made = await kept.add([entry], { asks: true, of: whose, watcher: (runtime) => runtime.message && say(runtime.message) });
    if (!made.ok) return showFaults(made.faults);
    handover.show("yours");
    say("");
    const lost = "This browser stores nothing for this page: save the file under Your records before you leave.";
    part("stored", result).textContent = made.stores ? "" : lost;
    return show(now);
  }

  // Beside its field where it has one; the book stays as it was until it is mended.
  /** @param {Fault[]} faults */
  function showFaults(faults) {
    /** @type {string[]} */
    const loose = [];
    for (const one of words.all("[aria-invalid]", form)) one.removeAttribute("aria-invalid");
    for (const err of form.querySelectorAll(".err")) err.textContent = "";
    for (const { field: name, do: does } of faults) {
      const err = document.getElementById(`month-${name}-e`);
      if (!err) {
        loose.push(`${name.replaceAll("_", " ")}: ${does}`);
        continue;
      }
      err.textContent = does;
      field(name).setAttribute("aria-invalid", "true");
    }
    form.querySelector("[aria-invalid]")?.focus();
    return say(faults.length ? ["Nothing was put in the book yet.", ...loose].join(" ") : "");
  }

  const stamp = () => ({ id: kept.newId(), written: new Date().toISOString() });
  const undo = async () => entry && kept.add([{ ...stamp(), date: entry.date, kind: "deleted", replaces: entry.id }], { of: whose });

  /** @param {string} text */
  function say(text) {
    message.textContent = text;
    words.heard(text);
    return undefined;
  }

  form.addEventListener("input", count);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (saving) return; // pressed twice is once
    saving = true;
    save().catch((wrong) => say(`It could not be put in the book. ${shared.why(wrong)} What you typed is kept here.`))
      .finally(() => (saving = false));
  });
  form.addEventListener("click", ({ target }) => {
    const button = target.closest("[data-step] button");
    if (button) step(button);
  });
  part("undo-check", result).addEventListener("click", async () => {
    await undo();
    handover.show("yours");
    result.hidden = true;
    form.hidden = false;
    say("The check was taken back. What you typed still stands here.");
    showLast();
  });
  document.addEventListener("truck", showLast);
  showLast();
  count();
})();
