"use strict";
// The month's check: what was told becomes one entry of the truck's book; the result says what moved and what to do.
// What a finding means stands in the page's own lines; the dates come from the calculators.
(() => {
  const form = document.querySelector("form[data-month]");
  if (!form) return;
  const { own, here } = kept;
  const part = (name, within = document) => within.querySelector(`[data-${name}]`);
  const message = part("message", form);
  const result = part("month-result");
  const words = part("month-words").content;
  const COUNTED = 9; // things that the check asks
  const UNITS = { odometer: "mi", engine_hours: "h", idle_hours: "h", def: "gal", water: "mL" };
  const CHOSEN = ["jar", "oil_mark", "tires"];
  const counts = new Map(); // a count that nobody told is none, not nothing
  let before = null; // the answers and the book as they stood before the entry
  let entry = null;

  const book = () => own(own(here.saved, "truck"), "book") ?? [];
  const bare = (told) => String(told ?? "").replace(/\s*(mi|h|gal|mL|km|L)$/, "");
  const label = (field, value) => words.querySelector(`[data-label="${field}.${value}"]`)?.textContent ?? "";

  // What was read last, of each thing by itself, and the day of the check before.
  function last(field) {
    const dated = book().filter((one) => own(one, field) !== undefined && one.date).toSorted((a, b) => (a.date < b.date ? -1 : 1));
    return dated.at(-1);
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
      if (text && (name !== "water" || made.jar === "water" || form.elements.jar.value === "water")) made[name] = shared.isBare(text) ? `${text} ${UNITS[name]}` : text;
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
    const made = words.querySelector(`[data-of="${of}"]`)?.cloneNode(true);
    if (made) part("now", made).textContent = now;
    return made;
  }

  function findings(now, was) {
    const found = CHOSEN.map((field) => now[field] && line(`${field}.${now[field]}`, comparison(field, now, was)));
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
        const made = line("moved", `${row.due_date.phrase}, was ${old.get(job).due_date.phrase}`);
        made.querySelector("b").textContent = row.job.phrase;
        return made;
      });
  }

  function show(now, was) {
    const rows = [...findings(now, was), ...moved()];
    const said = rows.length ? `${rows.length} ${rows.length === 1 ? "thing" : "things"} to know` : "As before";
    part("head", result).textContent = was ? `${said} since ${was.date}` : "This is the baseline";
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
    const was = last("jar") ?? last("oil_mark") ?? last("odometer");
    before = { saved: here.saved, last: Object.fromEntries(Object.keys(UNITS).map((name) => [name, last(name)])) };
    entry = { id: kept.newId(), date: kept.today(), kind: "check", written: new Date().toISOString(), ...now };
    say("Working out what moved…");
    const made = await kept.add([entry], { watcher: (runtime) => runtime.message && say(runtime.message) });
    const wrong = made.faults.filter((fault) => fault.given && Object.values(now).map(String).includes(String(fault.given)));
    if (wrong.length) {
      await undo();
      return showFaults(wrong);
    }
    say("");
    return show(now, was);
  }

  function showFaults(faults) {
    for (const err of form.querySelectorAll(".err")) err.textContent = "";
    const loose = [];
    for (const { field, do: does } of faults) {
      const err = document.getElementById(`month-${field.split(".").at(-1)}-e`);
      if (err) err.textContent = does;
      else loose.push(does);
    }
    say(loose.join(" "));
    return undefined;
  }

  const undo = () => kept.add([{ id: kept.newId(), date: entry.date, kind: "deleted", replaces: entry.id, written: new Date().toISOString() }]);

  function say(text) {
    message.textContent = text;
    return undefined;
  }

  form.addEventListener("input", count);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    save().catch((wrong) => say(`It could not be put in the book. ${wrong.message} What you typed is kept here.`));
  });
  form.addEventListener("click", ({ target }) => target.closest("[data-step] button") && step(target.closest("button")));
  part("undo-check", result).addEventListener("click", async () => {
    await undo();
    result.hidden = true;
    form.hidden = false;
    say("The check was taken back. What you typed still stands here.");
    showLast();
  });
  document.addEventListener("truck", showLast);
  showLast();
  count();
})();
