"use strict";
// Home is the saved truck's work order: what is overdue, what comes this week and this month, and the rest folded. Its jobs in
// words were stored when they were worked out. A job that was ticked stays where it was until the page is left, with its Undo.
(() => {
  const { own, onDay } = shared;
  const { here, today } = kept;
  const { all, row, sure, the } = words;
  const found = document.querySelector("[data-order]");
  if (!found) return;
  const order = found;
  /** @param {string} name @param {ParentNode} [within] */
  const part = (name, within) => the(`[data-${name}]`, within);
  /** @type {Record<string, string>} */
  const EDGES = { overdue: "over", this_week: "week", this_month: "month", do_now: "month", later: "later" };
  const FOLDED = ["look", "ask"]; // no record, and nothing that harms quietly
  const FEW = 3; // jobs that need no fold
  const DAY = 86_400_000;
  /** @type {Map<string, { was: OrderRow, day: string }>} */
  const did = new Map(); // job: {was: its row as it stood, day}
  /** @type {OrderRow[]} */
  let rows = []; // as they stand on the page

  /** @type {(count: number, one: string) => string} */
  const many = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;

  // How late a job is: by its day, and by the miles or hours it was past on the day that its answer was worked out.
  /** @param {Job} job */
  function late(job) {
    const told = (/** @type {string} */ name) => handover.value(`service_due.jobs.${job.job}.${name}`);
    const days = Math.round((Date.parse(today()) - Date.parse(job.day ?? today())) / DAY);
    const clock = told("governed_by")?.value;
    const left = clock === "distance" ? told("distance_left") : clock === "engine_hours" ? told("engine_hours_left") : null;
    const about = here.saved?.computed_on === today() ? "about" : "more than";
    const past = Number(left?.value) < 0 ? `${about} ${String(left?.phrase).replace("−", "")}` : "";
    return days > 0 || past ? `${[days > 0 ? many(days, "day") : "", past].filter(Boolean).join(", ")} over` : job.when;
  }

  const shown = (/** @type {Job} */ job) => (job.section === "overdue" && job.day
    ? { ...job, when: late(job), brought_by: [job.when, job.brought_by].filter(Boolean).join(", ") } : job);

  // The rows in order; one that is done keeps its place and says when it comes next.
  /** @returns {OrderRow[]} */
  function current() {
    const fresh = new Map(handover.jobs().map((job) => [job.job, job]));
    const old = [...did].map(([key, { was }]) => ({ ...was, now: fresh.get(key) }));
    const order = new Map(rows.map((one, place) => [one.job, place]));
    const others = [...fresh.values()].filter((job) => !did.has(job.job));
    return [...others, ...old].toSorted((a, b) => (did.size ? (order.get(a.job) ?? 99) - (order.get(b.job) ?? 99) : 0));
  }

  /** @param {OrderRow} job */
  function lineOf(job) {
    const { day } = did.get(job.job) ?? {};
    if (day !== undefined) {
      const next = job.now?.dated ? `Next ${job.now.when}${job.now.brought_by ? `, ${job.now.brought_by}` : ""}` : "";
      const made = row("order-did", { name: job.name, when: next, brought_by: `Done, and in the book for ${day}.` });
      made.dataset.job = job.job;
      return made;
    }
    const made = row("order-job", shown(job));
    made.dataset.job = job.job;
    made.dataset.rests = job.rests_on;
    made.dataset.section = job.section;
    made.classList.toggle("unsure", /^perhaps/.test(job.when));
    the("a[data-did]", made).href = `records.html#did-${job.job}`;
    return made;
  }

  /** @param {string} head @param {OrderRow[]} own @param {string} edge */
  function section(head, own, edge) {
    const left = own.filter((job) => !did.has(job.job)).length;
    const made = row("order-part", { head, count: many(left, "job") });
    made.classList.add(edge);
    the("ul", made).append(...own.map(lineOf));
    return made;
  }

  /** @param {string} head @param {string} what @param {OrderRow[]} own */
  function fold(head, what, own) {
    const made = row("order-fold", { head, what });
    the("ul", made).append(...own.map(lineOf));
    return made;
  }

  function parts() {
    const of = (/** @type {string} */ name) => rows.filter((job) => job.section === name);
    const made = ["overdue", "this_week", "this_month", "do_now"].filter((name) => of(name).length)
      .map((name) => section(of(name)[0].head, of(name), EDGES[name]));
    const later = of("later");
    const unknown = FOLDED.filter((name) => of(name).length);
    if (!made.length && later.length) made.push(row("order-nothing", { next: `Next: ${later[0].name}, ${later[0].when}.` }));
    if (later.length || unknown.length) made.push(rest(later, unknown, of));
    return made;
  }

  /** @param {OrderRow[]} later @param {string[]} unknown @param {(name: string) => OrderRow[]} of */
  function rest(later, unknown, of) {
    const count = later.length + unknown.reduce((sum, name) => sum + of(name).length, 0);
    const made = row("order-part", { head: later.length ? "Later" : "No record yet", count: many(count, "job") });
    made.classList.add("later");
    if (later.length > FEW) made.append(fold(`Show all ${later.length}`, `next: ${later[0].name.toLowerCase()}, ${later[0].when}`, later));
    else the("ul", made).append(...later.map(lineOf));
    for (const name of unknown) {
      const own = of(name);
      const named = (/** @type {Job} */ job) => job.name.replace(/^[A-Z](?=[a-z])/, (first) => first.toLowerCase());
      const names = own.slice(0, FEW).map(named).join(", ");
      const what = `${many(own.length, "job")} without a record: ${names}${own.length > FEW ? " …" : ""}`;
      made.append(fold(own[0].head.replace(/^No record: (.)/, (_, first) => first.toUpperCase()), what, own));
    }
    made.querySelector("ul.due-jobs:empty")?.remove();
    return made;
  }

  // The band: what it should show by now, and the reading that goes by --------------------------------

  /** @param {ReadingSays | undefined} told */
  function band(told) {
    const age = handover.value("service_due.readings_age")?.value;
    const how = told?.wanted ? ", perhaps" : age === 0 ? ", today" : ", about";
    for (const place of all("[data-now]", order)) {
      const found = handover.value(`service_due.${place.dataset.now}`);
      const known = found && found.rests_on !== "example" && typeof age === "number";
      const small = document.createElement("small");
      const [value = "", digits = ""] = known ? [found.shown, found.number] : [];
      small.textContent = known ? value.slice(digits.length).trim() : "not told yet";
      const number = document.createElement("span");
      number.className = told?.wanted ? "perhaps" : "mine";
      number.textContent = digits;
      place.replaceChildren(...(known ? [number, " ", small] : [small]));
      part("how", sure(place.parentElement, "a place's row")).textContent = known ? how : "";
    }
  }

  /** @param {ReadingSays | undefined} told */
  function first(told) {
    const form = the("form[data-first]");
    const [head, ...more] = (told?.says ?? "").split(/(?<=\.) /);
    form.hidden = !told?.wanted;
    sure(part("reading", order).parentElement, "a reading's line").hidden = Boolean(told?.wanted);
    the("h2", form).textContent = head.replace(/\.$/, "");
    const until = rows.some((job) => job.dated) ? " Until then the dates below say “perhaps”." : "";
    the("p", form).textContent = `${more.join(" ")}${until}`.trim();
  }

  function around() {
    const entries = (own(here.saved, "entries") ?? []).filter((one) => !one.struck_by);
    const check = entries.find((one) => one.kind === "check");
    the("[data-more=check]").textContent = check ? `last done ${check.when}` : "two minutes, never done";
    the("[data-more=records]").textContent = entries.length === 1 ? "1 entry" : `${entries.length} entries`;
    const left = kept.unfiled();
    const line = part("pencil");
    line.hidden = !left && here.problem !== "refused";
    const only = `${left === 1 ? "1 entry is" : `${left} entries are`} only in this browser.`;
    sure(line.firstElementChild, "a line's words").textContent = here.problem === "refused" ? "This browser keeps nothing." : only;
  }

  function show() {
    if (here.showing !== "yours" || !own(here.saved, "jobs")) return;
    const told = onDay(own(here.saved, "reading") ?? [], today());
    /** @type {Intl.DateTimeFormatOptions} */
    const words = { timeZone: "UTC", weekday: "short", month: "short", day: "numeric", year: "numeric" };
    part("weekday").textContent = new Date(`${today()}T00:00:00Z`).toLocaleDateString("en-US", words);
    const open = all("details[open] > summary", order).map((one) => one.textContent);
    rows = current();
    band(told);
    first(told);
    part("parts", order).replaceChildren(...parts());
    for (const one of all("details", order)) one.open = open.includes(the("summary", one).textContent);
    around();
  }

  // What a reader does ------------------------------------------------------------------------------

  /** @param {HTMLFormElement} form */
  async function writeReading(form) {
    const line = the(".err", form);
    const text = sure(form.elements.namedItem("odometer"), "odometer").value.trim();
    const odometer = shared.isBare(text) ? `${text} mi` : text;
    const entry = { id: kept.newId(), kind: "reading", date: today(), odometer, written: new Date().toISOString() };
    line.textContent = text ? "Working everything out…" : "Type what the odometer shows, such as 88,080.";
    if (!text) return;
    const reply = await kept.add([entry], { asks: true });
    line.textContent = reply.ok ? "" : reply.faults.map((fault) => fault.do).join(" ");
    if (!reply.ok) return;
    words.heard("It stands in the book. The dates go by it.");
    document.dispatchEvent(new Event("truck"));
  }

  const reading = the("form[data-first]");
  reading.addEventListener("submit", (event) => {
    event.preventDefault();
    writeReading(reading).catch((wrong) => (the(".err", reading).textContent = `It could not be written down. ${shared.why(wrong)}`));
  });
  part("file-order").addEventListener("click", () => {
    handover.download("my-truck.json", kept.asFile(), "application/json");
    around();
  });
  document.addEventListener("did", ({ detail: { job, day } }) => {
    const was = rows.find((one) => one.job === job);
    if (was) did.set(job, { was, day });
  });
  document.addEventListener("undone", ({ detail: { job } }) => did.delete(job));
  document.addEventListener("handover", show);
})();
