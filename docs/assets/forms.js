"use strict";
// Calculator forms: each sends what its reader changed, and shows the reply in the card where the
// example's answer stood. All sums are made by the runtime; nothing here knows what a field means.
(() => {
  const { factsOf, isBare, own, withFacts } = shared;
  const { here } = kept;
  const { all } = words;
  const forms = all("form[data-form]").map((form) => form.id);
  if (!forms.length) return;

  // What was typed, by the fact's name: two forms that ask one fact hold one value.
  const told = { yours: new Map(), example: new Map() };
  const before = { yours: [], example: [] };
  const latest = { yours: new Map(), example: new Map() }; // the inputs of each form's last reply
  const states = new Map(forms.map((id) => [id, { again: false, running: null, shows: null, later: 0 }]));
  const SETTLED = 150; // milliseconds without a new answer before the working behind a closed fold is asked
  const known = new WeakMap();
  const HEARD = 1000; // milliseconds after the last key the page says what came of it
  const WRITTEN = 400; // milliseconds after a letter the address holds it, should the page be loaded anew
  let writing = 0;
  let hearing = 0;
  let turn = 0; // counts edits
  let fresh = true; // the next keystroke begins a change that Undo takes back

  const typed = () => told[here.showing];
  const shownFor = () => (here.showing === "yours" ? here.saved : null);
  const form = (id) => document.getElementById(id); // looked up anew: switching to the example swaps a card's content
  const card = (of) => of.closest("[data-calculator]");
  const field = (of, name) => parts(of).fields.get(name);
  const unitOf = (of, name) => parts(of).units.get(name);
  const awake = (of) => !["example", "failed"].includes(of.dataset.state);

  // A form's fields, and the units beside them, by name: looking through all of them for each was most of an edit's time.
  function parts(of) {
    if (!known.has(of)) {
      const named = (name) => new Map([...of.elements].filter(name).map((one) => [name(one), one]));
      known.set(of, { fields: named((one) => one.name), units: named((one) => one.dataset.unitFor) });
    }
    return known.get(of);
  }

  // What is sent ----------------------------------------------------------------------------------

  // A bare number is in the declared unit; what has one goes as typed, so that its fault can name it.
  function asTyped(of, name, { text, unit }) {
    const units = unitOf(of, name);
    return units && unit && unit !== units.options[0].value && isBare(text) ? `${text.trim()} ${unit}` : text;
  }

  function given(of) {
    return Object.fromEntries([...typed()].filter(([name]) => field(of, name)).map(([name, entry]) => [name, asTyped(of, name, entry)]));
  }

  // A fact typed in another form of this page counts here too, where this form only derives from it.
  function truck(of) {
    const saved = here.showing === "yours" ? here.saved.truck : null;
    const elsewhere = [...typed()].filter(([name, entry]) => entry.good && !field(of, name));
    // The example's service record belongs to the example alone: a truck of a few facts would be one without any record.
    if (!elsewhere.length || (!saved && [...of.elements].some((one) => one.name.startsWith("done.")))) return saved;
    return withFacts(saved, { ...factsOf(saved), ...Object.fromEntries(elsewhere.map(([name, entry]) => [name, entry.good])) });
  }

  function compute(id) {
    const state = states.get(id);
    state.again = true;
    return (state.running ??= run(id, state));
  }

  async function run(id, state) {
    form(id).dataset.state = awake(form(id)) ? "working" : "starting";
    try {
      await dieselRuntime.start();
      while (state.again) {
        state.again = false;
        const of = form(id);
        const sent = given(of);
        const owner = shownFor();
        const asked = { do: "answer", calculator: id, given: sent, truck: truck(of), today: kept.today(), units: "us" };
        const request = { ...asked, spanish: words.spanish(of) };
        const reply = await dieselRuntime.call({ ...request, working: false });
        if (state.again) continue;
        if (owner !== shownFor()) return; // the page was filled for another meanwhile, and holds that one's answer
        still(form(id), () => show(form(id), reply, sent));
        if (reply.ok) explain(form(id), request);
        hear(form(id));
      }
      form(id).dataset.state = "ready";
    } catch (wrong) {
      fail(form(id), wrong.told ?? wrong.message);
    } finally {
      state.running = null;
    }
  }

  // The working is most of an answer's time and lies in a fold: it follows the answer that stands.
  function explain(of, request) {
    const state = states.get(of.id);
    const list = card(of).querySelector("[data-working]");
    state.shows = request;
    list.setAttribute("aria-busy", "true");
    clearTimeout(state.later);
    state.later = setTimeout(async () => {
      const reply = await dieselRuntime.call(request).catch(() => ({})); // the form itself tells of a runtime that broke
      if (!reply.ok || state.shows !== request || !list.isConnected) return;
      still(of, () => handover.fillWorking(card(of), reply.answer));
      list.removeAttribute("aria-busy");
    }, list.checkVisibility() ? 0 : SETTLED);
  }

  // What is shown ---------------------------------------------------------------------------------

  function say(of, told, progress) {
    const line = of.querySelector("[data-message]");
    words.put(line, words.tell(of, told));
    if (progress === undefined) return;
    const bar = document.createElement("progress");
    bar.setAttribute("aria-label", words.named(of, "Loading"));
    if (progress > 0) bar.value = progress;
    line.prepend(bar);
  }

  // Who hears the page is told once, a second after the last key, and only of the form in use.
  function hear(of) {
    if (formOf({ target: document.activeElement }) !== of) return;
    clearTimeout(hearing);
    hearing = setTimeout(() => {
      if (!of.isConnected) return undefined; // another truck's card took its place
      if (states.get(of.id).running && of.dataset.state === "working") return hear(of);
      const faults = new Set(all("[aria-invalid]", of).map((one) => document.getElementById(`${one.id}-e`).textContent));
      const said = of.querySelector("[data-message]").textContent;
      words.heard(faults.size || said ? [...faults, said].join(" ").trim() : card(of).querySelector("[data-answer]")?.textContent);
      return undefined;
    }, HEARD);
  }

  const COULD_NOT = "The calculator could not start. {} What you typed is kept, and the numbers above still hold for what they say they are for. "
    + "Touch the form to try again.";

  function fail(of, why) {
    of.dataset.state = "failed";
    say(of, [COULD_NOT, why]);
    hear(of);
  }

  // Other words may need more room; the field under a reader's finger stays where it is, and the room is kept.
  function still(of, change) {
    const held = document.activeElement?.form?.dataset.form === undefined ? of : document.activeElement;
    const before = held.getBoundingClientRect().top;
    change();
    keepRoom(card(of));
    const moved = held.getBoundingClientRect().top - before;
    if (moved) scrollBy({ top: moved, behavior: "instant" });
  }

  const ROOMS = "[data-verdict], .results > *, [data-message]";

  function keepRoom(within) {
    const boxes = all(ROOMS, within).map((box) => [box, `${box.getBoundingClientRect().height}px`]);
    for (const [box, height] of boxes) if (box.style.minHeight !== height) box.style.minHeight = height;
  }

  // A turned phone breaks all lines anew.
  matchMedia("(orientation: portrait)").addEventListener("change", () => {
    for (const box of all("[style*=min-height]")) box.style.minHeight = "";
  });

  function show(of, reply, sent) {
    clearFaults(of);
    card(of).classList.toggle("stale", !reply.ok);
    if (!reply.ok) return showFaults(of, reply);
    say(of, "");
    for (const [name, text] of Object.entries(sent)) if (typed().has(name)) typed().get(name).good = text;
    handover.fillCard(card(of), reply.answer);
    refill(of, reply.answer.inputs);
    decorate(of);
    return undefined;
  }

  // What nobody typed follows the answer; where its unit is not the declared one, the runtime converts it.
  function refill(of, inputs) {
    latest[here.showing].set(of.id, inputs);
    const other = (one) => one.name && unitOf(of, one.name)?.selectedIndex > 0;
    handover.fillForm(of, inputs, (one) => !one.name || typed().has(one.name) || other(one));
    for (const one of of.elements) if (other(one) && !typed().has(one.name)) convert(of, one.name, own(inputs, one.name)?.text ?? "");
  }

  const LAST = "The answer above is the last that worked.";

  function clearFaults(of) {
    for (const one of all("[aria-invalid]", of)) one.removeAttribute("aria-invalid");
    for (const err of all(".err", of)) err.textContent = "";
  }

  function showFaults(of, { faults, first }) {
    const loose = [];
    for (const fault of faults) {
      const one = field(of, fault.field);
      if (!one) {
        loose.push(`${fault.field.replaceAll("_", " ")}: ${fault.do}`);
        continue;
      }
      one.setAttribute("aria-invalid", "true");
      words.put(document.getElementById(`${one.id}-e`), fault.do);
      const fold = one.closest("details");
      if (fold) fold.open = true;
    }
    if (first) handover.setVerdict(card(of), { look: "stop", sign: "stop", answer: first });
    say(of, loose.length ? ["{} {}", loose.join(" "), LAST] : LAST);
    decorate(of);
  }

  function decorate(of) {
    const entryOf = (one) => one.name && typed().get(one.name);
    const mine = [...of.elements].filter(entryOf);
    const linked = mine.filter((one) => entryOf(one).linked);
    for (const one of of.elements) {
      if (!one.name) continue;
      one.closest(".cell")?.classList.toggle("typed", mine.includes(one));
      one.closest(".cell")?.classList.toggle("linked", linked.includes(one));
    }
    card(of).classList.toggle("linked", linked.length > 0);
    for (const button of all("[data-undo]", of)) button.disabled = !before[here.showing].length;
    for (const button of all("[data-back]", of)) button.disabled = !mine.length;
    for (const button of all("[data-drop-linked]", of)) button.hidden = !linked.length;
    handover.forWhom(card(of), { changed: mine.length > linked.length, linked: linked.length > 0 });
  }

  // What a reader does ------------------------------------------------------------------------------

  function wake(of) {
    if (awake(of)) return;
    if (typeof dieselRuntime === "undefined") return fail(of, "A part of this site is missing.");
    of.dataset.state = "starting";
    keepRoom(card(of));
    const stop = dieselRuntime.watch((runtime) => {
      if (!["starting", "slow"].includes(runtime.state)) return;
      const megabytes = (runtime.bytes / 1e6).toFixed(1);
      say(of, runtime.message || (runtime.bytes ? ["Starting the calculator: {} MB, once", megabytes] : "Starting the calculator…"), runtime.share);
      hear(of);
    });
    return compute(of.id).finally(stop);
  }

  function note(of, one) {
    if (fresh) before[here.showing].push(new Map([...typed()].map(([name, entry]) => [name, { ...entry }])));
    fresh = false;
    // A browser keeps a day that does not exist to itself.
    const text = one.validity.badInput ? "a day that does not exist" : one.value;
    typed().set(one.name, { text, unit: unitOf(of, one.name)?.value ?? "", good: typed().get(one.name)?.good, linked: false });
    draw(of);
    wake(of);
    hear(of);
    computeAll(of.id);
    clearTimeout(writing);
    writing = setTimeout(remember, WRITTEN, of);
  }

  // What is typed beside the verdict stands in the field that is asked there, in its declared unit.
  function copy(of, { dataset, value }) {
    const one = field(of, dataset.copies);
    const units = unitOf(of, one.name);
    if (units) units.selectedIndex = 0;
    one.value = value;
    note(of, one);
  }

  const asks = (id) => [...typed().keys()].some((name) => field(form(id), name));

  // The form its reader is in comes first; then, one by one until the next edit, those that are awake or ask what was typed.
  async function computeAll(first) {
    const mine = ++turn;
    await compute(first);
    for (const id of forms) if (mine === turn && id !== first && (awake(form(id)) || asks(id))) await compute(id);
  }

  // Every form shows what is typed, but for the one its reader is in.
  function draw(except) {
    for (const id of forms) {
      const of = form(id);
      for (const one of of === except ? [] : of.elements) {
        const entry = typed().get(one.name);
        const units = one.name && unitOf(of, one.name);
        if (!entry || (one.type === "date" && entry.text && !/^\d/.test(entry.text))) continue;
        one.value = entry.shown ?? entry.text;
        if (units) units.value = (entry.shown ? entry.shownUnit : entry.unit) || units.options[0].value;
        if (units?.selectedIndex < 0) units.selectedIndex = 0; // a link's unit that this field has not: the fault says so
      }
      decorate(of);
    }
  }

  const first = (one) => (one.matches("select") ? ([...one.options].find((option) => option.defaultSelected) ?? one.options[0]).value : one.defaultValue);

  // Back to what the answers of this truck were made from.
  function reset(of, names) {
    latest[here.showing].delete(of.id);
    const inputs = here.showing === "yours" ? own(own(here.saved.answers, of.id), "inputs") : null;
    for (const one of of.elements) {
      if (!names.has(one.name)) continue;
      one.value = inputs ? (own(inputs, one.name)?.text ?? "") : first(one);
      const units = unitOf(of, one.name);
      if (units) units.selectedIndex = 0;
    }
  }

  function replace(entries) {
    const gone = new Set([...typed().keys()].filter((name) => !entries.has(name)));
    told[here.showing] = entries;
    for (const id of forms) reset(form(id), gone);
    draw();
    fresh = true;
  }

  function undo(of) {
    replace(before[here.showing].pop() ?? new Map());
    computeAll(of.id);
    remember(of);
  }

  // Without what was typed here, or only without what the link brought, in every form.
  function back(of, goes = (name) => field(of, name)) {
    before[here.showing].push(new Map(typed()));
    replace(new Map([...typed()].filter(([name, entry]) => !goes(name, entry))));
    computeAll(of.id);
    remember(of);
  }

  // Another unit shows the same fact otherwise; what is sent stays what was typed.
  async function changeUnit(of, units) {
    const name = units.dataset.unitFor;
    const entry = typed().get(name);
    if (entry && !isBare(entry.text)) return;
    const inputs = latest[here.showing].get(of.id) ?? (here.showing === "yours" ? own(own(here.saved.answers, of.id), "inputs") : null);
    const text = entry ? entry.text : inputs ? (own(inputs, name)?.text ?? "") : first(field(of, name));
    await convert(of, name, text, entry?.unit);
    if (entry) [entry.shown, entry.shownUnit] = [field(of, name).value, units.value];
    if (entry) draw(of);
  }

  async function convert(of, name, text, unit) {
    const units = unitOf(of, name);
    const from = unit || units.options[0].value;
    if (!text) return;
    const reply = from === units.value ? { ok: true, text } : await dieselRuntime.call({ do: "convert", input: name, text, unit: from, to: units.value });
    if (reply.ok) field(of, name).value = reply.text;
    else units.value = from;
    document.getElementById(`${field(of, name).id}-u`).textContent = units.selectedOptions[0].dataset.words;
  }

  // The address carries what was typed, so a copied link shows the same answer.
  function remember(of) {
    here.given = Object.fromEntries([...typed()].map(([name, { text, unit }]) => [name, [text, unit]]));
    here.at = of.id;
    kept.address();
  }

  function restore() {
    for (const [name, entry] of Object.entries(here.given)) {
      const [text, unit = ""] = entry;
      if (forms.some((id) => field(form(id), name))) typed().set(name, { text: text.slice(0, 200), unit, linked: here.linked });
    }
    if (!typed().size) return;
    draw();
    for (const id of forms) if (asks(id)) wake(form(id));
  }

  // The form that something is in, or whose field it copies.
  const formOf = ({ target }) => target?.closest?.("form[data-form]") ?? target?.closest?.("[data-calculator]:has(form[data-form]) [data-asks]")
    ?.closest("[data-calculator]").querySelector("form[data-form]");
  // A touch that only scrolls focuses and clicks nothing, so it loads nothing. Safari gives a clicked button no focus.
  for (const way of ["focusin", "click"]) {
    document.addEventListener(way, (event) => {
      const of = formOf(event);
      if (way === "focusin") fresh = true;
      if (of) wake(of);
    });
  }
  document.addEventListener("input", (event) => {
    const of = formOf(event);
    if (of && event.target.name) note(of, event.target);
    else if (of && event.target.dataset.copies) copy(of, event.target);
  });
  document.addEventListener("change", (event) => {
    const of = formOf(event);
    if (of && event.target.dataset.unitFor) changeUnit(of, event.target).then(() => remember(of)).catch((wrong) => fail(of, wrong.told ?? wrong.message));
    else if (of) remember(of);
  });
  document.addEventListener("submit", (event) => formOf(event) && event.preventDefault());
  document.addEventListener("click", (event) => {
    const of = formOf(event);
    if (of && event.target.closest("[data-undo]")) undo(of);
    if (of && event.target.closest("[data-back]")) back(of);
    if (of && event.target.closest("[data-drop-linked]")) back(of, (_name, entry) => entry.linked);
  });
  // The page was filled anew, for the truck or the example: what was typed for that one stands again.
  document.addEventListener("handover", () => {
    draw();
    for (const id of forms) if (awake(form(id)) || asks(id)) compute(id);
  });
  restore();
})();
