"use strict";
// Home is the saved truck's work order: what is overdue, what comes this week and this month, and the rest folded. Its jobs in
// words were stored when they were worked out. A job that was ticked stays where it was until the page is left, with its Undo.
(() => {
  const { own, onDay } = shared;
  const { here, today } = kept;
  const { all, row } = words;
  const order = document.querySelector("[data-order]");
  if (!order) return;
  const part = (name, within = document) => within.querySelector(`[data-${name}]`);
  const EDGES = { overdue: "over", this_week: "week", this_month: "month", do_now: "month", later: "later" };
  const FOLDED = ["look", "ask"]; // no record, and nothing that harms quietly
  const FEW = 3; // jobs that need no fold
  const DAY = 86_400_000;
  const did = new Map(); // job: {was: its row as it stood, day}
  let rows = []; // as they stand on the page

  const many = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;

  // How late a job is, by its day; the rest is told in the calculators' own words.
  function late(job) {
    const days = Math.round((Date.parse(today()) - Date.parse(job.day)) / DAY);
    return days > 0 ? `${job.about ?? ""}${many(days, "day")} over` : job.when;
  }

  const shown = (job) => (job.section === "overdue" && job.day
    ? { ...job, when: late(job), brought_by: [job.when, job.brought_by].filter(Boolean).join(", ") } : job);

  // The rows in order; one that is done keeps its place and says when it comes next.
  function current() {
    const fresh = new Map(handover.jobs().map((job) => [job.job, job]));
    const old = [...did].map(([key, { was }]) => ({ ...was, now: fresh.get(key) }));
    const order = new Map(rows.map((one, place) => [one.job, place]));
    const others = [...fresh.values()].filter((job) => !did.has(job.job));
    return [...others, ...old].toSorted((a, b) => (did.size ? (order.get(a.job) ?? 99) - (order.get(b.job) ?? 99) : 0));
  }

  function lineOf(job) {
    if (did.has(job.job)) {
      const next = job.now?.dated ? `Next ${job.now.when}${job.now.brought_by ? `, ${job.now.brought_by}` : ""}` : "";
      const made = row("order-did", { name: job.name, when: next, brought_by: `Done, and in the book for ${did.get(job.job).day}.` });
      made.dataset.job = job.job;
      return made;
    }
    const made = row("order-job", shown(job));
    made.dataset.job = job.job;
    made.dataset.rests = job.rests_on;
    made.dataset.section = job.section;
    made.classList.toggle("unsure", /^perhaps/.test(job.when));
    made.querySelector("[data-did]").href = `records.html#did-${job.job}`;
    return made;
  }

  function section(head, own, edge) {
    const left = own.filter((job) => !did.has(job.job)).length;
    const made = row("order-part", { head, count: many(left, "job") });
    made.classList.add(edge);
    made.querySelector("ul").append(...own.map(lineOf));
    return made;
  }

  function fold(head, what, own) {
    const made = row("order-fold", { head, what });
    made.querySelector("ul").append(...own.map(lineOf));
    return made;
  }

  function parts() {
    const of = (name) => rows.filter((job) => job.section === name);
    const made = ["overdue", "this_week", "this_month", "do_now"].filter((name) => of(name).length)
      .map((name) => section(of(name)[0].head, of(name), EDGES[name]));
    const later = of("later");
    const unknown = FOLDED.filter((name) => of(name).length);
    if (!made.length && later.length) made.push(row("order-nothing", { next: `Next: ${later[0].name}, ${later[0].when}.` }));
    if (later.length || unknown.length) made.push(rest(later, unknown, of));
    return made;
  }

  function rest(later, unknown, of) {
    const count = later.length + unknown.reduce((sum, name) => sum + of(name).length, 0);
    const made = row("order-part", { head: later.length ? "Later" : "No record yet", count: many(count, "job") });
    made.classList.add("later");
    if (later.length > FEW) made.append(fold(`Show all ${later.length}`, `next: ${later[0].name.toLowerCase()}, ${later[0].when}`, later));
    else made.querySelector("ul").append(...later.map(lineOf));
    for (const name of unknown) {
      const own = of(name);
      const names = own.slice(0, FEW).map((job) => job.name.replace(/^[A-Z](?=[a-z])/, (first) => first.toLowerCase())).join(", ");
      const what = `${many(own.length, "job")} without a record: ${names}${own.length > FEW ? " …" : ""}`;
      made.append(fold(own[0].head.replace(/^No record: (.)/, (_, first) => first.toUpperCase()), what, own));
    }
    made.querySelector("ul.due-jobs:empty")?.remove();
    return made;
  }

  // The band: what it should show by now, and the reading that goes by --------------------------------

  function band(told) {
    const age = handover.value("service_due.readings_age")?.value;
    const how = told?.wanted ? ", perhaps" : age === 0 ? ", today" : ", about";
    for (const place of all("[data-now]", order)) {
      const found = handover.value(`service_due.${place.dataset.now}`);
      const known = found && found.rests_on !== "example" && typeof age === "number";
      const small = document.createElement("small");
      small.textContent = known ? found.shown.slice(found.number.length).trim() : "not told yet";
      const number = document.createElement("span");
      number.className = told?.wanted ? "perhaps" : "mine";
      number.textContent = known ? found.number : "";
      place.replaceChildren(...(known ? [number, " ", small] : [small]));
      part("how", place.parentElement).textContent = known ? how : "";
    }
  }

  function first(told) {
    const form = part("first");
    const [head, ...more] = (told?.says ?? "").split(/(?<=\.) /);
    form.hidden = !told?.wanted;
    part("reading", order).parentElement.hidden = Boolean(told?.wanted);
    form.querySelector("h2").textContent = head.replace(/\.$/, "");
    form.querySelector("p").textContent = `${more.join(" ")}${rows.some((job) => job.dated) ? " Until then the dates below say “perhaps”." : ""}`.trim();
  }

  function around() {
    const entries = (own(here.saved, "entries") ?? []).filter((one) => !one.struck_by);
    const check = entries.find((one) => one.kind === "check");
    document.querySelector("[data-more=check]").textContent = check ? `last done ${check.when}` : "two minutes, never done";
    document.querySelector("[data-more=records]").textContent = entries.length === 1 ? "1 entry" : `${entries.length} entries`;
    const left = kept.unfiled();
    const line = part("pencil");
    line.hidden = !left && here.problem !== "refused";
    const only = `${left === 1 ? "1 entry is" : `${left} entries are`} only in this browser.`;
    line.firstElementChild.textContent = here.problem === "refused" ? "This browser keeps nothing." : only;
  }

  function show() {
    if (here.showing !== "yours" || !own(here.saved, "jobs")) return;
    const told = onDay(own(here.saved, "reading") ?? [], today());
    const words = { timeZone: "UTC", weekday: "short", month: "short", day: "numeric", year: "numeric" };
    part("weekday").textContent = new Date(`${today()}T00:00:00Z`).toLocaleDateString("en-US", words);
    const open = all("details[open] > summary", order).map((one) => one.textContent);
    rows = current();
    band(told);
    first(told);
    part("parts", order).replaceChildren(...parts());
    for (const one of all("details > summary", order)) one.parentElement.open = open.includes(one.textContent);
    around();
  }

  // What a reader does ------------------------------------------------------------------------------

  async function writeReading(form) {
    const line = form.querySelector(".err");
    const text = form.elements.odometer.value.trim();
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

  part("first").addEventListener("submit", (event) => {
    event.preventDefault();
    const line = event.target.querySelector(".err");
    writeReading(event.target).catch((wrong) => (line.textContent = `It could not be written down. ${wrong.message}`));
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
