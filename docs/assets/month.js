"use strict";
// The month's check: what was told becomes one entry of the truck's book; the result says what moved and what to do.
// What a finding means stands in the page's own lines; the dates come from the calculators.
(() => {
  const form = document.querySelector("form[data-month]");
  if (!form) return;
  const { own, isBare } = shared;
  const { here } = kept;
  const part = (name, within = document) => within.querySelector(`[data-${name}]`);
  const message = part("message", form);
  const result = part("month-result");
  const meanings = part("month-words").content;
  const COUNTED = 9; // things that the check asks
  const UNITS = { odometer: "mi", engine_hours: "h", idle_hours: "h", def: "gal", water: "mL" };
  const CHOSEN = ["jar", "oil_mark", "tires"];
  const counts = new Map(); // a count that nobody told is none, not nothing
  let before = null; // what was saved and told last, before the entry
  let entry = null;
  let saving = false;

  const book = () => own(own(here.saved, "truck"), "book") ?? [];
  const bare = (told) => String(told ?? "").replace(/\s*(mi|h|gal|mL|km|L)$/, "").replace(/^\d{4,}$/, (whole) => Number(whole).toLocaleString("en-US"));
  const label = (field, value) => meanings.querySelector(`[data-label="${field}.${value}"]`)?.textContent ?? "";

  const text = (value) => value.phrase ?? value.shown;

  // What was told last, of each thing by itself; what was taken back or corrected counts for nothing.
  function last(field) {
    const gone = new Set(book().map((one) => one.replaces));
    const dated = book().filter((one) => own(one, field) !== undefined && one.date && !gone.has(one.id));
    return dated.toSorted((a, b) => (a.date < b.date ? -1 : 1)).at(-1);
  }

  function showLast() {
    for (const place of form.querySelectorAll("[data-was]")) {
      const field = place.dataset.was;
      const found = last(field);
      place.textContent = found ? `was ${CHOSEN.includes(field) ? label(field, found[field]).toLowerCase() : `${bare(found[field])} ${UNITS[field]}`}` : "";
    }
  }

  function told() {
    const made = {};
    for (const name of Object.keys(UNITS)) {
      const text = form.elements[name].value.trim();
      if (text && (name !== "water" || made.jar === "water" || form.elements.jar.value === "water")) made[name] = isBare(text) ? `${text} ${UNITS[name]}` : text;
    }
    for (const name of CHOSEN) if (form.elements[name].value) made[name] = form.elements[name].value;
    for (const [name, count] of counts) made[name] = count;
    return made;
  }

  function count() {
    const many = Object.keys(told()).filter((name) => name !== "water").length;
    part("told", form).textContent = many ? `${many} of ${COUNTED} told` : "Nothing told yet";
    form.querySelector(".water").hidden = form.elements.jar.value !== "water";
  }

  function step(button) {
    const name = button.closest("[data-step]").dataset.step;
    const next = (counts.get(name) ?? 0) + (button.matches(":first-child") ? -1 : counts.has(name) || button.matches(":last-child") ? 1 : 0);
    if (next < 0) counts.delete(name);
    else counts.set(name, next);
    button.parentElement.querySelector("output").textContent = counts.has(name) ? counts.get(name) : "–";
    count();
  }

  // The result ------------------------------------------------------------------------------------

  const jobs = (saved) => new Map((own(own(own(own(saved, "answers"), "service_due"), "results"), "jobs") ?? []).map((row) => [row.job.value, row]));

  function line(of, now) {
    const made = meanings.querySelector(`[data-of="${of}"]`)?.cloneNode(true);
    if (made) part("now", made).textContent = now;
    return made;
  }

  function findings(now) {
    const found = CHOSEN.map((field) => now[field] && line(`${field}.${now[field]}`, comparison(field, now, before.last[field])));
    if (now.burns_broken_off > 0) found.push(line("burns_broken_off", `${now.burns_broken_off} of ${now.burns_broken_off + (now.burns_finished ?? 0)}`));
    return found.filter(Boolean).toSorted((a, b) => Number(b.matches(".stop")) - Number(a.matches(".stop")));
  }

  function comparison(field, now, was) {
    const value = field === "jar" && now.water ? now.water : label(field, now[field]);
    const earlier = was && (field === "jar" && was.water ? was.water : label(field, was[field]));
    return earlier ? `${value}, was ${earlier}` : value;
  }

  function moved() {
    const [old, fresh] = [jobs(before.saved), jobs(here.saved)];
    return [...fresh].filter(([job, row]) => old.get(job)?.due_date?.value && row.due_date.value && old.get(job).due_date.value !== row.due_date.value)
      .map(([job, row]) => {
        const made = line("moved", `${text(row.due_date)}, was ${text(old.get(job).due_date)}`);
        made.querySelector("b").textContent = text(row.job);
        return made;
      });
  }

  function show(now) {
    const rows = [...findings(now), ...moved()];
    const said = rows.length ? `${rows.length} ${rows.length === 1 ? "thing" : "things"} to know` : "As before";
    const since = Object.keys(now).map((name) => before.last[name]?.date).filter(Boolean).toSorted().at(-1);
    part("head", result).textContent = since ? `${said} since ${handover.dayWords(since)}` : "This is the baseline";
    part("since", result).replaceChildren(...rows);
    part("since", result).hidden = !rows.length;
    fillThen(now);
    form.hidden = true;
    result.hidden = false;
    part("head", result).focus();
  }

  function fillThen(now) {
    const table = part("then", result);
    const rows = ["odometer", "engine_hours", "idle_hours"].filter((name) => now[name]).map((name) => {
      const row = table.tBodies[0].insertRow();
      const earlier = before.last[name];
      for (const text of [form.querySelector(`label[for=month-${name}]`).textContent, earlier ? bare(earlier[name]) : "–", bare(now[name])]) row.insertCell().textContent = text;
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
    before = { saved: here.saved, last: Object.fromEntries([...Object.keys(UNITS), ...CHOSEN, ...counts.keys()].map((name) => [name, last(name)])) };
    entry = { ...stamp(), date: kept.today(), kind: "check", ...now };
    showFaults([]);
    say("Working out what moved…");
    const made = await kept.add([entry], { asks: true, watcher: (runtime) => runtime.message && say(runtime.message) });
    if (!made.ok) return showFaults(made.faults);
    handover.show("yours");
    say("");
    part("stored", result).textContent = made.stores ? "" : "This browser stores nothing for this page: save the file under Your records before you leave.";
    return show(now);
  }

  // Beside its field where it has one; the book stays as it was until it is mended.
  function showFaults(faults) {
    const loose = [];
    for (const one of form.querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
    for (const err of form.querySelectorAll(".err")) err.textContent = "";
    for (const { field, do: does } of faults) {
      const err = document.getElementById(`month-${field}-e`);
      if (!err) {
        loose.push(`${field.replaceAll("_", " ")}: ${does}`);
        continue;
      }
      err.textContent = does;
      form.elements[field].setAttribute("aria-invalid", "true");
    }
    form.querySelector("[aria-invalid]")?.focus();
    return say(faults.length ? ["Nothing was put in the book yet.", ...loose].join(" ") : "");
  }

  const stamp = () => ({ id: kept.newId(), written: new Date().toISOString() });
  const undo = () => kept.add([{ ...stamp(), date: entry.date, kind: "deleted", replaces: entry.id }]);

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
    save().catch((wrong) => say(`It could not be put in the book. ${wrong.message} What you typed is kept here.`)).finally(() => (saving = false));
  });
  form.addEventListener("click", ({ target }) => target.closest("[data-step] button") && step(target.closest("button")));
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
