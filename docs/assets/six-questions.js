"use strict";
// The six questions of My truck. They are fields of its form; what is told of a day in them becomes an entry of the book. Each
// answer brings a line that says what is known by it, and the facts that would move the answers most are asked for next.
// All sums are made by the runtime.
const sixQuestions = (() => {
  const { dayOf, own } = shared;
  const { here } = kept;
  const { all, row, sure, the, written } = words;
  const found = document.querySelector("form[data-truck]");
  if (!found) return null;
  const form = found;
  /** @type {Record<string, { kind: string, job?: string }>} */
  const KINDS = { delivery: { kind: "delivery" }, oil: { kind: "job", job: "engine_oil" } };
  const CALLED = ["call_service", "call_tow", "call_boss"];
  const OWN = [...Object.keys(KINDS), "identity"];
  const MOVED = ["regeneration", "idle_bill", "exhaust_fluid_use", "fluid_cost"]; // answers looked at for what would move them
  const SHARPENED = 3; // never more
  const FLIPS = 10; // more than any share a number may move by: what turns a verdict comes first
  const SETTLED = 350; // milliseconds after the last key
  /** @type {Record<string, RegExp>} */
  const WHICH = {
    plows: /^plow_/, tows: /^(tongue_|trailer_|hitch|tow_rating|combined_rating)/, hauls: /^cargo_/,
    power_take_off: /^work_idle_hours/,
  }; // facts that only such a truck has
  /** @type {Record<string, string>} */
  const LEFT_OUT = { plows: "a plow", tows: "a trailer", hauls: "a load", power_take_off: "a power take-off" };
  let later = 0;
  let turn = 0;
  let awake = false;

  const field = (/** @type {string} */ name) => [...form.elements].find((one) => one.name === name && !one.dataset.sets);
  const value = (/** @type {string} */ name) => field(name)?.value.trim() ?? "";
  const isOwn = (/** @type {string} */ name) => OWN.includes(name.split(".")[0]);
  const fields = [...form.elements].filter((one) => one.name && !one.dataset.sets && isOwn(one.name));
  const told = () => Object.fromEntries(fields.filter((one) => one.value.trim()).map((one) => [one.name, written(one)]));
  const identityOf = (/** @type {string} */ name) => own(own(own(here.saved, "truck"), "identity"), name) ?? "";
  const identity = () => Object.fromEntries(CALLED.map((name) => [name, value(`identity.${name}`)])
    .filter(([name, text]) => text || identityOf(name)));

  // Days ------------------------------------------------------------------------------------------

  /** @param {Entry} entry */
  function dayText({ date = "", estimated, note }) {
    const [y, m, d] = date.split("-").map(Number);
    return !y ? "" : estimated && d === 1 && note === ONLY_MONTH ? `${m}/${y}` : `${m}/${d}/${y}`;
  }

  const ONLY_MONTH = "Only the month was known.";
  const WRITE_A_DAY = "Write the day as 6/14/2026, or the month as 6/2026.";

  // Entries ---------------------------------------------------------------------------------------

  // The entry of the book that a question shows: the last of its kind that counts.
  /** @param {string} part @returns {Entry | undefined} */
  function entryOf(part) {
    const rows = (own(here.saved, "entries") ?? []).filter((one) => !one.struck_by);
    const raws = rows.flatMap(({ id }) => kept.shown().truck.book?.find((raw) => raw.id === id) ?? []);
    return raws.find((raw) => Object.entries(KINDS[part]).every(([name, is]) => raw[name] === is));
  }

  const bare = (/** @type {Told | undefined} */ text) => String(text ?? "").replace(/ (mi|h)$/, "");
  const yesNo = (/** @type {Told | undefined} */ one) => (one === undefined ? "" : one === true || one === "yes" ? "yes" : "no");

  // What the book and the truck tell the fields of these questions.
  function keptIn() {
    /** @type {Record<string, string>} */
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

  /** @type {(all: Record<string, string>, part: string) => Record<string, string>} */
  const partIn = (all, part) => Object.fromEntries(Object.entries(all)
    .filter(([name]) => name.startsWith(`${part}.`) && name !== "oil.known"));
  const partOf = (/** @type {string} */ part) => partIn(told(), part);

  // Entries for what is told anew: {made: [{part, head, fields}], faults}. A later day is another change; else it is corrected.
  function entries() {
    /** @type {{ part: string, head: Entry, fields: Record<string, string> }[]} */
    const made = [];
    /** @type {Fault[]} */
    const faults = [];
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

  /** @type {(name: string, text: string) => string} */
  const withUnit = (name, text) => {
    const unit = field(name)?.parentElement?.querySelector("[data-unit]")?.dataset.unit;
    return name === "delivery.new" ? text : unit && shared.isBare(text) ? `${text} ${unit}` : text;
  };

  /** @param {string} part @param {{ date: string, about: boolean }} day @returns {Entry} */
  function headOf(part, { date, about }) {
    const was = entryOf(part);
    const corrected = was && (part === "delivery" || date <= (was.date ?? "")) ? was : null;
    const { estimated: _, odometer: _o, engine_hours: _h, replaces: _r, note: before, ...rest } = corrected ?? /** @type {Entry} */ ({});
    const note = before && before !== ONLY_MONTH ? before : about ? ONLY_MONTH : "";
    return { ...rest, ...(note ? { note } : {}), ...KINDS[part], id: kept.newId(), date, written: new Date().toISOString(),
      ...(about ? { estimated: true } : {}), ...(corrected ? { replaces: corrected.id } : {}) };
  }

  // What is told and makes no entry yet stays in its field.
  function waiting() {
    const past = (/** @type {string} */ name) => (dayOf(value(name))?.date ?? "9999") <= kept.today();
    const whole = past("delivery.date") && value("delivery.new");
    const half = whole ? {} : partOf("delivery");
    const oil = past("oil.date") ? {} : partOf("oil");
    return { ...half, ...oil, ...(value("oil.known") ? { "oil.known": value("oil.known") } : {}) };
  }

  // What is shown ---------------------------------------------------------------------------------

  /** @type {Record<string, { needs: () => unknown[], more?: () => unknown[] }>} */
  const QUESTIONS = {
    work: { needs: () => [value("name"), does().some((one) => one.value)] },
    meters: { needs: () => [value("odometer"), value("engine_hours")] },
    delivery: { needs: () => [value("delivery.new"), dayOf(value("delivery.date"))] },
    oil: { needs: () => (value("oil.known") ? [true] : [dayOf(value("oil.date")), value("oil.odometer")]) },
    trips: {
      needs: () => ["short_trips_per_week", "long_trips_per_week"].map(value),
      more: () => ["short_trip_time", "long_trip_time"].map(value), // an example's stand there
    },
    idling: { needs: () => [value("idle_hours_per_week")] },
  };

  const does = () => all("[data-sets]", the("[data-ask=work]", form)).map((box) => sure(field(box.dataset.sets), box.dataset.sets));
  const stateOf = (/** @type {string} */ key) => {
    const { needs, more = () => [] } = QUESTIONS[key];
    return needs().every(Boolean) ? "told" : [...needs(), ...more()].some(Boolean) ? "part-told" : "wait";
  };

  // The boxes follow the fields they set, and the questions what is told in them.
  function show() {
    for (const box of all("input[data-sets]", form)) box.checked = value(box.dataset.sets) === box.value;
    the("input[data-none]", form).checked = does().every((one) => one.value === "no");
    mark();
    if (awake) work();
    else says(stored());
  }

  // Of a truck that was kept the lines are known; the runtime starts when somebody comes to a field.
  function stored() {
    if (!here.saved?.answers || "unsaved" in form.dataset || !kept.fits(here.saved)) return null;
    const { answers, truck } = here.saved;
    const reply = (/** @type {string} */ name) => ({ ok: Boolean(own(answers, name)), answer: own(answers, name) });
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
    the("[data-six]", form).textContent = `${many} of ${Object.keys(QUESTIONS).length} told`;
    the("[data-enough]", form).textContent = some() || here.saved ? "Enough for now" : "Look around first";
    leaveOut();
  }

  // What it never does is not asked: the facts of a plow, of a trailer. One tick brings them back.
  function leaveOut() {
    const not = Object.keys(WHICH).filter((name) => value(name) === "no");
    for (const one of form.elements) {
      const cell = one.closest(".all-facts") && one.closest(".cell");
      if (cell && one.name) cell.hidden = not.some((name) => WHICH[name].test(one.name));
    }
    for (const group of all("details.group", form)) group.hidden = !all(".cell", group).some((cell) => !cell.hidden);
    const line = the("[data-left-out]", form);
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
      the("[data-sharpen]", form).hidden = true;
      return;
    }
    later = setTimeout(() => answer(turn).catch(() => {}), SETTLED); // a runtime that cannot start is told when it is saved
  }

  /** @param {number} mine */
  async function answer(mine) {
    const today = kept.today();
    const read = await kept.ask({ do: "read_truck", text: JSON.stringify(myTruck?.truck()), today }, starting);
    if (!read.ok || mine !== turn) return;
    const { truck } = read;
    const asked = { given: {}, truck, today, units: "us", working: false };
    // In English alone, as nothing else is asked for.
    /** @type {AskOne} */
    const ask = async (calculator) => /** @type {AnswerReply} */ (await kept.ask({ do: "answer", calculator, ...asked }));
    const replies = { due: await kept.ask({ do: "jobs", truck, today }), service_due: await ask("service_due"),
      regeneration: await ask("regeneration"), idle_bill: await ask("idle_bill") };
    if (mine !== turn) return;
    still(() => says({ replies, name: truck.name }));
    await sharpen(mine, replies, truck, ask);
  }

  /** @type {Watcher} */
  function starting({ state, message, share }) {
    if (state === "ready") return write("");
    return write(message || (share > 0 ? `Starting the calculators… ${Math.round(share * 100)} %` : "Starting the calculators…"));
  }

  const write = (/** @type {string} */ text) => (the("[data-says]", form).textContent = text);

  // A line that comes above what is typed in moves nothing under a reader's hand.
  /** @param {() => void} change */
  function still(change) {
    const held = form.contains(document.activeElement) ? document.activeElement : null;
    const before = held?.getBoundingClientRect().top ?? 0;
    change();
    if (held) scrollBy({ top: held.getBoundingClientRect().top - before, behavior: "instant" });
  }

  /** @param {{ replies: DraftReplies, name: string } | null} known */
  function says(known) {
    /** @type {Record<string, (string | HTMLElement)[] | null>} */
    const lines = known ? linesOf(known.replies, known.name) : {};
    for (const item of all("[data-ask]", form)) {
      const parts = item.className === "wait" ? null : lines[item.dataset.ask];
      const box = the("[data-so]", item);
      box.hidden = !parts;
      the("p", box).replaceChildren(...(parts ?? []));
    }
    const asking = document.activeElement?.closest?.("[data-ask]")?.dataset.ask ?? "";
    words.heard(lines[asking]?.map((one) => (typeof one === "string" ? one : one.textContent)).join(""));
  }

  /** @param {string} text */
  function mine(text) {
    const made = document.createElement("b");
    made.className = "mine";
    made.textContent = text;
    return made;
  }

  // A sentence of the calculators, in the color of what it rests on.
  /** @param {AnswerReply} reply */
  function sentence(reply) {
    if (!reply.answer) return null;
    const { answer: text, answer_rests_on: rests, answer_whose: whose } = reply.answer;
    const made = document.createElement("span");
    made.dataset.rests = rests ?? "";
    if (rests === "yours") made.className = "mine";
    made.textContent = text;
    const word = document.createElement("small");
    word.className = "rests";
    word.dataset.rests = rests ?? "";
    word.textContent = String(whose ?? "");
    const doubts = reply.answer.cautions.filter((caution) => caution.about === "told");
    const below = doubts.flatMap((caution) => [document.createElement("br"), String(caution.text)]);
    return rests === "yours" ? [made, ...below] : [made, " ", word, ...below];
  }

  /** @param {DraftReplies} replies @param {string} name */
  function linesOf({ due, regeneration, idle_bill: idling }, name) {
    const { jobs = [] } = due;
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
      oil: !oil ? null : (oil.dated ? [oil.section === "overdue" ? "Overdue: oil " : "Next: oil ", mine(oil.when), `, ${oil.brought_by}.`]
        : value("oil.known") || dayOf(value("oil.date")) ? ["Oil: treat it as due. Do it now, and its record starts."] : null),
      trips: sentence(regeneration),
      idling: sentence(idling),
    };
  }

  // Sharpen ---------------------------------------------------------------------------------------

  /** @type {Record<string, string>} */
  const OIL_CLOCKS = {
    date: "On what day was the last oil change?",
    odometer: "What did the odometer show at the last oil change?",
    engine_hours: "What did the hour meter show at the last oil change?",
  };

  /** @param {number} mine @param {DraftReplies} replies @param {Truck} truck @param {AskOne} ask */
  async function sharpen(mine, { due, service_due: service }, truck, ask) {
    const oil = due.jobs?.find((job) => job.job === "engine_oil");
    const record = service?.answer?.results.jobs?.find((one) => one.job.value === "engine_oil");
    const noStart = String(record?.clock_without_start?.value ?? "");
    /** @type {Sharpened[]} */
    const found = [];
    if (oil?.dated && noStart && !value(`oil.${noStart}`)) {
      found.push({ input: `oil.${noStart}`, size: Infinity, home: "service_due", low: "", high: "",
        question: OIL_CLOCKS[noStart],
        now: `Now the oil’s day goes by one clock alone: ${oil.when}.`, gain: "Tell it: whichever clock runs out first counts." });
    }
    for (const calculator of MOVED) {
      const { answer: made } = await ask(calculator);
      if (!made?.assumes.length) continue;
      const moved = await kept.ask({ do: "sensitivity", calculator, given: {}, truck, today: kept.today() });
      if (mine !== turn) return;
      const { input, question = "", text: now = "" } = made.turns ?? {};
      const turning = { question, now, size: FLIPS, home: calculator, low: "", high: "", gain: "Tell it: it is yours." };
      if (input) found.push({ input, ...turning });
      const rows = (moved.rows ?? []).filter((one) => made.assumes.includes(String(one.input.value)));
      found.push(...rows.map((one) => cardOf(calculator, moved.label ?? "", one)));
    }
    const sorted = found.filter((one) => asks(one.input)).toSorted((a, b) => b.size - a.size);
    const firsts = sorted.filter((one, place) => sorted.findIndex((other) => other.home === one.home) === place); // an answer each
    const best = new Map();
    for (const one of [...firsts, ...sorted]) if (!best.has(one.input)) best.set(one.input, one);
    showCards([...best.values()].slice(0, SHARPENED));
  }

  /** @type {(name: string) => boolean} */
  const asks = (name) => {
    const one = field(name);
    const above = one?.closest("[data-ask]") && !isOwn(name);
    return Boolean(one) && !above && !one?.closest("[data-assumptions]") && !one?.closest(".cell")?.hidden && !one?.value.trim();
  };

  /** @param {string} calculator @param {string} label @param {Moved["rows"][number]} moved @returns {Sharpened} */
  function cardOf(calculator, label, { input, low, high, result_at_low: atLow, result_at_high: atHigh }) {
    const ends = [atLow, atHigh].toSorted((a, b) => Number(a.value) - Number(b.value));
    const [least, most] = ends.map((one) => Number(one.value));
    const size = Math.abs(most - least) / (Math.abs(least) + Math.abs(most) || 1);
    const [from, to] = ends.map((one) => one.phrase ?? "");
    return { input: String(input.value), question: input.phrase ?? "", size, home: calculator, low: from, high: to,
      now: `${label} now, at ${low.phrase} and at ${high.phrase}:`, gain: "Tell it: one number, and it is yours." };
  }

  /** @param {Sharpened[]} cards */
  function showCards(cards) {
    const part = the("[data-sharpen]", form);
    const list = the("ul", part);
    if (list.contains(document.activeElement)) return; // not under a reader's hand
    part.hidden = !cards.length;
    list.replaceChildren(...cards.map((card) => {
      const made = row("sharpen", card);
      the("[data-field]", made).replaceChildren(copied(sure(field(card.input), card.input), card.question));
      the(".where", made).append(...homeOf(card.home));
      return made;
    }));
  }

  /** @param {string} name */
  function homeOf(name) {
    const home = the("template[data-homes]", form).content.querySelector(`[data-home="${name}"]`);
    return home ? ["Also asked under ", home.cloneNode(true)] : [];
  }

  // The same fact's field once more, which fills in the one of the form.
  /** @param {Field} one @param {string} question */
  function copied(one, question) {
    const cell = the(".in", sure(one.closest(".cell"), ".cell")).cloneNode(true);
    for (const part of all("[id]", cell)) part.removeAttribute("id");
    for (const units of all("[data-unit-for]", cell)) units.remove();
    const copy = /** @type {Field} */ (the(`[name="${one.name}"]`, cell));
    copy.dataset.copies = one.name;
    copy.removeAttribute("name");
    copy.removeAttribute("aria-describedby");
    copy.setAttribute("aria-label", question);
    if (copy instanceof HTMLInputElement && copy.placeholder) {
      copy.placeholder = `${copy.placeholder} ${copy.placeholder === "not told" ? "" : "example"}`.trim();
    }
    return cell;
  }

  // What a reader does ----------------------------------------------------------------------------

  /** @param {string} name @param {string} text */
  function set(name, text) {
    const one = sure(field(name), name);
    one.value = text;
    one.dispatchEvent(new Event("input", { bubbles: true }));
  }

  /** @param {HTMLInputElement} box */
  function tick(box) {
    if (box.dataset.sets === "oil.known" || box.type === "radio") return set(box.dataset.sets ?? "", box.checked ? box.value : "");
    const boxes = all("input[data-sets]", sure(box.closest("[data-ask]"), "[data-ask]"));
    const none = the("input[data-none]", form);
    if (box === none) for (const other of boxes) other.checked = false;
    else none.checked = false;
    const no = none.checked || boxes.some((one) => one.checked) ? "no" : "";
    for (const other of boxes) set(other.dataset.sets, other.checked ? "yes" : no);
    return undefined;
  }

  form.addEventListener("input", ({ target }) => {
    if (target.dataset.copies) set(target.dataset.copies, target.value);
    else if (target instanceof HTMLInputElement && (target.dataset.sets || "none" in target.dataset)) tick(target);
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
