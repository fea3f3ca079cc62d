"use strict";
// The six questions of My truck. They are fields of its form; what is told of a day in them becomes an entry of the book. Each
// answer brings a line that says what is known by it, and the facts that would move the answers most are asked for next.
// All sums are made by the runtime.
const sixQuestions = (() => {
  const { own } = shared;
  const { here } = kept;
  const { all, row } = words;
  const form = document.querySelector("form[data-truck]");
  if (!form) return null;
  const KINDS = { delivery: { kind: "delivery" }, oil: { kind: "job", job: "engine_oil" } };
  const CALLED = ["call_service", "call_tow", "call_boss"];
  const OWN = [...Object.keys(KINDS), "identity"];
  const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const MOVED = ["regeneration", "idle_bill", "exhaust_fluid_use", "fluid_cost"]; // answers looked at for what would move them
  const SHARPENED = 3; // never more
  const FLIPS = 10; // more than any share a number may move by: what turns a verdict comes first
  const SETTLED = 350; // milliseconds after the last key
  const WHICH = {
    plows: /^plow_/, tows: /^(tongue_|trailer_|hitch|tow_rating|combined_rating)/, hauls: /^cargo_/,
    power_take_off: /^work_idle_hours/,
  }; // facts that only such a truck has
  const LEFT_OUT = { plows: "a plow", tows: "a trailer", hauls: "a load", power_take_off: "a power take-off" };
  let later = 0;
  let turn = 0;
  let awake = false;

  const field = (name) => [...form.elements].find((one) => one.name === name && !one.dataset.sets);
  const value = (name) => field(name)?.value.trim() ?? "";
  const isOwn = (name) => OWN.includes(name.split(".")[0]);
  const fields = [...form.elements].filter((one) => one.name && !one.dataset.sets && isOwn(one.name));
  const told = () => Object.fromEntries(fields.filter((one) => one.value.trim()).map((one) => [one.name, one.value.trim()]));
  const identityOf = (name) => own(own(own(here.saved, "truck"), "identity"), name) ?? "";
  const identity = () => Object.fromEntries(CALLED.map((name) => [name, value(`identity.${name}`)])
    .filter(([name, text]) => text || identityOf(name)));

  // Days ------------------------------------------------------------------------------------------

  // 6/14/2026, 2026-06-14, Jun 14, 2026 or, as the first of a month that is all that's known, 6/2026 and Jun 2026.
  function dayOf(text) {
    const month = (name) => MONTHS.findIndex((one) => name.toLowerCase().startsWith(one.toLowerCase())) + 1;
    const ways = [
      [/^(\d{4})-(\d{1,2})-(\d{1,2})$/, ([y, m, d]) => [y, m, d]],
      [/^(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})$/, ([m, d, y]) => [y, m, d]],
      [/^([a-z]{3,9})\.? (\d{1,2}),? (\d{4})$/i, ([m, d, y]) => [y, month(m), d]],
      [/^(\d{1,2})[/.-](\d{4})$/, ([m, y]) => [y, m]],
      [/^(\d{4})-(\d{1,2})$/, ([y, m]) => [y, m]],
      [/^([a-z]{3,9})\.?,? (\d{4})$/i, ([m, y]) => [y, month(m)]],
    ];
    for (const [way, read] of ways) {
      const found = way.exec(text.replace(/\s+/g, " "));
      if (!found) continue;
      const [y, m, d] = read(found.slice(1)).map(Number);
      const made = new Date(Date.UTC(y, m - 1, d ?? 1));
      if (made.getUTCMonth() === m - 1) return { date: made.toISOString().slice(0, 10), about: d === undefined };
    }
    return null;
  }

  function dayText({ date = "", estimated, note }) {
    const [y, m, d] = date.split("-").map(Number);
    return !y ? "" : estimated && d === 1 && note === ONLY_MONTH ? `${m}/${y}` : `${m}/${d}/${y}`;
  }

  const ONLY_MONTH = "Only the month was known.";
  const WRITE_A_DAY = "Write the day as 6/14/2026, or the month as 6/2026.";

  // Entries ---------------------------------------------------------------------------------------

  // The entry of the book that a question shows: the last of its kind that counts.
  function entryOf(part) {
    const rows = (own(here.saved, "entries") ?? []).filter((one) => !one.struck_by);
    const raws = rows.map(({ id }) => here.saved.truck.book.find((raw) => raw.id === id)).filter(Boolean);
    return raws.find((raw) => Object.entries(KINDS[part]).every(([name, is]) => raw[name] === is));
  }

  const bare = (text) => String(text ?? "").replace(/ (mi|h)$/, "");
  const yesNo = (one) => (one === undefined ? "" : one === true || one === "yes" ? "yes" : "no");

  // What the book and the truck tell the fields of these questions.
  function keptIn() {
    const found = {};
    for (const part of Object.keys(KINDS)) {
      const raw = entryOf(part);
      if (!raw) continue;
      found[`${part}.date`] = dayText(raw);
      for (const meter of ["odometer", "engine_hours"]) if (raw[meter] !== undefined) found[`${part}.${meter}`] = bare(raw[meter]);
      if (part === "delivery") found["delivery.new"] = yesNo(raw.new);
    }
    for (const name of CALLED) found[`identity.${name}`] = identityOf(name);
    return Object.fromEntries(Object.entries(found).filter(([, text]) => text !== ""));
  }

  const partIn = (all, part) => Object.fromEntries(Object.entries(all)
    .filter(([name]) => name.startsWith(`${part}.`) && name !== "oil.known"));
  const partOf = (part) => partIn(told(), part);

  // Entries for what is told anew: {made: [{part, head, fields}], faults}. A later day is another change; else it is corrected.
  function entries() {
    const [made, faults] = [[], []];
    const before = keptIn();
    for (const part of Object.keys(KINDS)) {
      const now = partOf(part);
      const same = Object.keys({ ...now, ...partIn(before, part) }).every((name) => now[name] === before[name]);
      if (same || !now[`${part}.date`] || (part === "delivery" && !now["delivery.new"])) continue;
      const day = dayOf(now[`${part}.date`]);
      if (!day || day.date > kept.today()) {
        faults.push({ field: `${part}.date`, given: now[`${part}.date`], do: day ? "That day is still to come." : WRITE_A_DAY });
        continue;
      }
      made.push({ part, head: headOf(part, day), fields: Object.fromEntries(Object.entries(now)
        .filter(([name]) => name !== `${part}.date`).map(([name, text]) => [name.slice(part.length + 1), withUnit(name, text)])) });
    }
    return { made, faults };
  }

  const withUnit = (name, text) => {
    const unit = field(name).parentElement.querySelector("[data-unit]")?.dataset.unit;
    return name === "delivery.new" ? text : unit && shared.isBare(text) ? `${text} ${unit}` : text;
  };

  function headOf(part, { date, about }) {
    const was = entryOf(part);
    const corrects = was && (part === "delivery" || date <= was.date);
    const { estimated: _, odometer: _o, engine_hours: _h, replaces: _r, note: before, ...rest } = corrects ? was : {};
    const note = before && before !== ONLY_MONTH ? before : about ? ONLY_MONTH : "";
    return { ...rest, ...(note ? { note } : {}), ...KINDS[part], id: kept.newId(), date, written: new Date().toISOString(),
      ...(about ? { estimated: true } : {}), ...(corrects ? { replaces: was.id } : {}) };
  }

  // What is told and makes no entry yet stays in its field.
  function waiting() {
    const past = (name) => (dayOf(value(name))?.date ?? "9999") <= kept.today();
    const whole = past("delivery.date") && value("delivery.new");
    const half = whole ? {} : partOf("delivery");
    const oil = past("oil.date") ? {} : partOf("oil");
    return { ...half, ...oil, ...(value("oil.known") ? { "oil.known": value("oil.known") } : {}) };
  }

  // What is shown ---------------------------------------------------------------------------------

  const QUESTIONS = {
    work: { needs: () => [value("name"), does().some((one) => one.value)] },
    meters: { needs: () => [value("odometer"), value("engine_hours")] },
    delivery: { needs: () => [value("delivery.new"), dayOf(value("delivery.date"))] },
    oil: { needs: () => (value("oil.known") ? [true] : [dayOf(value("oil.date")), value("oil.odometer")]) },
    trips: { needs: () => ["short_trips_per_week", "long_trips_per_week", "short_trip_time", "long_trip_time"].map(value) },
    idling: { needs: () => [value("idle_hours_per_week")] },
  };

  const does = () => all("[data-sets]", form.querySelector("[data-ask=work]")).map((box) => field(box.dataset.sets));
  const stateOf = (key) => {
    const needs = QUESTIONS[key].needs();
    return needs.every(Boolean) ? "told" : needs.some(Boolean) ? "part-told" : "wait";
  };

  // The boxes follow the fields they set, and the questions what is told in them.
  function show() {
    for (const box of all("[data-sets]", form)) box.checked = value(box.dataset.sets) === box.value;
    form.querySelector("[data-none]").checked = does().every((one) => one.value === "no");
    mark();
    if (awake) work();
    else says(stored());
  }

  // Of a truck that was kept the lines are known; the runtime starts when somebody comes to a field.
  function stored() {
    const { answers, truck } = here.saved ?? {};
    if (!answers || "unsaved" in form.dataset || !kept.fits(here.saved)) return null;
    const reply = (name) => ({ ok: Boolean(own(answers, name)), answer: own(answers, name) });
    const replies = { due: { jobs: handover.jobs() }, regeneration: reply("regeneration"), idle_bill: reply("idle_bill") };
    return { replies, name: truck.name };
  }

  function mark() {
    let many = 0;
    for (const item of all("[data-ask]", form)) {
      const state = stateOf(item.dataset.ask);
      item.className = state;
      many += Number(state === "told");
    }
    form.querySelector("[data-six]").textContent = `${many} of ${Object.keys(QUESTIONS).length} told`;
    form.querySelector("[data-enough]").textContent = some() || here.saved ? "Enough for now" : "Look around first";
    leaveOut();
  }

  // What it never does is not asked: the facts of a plow, of a trailer. One tick brings them back.
  function leaveOut() {
    const not = Object.keys(WHICH).filter((name) => value(name) === "no");
    for (const one of form.querySelectorAll(".all-facts [name], .all-facts [data-unit-for]")) {
      const cell = one.closest(".cell");
      if (cell && one.name) cell.hidden = not.some((name) => WHICH[name].test(one.name));
    }
    for (const group of all("details.group", form)) group.hidden = !all(".cell", group).some((cell) => !cell.hidden);
    const line = form.querySelector("[data-left-out]");
    line.hidden = !not.length;
    const none = not.map((name) => LEFT_OUT[name]).join(", ");
    line.textContent = `Not asked, because this truck has none: ${none}. Tick it at the top to bring it back.`;
  }

  const some = () => Object.keys(QUESTIONS).some((key) => stateOf(key) !== "wait");

  function work() {
    clearTimeout(later);
    turn += 1;
    if (!some()) {
      for (const box of all("[data-so]", form)) box.hidden = true;
      form.querySelector("[data-sharpen]").hidden = true;
      return;
    }
    later = setTimeout(() => answer(turn).catch(() => {}), SETTLED); // a runtime that cannot start is told when it is saved
  }

  async function answer(mine) {
    const today = kept.today();
    const read = await kept.ask({ do: "read_truck", text: JSON.stringify(myTruck.truck()), today }, starting);
    if (!read.ok || mine !== turn) return;
    const { truck } = read;
    const ask = (calculator) => kept.ask({ do: "answer", calculator, given: {}, truck, today, units: "us", working: false });
    const replies = { due: await kept.ask({ do: "jobs", truck, today }), service_due: await ask("service_due"),
      regeneration: await ask("regeneration"), idle_bill: await ask("idle_bill") };
    if (mine !== turn) return;
    still(() => says({ replies, name: truck.name }));
    await sharpen(mine, replies, truck, ask);
  }

  function starting({ state, message, share }) {
    if (state === "ready") return write("");
    return write(message || (share > 0 ? `Starting the calculators… ${Math.round(share * 100)} %` : "Starting the calculators…"));
  }

  const write = (text) => (form.querySelector("[data-says]").textContent = text);

  // A line that comes above what is typed in moves nothing under a reader's hand.
  function still(change) {
    const held = form.contains(document.activeElement) ? document.activeElement : null;
    const before = held?.getBoundingClientRect().top;
    change();
    if (held) scrollBy({ top: held.getBoundingClientRect().top - before, behavior: "instant" });
  }

  function says(known) {
    const lines = known ? linesOf(known.replies, known.name) : {};
    for (const item of all("[data-ask]", form)) {
      const parts = item.className === "wait" ? null : lines[item.dataset.ask];
      const box = item.querySelector("[data-so]");
      box.hidden = !parts;
      box.querySelector("p").replaceChildren(...(parts ?? []));
    }
    words.heard(lines[document.activeElement?.closest?.("[data-ask]")?.dataset.ask]?.map((one) => one.textContent ?? one).join(""));
  }

  function mine(text) {
    const made = document.createElement("b");
    made.className = "mine";
    made.textContent = text;
    return made;
  }

  // A sentence of the calculators, in the color of what it rests on.
  function sentence(reply) {
    if (!reply.ok) return null;
    const { answer: text, answer_rests_on: rests, answer_whose: whose } = reply.answer;
    const made = document.createElement("span");
    made.dataset.rests = rests ?? "";
    if (rests === "yours") made.className = "mine";
    made.textContent = text;
    const word = document.createElement("small");
    word.className = "rests";
    word.dataset.rests = rests ?? "";
    word.textContent = whose ?? "";
    return rests === "yours" ? [made] : [made, " ", word];
  }

  function linesOf({ due, regeneration, idle_bill: idling }, name) {
    const { jobs } = due;
    const undated = jobs.filter((job) => !job.dated);
    const oil = jobs.find((job) => job.job === "engine_oil");
    const [next] = jobs.filter((job) => job.dated);
    const day = new Date(`${kept.today()}T00:00:00Z`).toLocaleDateString("en-US", { timeZone: "UTC", month: "short", day: "numeric" });
    const plow = jobs.find((job) => job.job === "plow_hydraulics" && value("plows") === "yes");
    return {
      work: [mine(`${jobs.length} jobs`), ` can come up for ${name}${plow ? `, ${plow.name.toLowerCase()} among them` : ""}.`],
      meters: ["In the book for ", mine(day), " once you stop. The dates count from here."],
      delivery: value("delivery.new") === "yes" && next ? ["Every clock starts that day. Next: ", mine(`${next.name}, ${next.when}`), "."]
        : value("delivery.new") === "no" ? [mine(`${undated.length} jobs`), " have no record yet: each says what to do first."] : null,
      oil: oil && (oil.dated ? [oil.section === "overdue" ? "Overdue: oil " : "Next: oil ", mine(oil.when), `, ${oil.brought_by}.`]
        : value("oil.known") || dayOf(value("oil.date")) ? ["Oil: treat it as due. Do it now, and its record starts."] : null),
      trips: sentence(regeneration),
      idling: sentence(idling),
    };
  }

  // Sharpen ---------------------------------------------------------------------------------------

  const OIL_CLOCKS = {
    date: "On what day was the last oil change?",
    odometer: "What did the odometer show at the last oil change?",
    engine_hours: "What did the hour meter show at the last oil change?",
  };

  async function sharpen(mine, { due, service_due: service }, truck, ask) {
    const oil = due.jobs.find((job) => job.job === "engine_oil");
    const record = own(service, "answer")?.results.jobs.find((one) => one.job.value === "engine_oil");
    const noStart = record?.clock_without_start?.value;
    const found = [];
    if (oil?.dated && noStart && !value(`oil.${noStart}`)) {
      found.push({ input: `oil.${noStart}`, size: Infinity, home: "service_due", low: "", high: "",
        question: OIL_CLOCKS[noStart],
        now: `Now the oil’s day goes by one clock alone: ${oil.when}.`, gain: "Tell it: whichever clock runs out first counts." });
    }
    for (const calculator of MOVED) {
      const { ok, answer: made } = await ask(calculator);
      if (!ok || !made.assumes.length) continue;
      const moved = await kept.ask({ do: "sensitivity", calculator, given: {}, truck, today: kept.today() });
      if (mine !== turn) return;
      const { input, question, text: now } = made.turns ?? {};
      if (input) found.push({ input, question, now, size: FLIPS, home: calculator, low: "", high: "", gain: "Tell it: it is yours." });
      const rows = moved.rows ?? [];
      found.push(...rows.filter((one) => made.assumes.includes(one.input.value)).map((one) => cardOf(calculator, moved, one)));
    }
    const sorted = found.filter((one) => asks(one.input)).toSorted((a, b) => b.size - a.size);
    const firsts = sorted.filter((one, place) => sorted.findIndex((other) => other.home === one.home) === place); // an answer each
    const best = new Map();
    for (const one of [...firsts, ...sorted]) if (!best.has(one.input)) best.set(one.input, one);
    showCards([...best.values()].slice(0, SHARPENED));
  }

  const asks = (name) => {
    const one = field(name);
    const above = one?.closest("[data-ask]") && !isOwn(name);
    return one && !above && !one.closest("[data-assumptions]") && !one.closest(".cell")?.hidden && !one.value.trim();
  };

  function cardOf(calculator, moved, { input, low, high, result_at_low: atLow, result_at_high: atHigh }) {
    const ends = [atLow, atHigh].toSorted((a, b) => a.value - b.value);
    const size = Math.abs(ends[1].value - ends[0].value) / (Math.abs(ends[0].value) + Math.abs(ends[1].value) || 1);
    return { input: input.value, question: input.phrase, size, home: calculator, low: ends[0].phrase, high: ends[1].phrase,
      now: `${moved.label} now, at ${low.phrase} and at ${high.phrase}:`, gain: "Tell it: one number, and it is yours." };
  }

  function showCards(cards) {
    const part = form.querySelector("[data-sharpen]");
    const list = part.querySelector("ul");
    if (list.contains(document.activeElement)) return; // not under a reader's hand
    part.hidden = !cards.length;
    list.replaceChildren(...cards.map((card) => {
      const made = row("sharpen", card);
      made.querySelector("[data-field]").replaceChildren(copied(field(card.input), card.question));
      made.querySelector(".where").append(...homeOf(card.home));
      return made;
    }));
  }

  function homeOf(name) {
    const home = form.querySelector("template[data-homes]").content.querySelector(`[data-home="${name}"]`);
    return home ? ["Also asked under ", home.cloneNode(true)] : [];
  }

  // The same fact's field once more, which fills in the one of the form.
  function copied(one, question) {
    const cell = one.closest(".cell").querySelector(".in").cloneNode(true);
    for (const part of all("[id]", cell)) part.removeAttribute("id");
    for (const units of all("[data-unit-for]", cell)) units.remove();
    const copy = cell.querySelector(`[name="${one.name}"]`);
    copy.dataset.copies = one.name;
    copy.removeAttribute("name");
    copy.removeAttribute("aria-describedby");
    copy.setAttribute("aria-label", question);
    copy.placeholder &&= `${one.placeholder} ${one.placeholder === "not told" ? "" : "example"}`.trim();
    return cell;
  }

  // What a reader does ----------------------------------------------------------------------------

  function set(name, text) {
    const one = field(name);
    one.value = text;
    one.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function tick(box) {
    if (box.dataset.sets === "oil.known" || box.type === "radio") return set(box.dataset.sets, box.checked ? box.value : "");
    const boxes = all("[data-sets]", box.closest("[data-ask]"));
    const none = form.querySelector("[data-none]");
    if (box === none) for (const other of boxes) other.checked = false;
    else none.checked = false;
    const no = none.checked || boxes.some((one) => one.checked) ? "no" : "";
    for (const other of boxes) set(other.dataset.sets, other.checked ? "yes" : no);
    return undefined;
  }

  form.addEventListener("input", ({ target }) => {
    if (target.dataset.copies) set(target.dataset.copies, target.value);
    else if (target.dataset.sets || "none" in target.dataset) tick(target);
    else mark();
    work();
  });
  form.addEventListener("focusin", () => {
    if (awake) return;
    awake = true;
    work();
  });

  return { isOwn, told, identity, kept: keptIn, entries, waiting, show };
})();
