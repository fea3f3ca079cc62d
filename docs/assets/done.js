"use strict";
// Done opens a small sheet wherever a job stands: the day, the meters as the guide supposes them, a note. It becomes an entry of the
// truck's book; Undo takes it back. From a folder, where pages may share no storage, the book itself is opened instead.
(() => {
  const { own, isBare } = shared;
  const { here } = kept;
  const { all, byId, sure, the } = words;
  const found = document.querySelector("dialog[data-done-sheet]");
  if (!found) return;
  const sheet = found;
  const form = the("form", sheet);
  const { elements } = form;
  /** @param {string} name @param {ParentNode} [within] */
  const part = (name, within) => the(`[data-${name}]`, within);
  const METERS = /** @type {const} */ (["odometer", "engine_hours"]);
  const UNITS = { odometer: "mi", engine_hours: "h", oil_added: "qt" };
  const SAYS = part("sheet-says").textContent;
  let job = ""; // that the sheet is open for
  let whose = here.saved?.truck.id; // the truck's, of which it is
  /** @type {Record<string, string>} */
  let guessed = {}; // the meters as the guide supposes them, where their fields still say so
  /** @type {Set<string>} */
  const touched = new Set(); // meters that a reader typed in, or emptied
  let asked = 0;
  /** @type {Map<string, string[]>} */
  const added = new Map(); // job: ids of what was added for it, on this visit
  let last = ""; // the job that was added last

  const isMine = () => Boolean(here.saved) && here.showing === "yours" && !here.guest && !here.carries;
  const field = (/** @type {string} */ name) => sure(elements.namedItem(name), name);
  const value = (/** @type {string} */ name) => field(name).value.trim();

  function day() {
    const chosen = value("day");
    if (chosen === "other") return value("date");
    const back = chosen === "yesterday" ? 1 : 0;
    return shared.today(new Date(Date.now() - back * 86_400_000));
  }

  /** @param {string} name @param {string} shown */
  function open(name, shown) {
    job = name;
    whose = kept.shown().truck.id;
    guessed = {};
    touched.clear();
    form.reset();
    field("day").value = "today";
    part("done-truck").textContent = kept.shown().truck.name;
    byId("done-head").textContent = shown;
    for (const extra of all("[data-extra]", sheet)) extra.hidden = extra.dataset.extra !== job;
    for (const err of all(".err", sheet)) err.textContent = "";
    say(SAYS);
    follow();
    for (const meter of METERS) suppose(meter, known(meter));
    sheet.showModal();
    byId("done-head").focus();
    guess();
  }

  const say = (/** @type {string} */ text) => (part("sheet-says").textContent = text);

  // Today's meters stand ready among the stored answers; other days are asked of the runtime.
  /** @param {typeof METERS[number]} meter */
  function known(meter) {
    const found = handover.value(`service_due.${meter}_now`);
    const isRead = typeof handover.value("service_due.readings_age")?.value === "number";
    return found && found.rests_on !== "example" && isRead ? `${found.number?.replaceAll(",", "")} ${UNITS[meter]}` : "";
  }

  /** @param {string} meter @param {string | undefined} told */
  function suppose(meter, told) {
    const one = field(meter);
    if (touched.has(meter)) return;
    words.write(one, String(told ?? "").replace(/ (mi|h)$/, ""));
    if (one.value) guessed[meter] = one.value;
    else delete guessed[meter];
    mark();
  }

  function mark() {
    for (const meter of METERS) {
      const about = Boolean(value(meter)) && value(meter) === guessed[meter];
      field(meter).classList.toggle("est", about);
      part(`about="${meter}"`, sheet).hidden = !about;
    }
    const any = METERS.some((meter) => value(meter) && value(meter) === guessed[meter]);
    part("from", sheet).textContent = any ? "By what is usual since the last reading. At the truck? Type what it shows." : "";
  }

  async function guess() {
    const mine = ++asked;
    const on = day();
    if (!on || on > kept.today()) return;
    const reply = await kept.ask({ do: "estimate", truck: kept.shown().truck, today: kept.today(), day: on }).catch(() => null);
    if (mine !== asked || !reply?.ok || !sheet.open) return;
    for (const meter of METERS) suppose(meter, own(reply.meters, meter));
  }

  function follow() {
    part("other", sheet).hidden = value("day") !== "other";
  }

  // The entry, and beside it a reading of the meters that were read, where others are the guide's own guess.
  /** @returns {Entry[]} */
  function entries() {
    const head = { date: day(), written: new Date().toISOString() };
    /** @type {Record<string, Told>} */
    const told = {};
    for (const name of /** @type {const} */ ([...METERS, "oil_added"])) {
      const text = name === "oil_added" && job !== "engine_oil" ? "" : words.written(field(name));
      if (text) told[name] = isBare(text) ? `${text} ${UNITS[name]}` : text;
    }
    if (value("receipt")) told.receipt = value("receipt") === "yes";
    if (value("note")) told.note = value("note");
    const about = METERS.filter((meter) => told[meter] && value(meter) === guessed[meter]);
    const read = METERS.filter((meter) => told[meter] && !about.includes(meter));
    /** @type {{ kind: string, jar?: string, job?: string }} */
    const kind = job === "separator_drain" && value("jar") ? { kind: "drain", jar: value("jar") } : { kind: "job", job };
    if (kind.kind === "drain") delete told.receipt;
    const made = { id: kept.newId(), ...head, ...kind, ...told, ...(about.length ? { estimated: true } : {}) };
    const reading = { id: kept.newId(), ...head, kind: "reading", ...Object.fromEntries(read.map((meter) => [meter, told[meter]])) };
    return about.length && read.length ? [made, reading] : [made];
  }

  async function add() {
    for (const err of all(".err", sheet)) err.textContent = "";
    if (!day() || day() > kept.today()) return showFaults([{ field: "date", do: "Choose the day on which it was done." }]);
    const made = entries();
    const name = byId("done-head").textContent;
    say("Working everything out…");
    const { ok, faults, stores } = await kept.add(made, { asks: true, of: whose, watcher: ({ message }) => message && say(message) });
    if (!ok) return showFaults(faults);
    added.set(job, made.map(({ id }) => id));
    last = job;
    sheet.close();
    return tell(name, made[0].date ?? "", stores);
  }

  /** @param {string} name @param {string} date @param {boolean} stores */
  function tell(name, date, stores) {
    const on = new Date(`${date}T00:00:00Z`).toLocaleDateString("en-US", { timeZone: "UTC", month: "short", day: "numeric" });
    document.dispatchEvent(new CustomEvent("did", { detail: { job: last, day: on } }));
    document.dispatchEvent(new Event("truck"));
    const said = stores ? `${name}: in the book for ${on}.` : "This browser stores nothing: save the file before you leave.";
    const undo = document.querySelector(`[data-order] [data-job="${last}"] [data-undo-did]`);
    undo?.focus();
    const line = part("did-line");
    line.hidden = Boolean(undo) && stores;
    sure(line.firstElementChild, "a line's words").textContent = said;
    if (!undo) the("button", line).focus({ preventScroll: true });
    words.heard(said);
  }

  /** @param {Pick<Fault, "field" | "do">[]} faults */
  function showFaults(faults) {
    /** @type {string[]} */
    const loose = [];
    for (const fault of faults) {
      const err = document.getElementById(`done-${fault.field}-e`);
      if (err) err.textContent = fault.do;
      else loose.push(fault.do);
    }
    say(["Nothing was added yet.", ...loose].join(" "));
    elements.namedItem(faults[0]?.field ?? "")?.focus?.();
  }

  /** @param {string} gone */
  async function undo(gone) {
    const ids = added.get(gone);
    if (!ids) return;
    const now = { date: kept.today(), kind: "deleted", written: new Date().toISOString() };
    const taken = ids.map((id) => ({ id: kept.newId(), ...now, replaces: id }));
    await kept.add(taken, { of: whose });
    added.delete(gone);
    part("did-line").hidden = true;
    document.dispatchEvent(new CustomEvent("undone", { detail: { job: gone } }));
    document.dispatchEvent(new Event("truck"));
    words.heard("Taken back.");
    document.querySelector(`[data-order] [data-job="${gone}"] [data-did]`)?.focus();
  }

  const failing = (/** @type {unknown} */ wrong) => say(`It could not be added. ${shared.why(wrong)} What you typed is kept here.`);

  document.addEventListener("click", (event) => {
    const button = event.target.closest?.("a[data-did]");
    const taken = event.target.closest?.("[data-undo-did], [data-did-line] button");
    if (taken) undo(taken.closest("[data-job]")?.dataset.job ?? last).catch((wrong) => words.heard(wrong.message));
    if (!button || event.button || event.metaKey || event.ctrlKey) return;
    const name = button.dataset.did || button.closest("[data-job]")?.dataset.job;
    if (!name || !isMine() || !sheet.showModal) {
      if (name) button.href = `records.html#did-${name}`;
      return;
    }
    const shown = handover.jobs().find((one) => one.job === name)?.name;
    if (!shown) return;
    event.preventDefault();
    open(name, shown);
  });
  part("close-sheet").addEventListener("click", () => sheet.close());
  sheet.addEventListener("click", ({ target }) => target === sheet && sheet.close());
  form.addEventListener("change", ({ target }) => {
    if (!["day", "date"].includes(target.name)) return;
    follow();
    guess();
  });
  form.addEventListener("input", ({ target }) => {
    touched.add(target.name);
    mark();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    add().catch(failing);
  });
})();
