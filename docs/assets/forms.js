"use strict";
// Calculator forms: each sends what its reader changed, and shows the reply in the card where the
// example's answer stood. All sums are made by the runtime; nothing here knows what a field means.
(() => {
  const { factsOf, isBare, own, readOn, withFacts } = shared;
  const { here } = kept;
  const { all, byId, sure, the } = words;
  const forms = all("form[data-form]").map((form) => form.id);
  if (!forms.length) return;

  // What was typed, by the fact's name: two forms that ask one fact hold one value.
  /** @type {Record<Here["showing"], Map<string, Typed>>} */
  const told = { yours: new Map(), example: new Map() };
  /** @type {Record<Here["showing"], Map<string, Typed>[]>} */
  const before = { yours: [], example: [] };
  /** @type {Record<Here["showing"], Map<string, Row>>} */
  const latest = { yours: new Map(), example: new Map() }; // the inputs of each form's last reply
  /** @type {Map<string, FormState>} */
  const states = new Map(forms.map((id) => [id, { again: false, running: null, shows: null, later: 0 }]));
  const SETTLED = 150; // milliseconds without a new answer before the working behind a closed fold is asked
  /** @type {WeakMap<HTMLFormElement, { fields: Map<string, Field>, units: Map<string, HTMLSelectElement> }>} */
  const known = new WeakMap();
  const HEARD = 1000; // milliseconds after the last key the page says what came of it
  const WRITTEN = 400; // milliseconds after a letter the address holds it, should the page be loaded anew
  let writing = 0;
  let hearing = 0;
  let turn = 0; // counts edits
  let fresh = true; // the next keystroke begins a change that Undo takes back

  const typed = () => told[here.showing];
  const shownFor = () => (here.showing === "yours" ? here.saved : null);
  // Looked up anew: switching to the example swaps a card's content.
  const form = (/** @type {string} */ id) => /** @type {HTMLFormElement} */ (byId(id));
  const card = (/** @type {Element} */ of) => sure(of.closest("[data-calculator]"), "a card around a form");
  const stateOf = (/** @type {string} */ id) => sure(states.get(id), id);
  /** @type {(of: HTMLFormElement, name: string) => Field | undefined} */
  const field = (of, name) => parts(of).fields.get(name);
  /** @type {(of: HTMLFormElement, name: string) => HTMLSelectElement | undefined} */
  const unitOf = (of, name) => parts(of).units.get(name);
  const awake = (/** @type {HTMLElement} */ of) => !["example", "failed"].includes(of.dataset.state ?? "");

  // A form's fields, and the units beside them, by name: looking through all of them for each was most of an edit's time.
  /** @param {HTMLFormElement} of */
  function parts(of) {
    const found = known.get(of);
    if (found) return found;
    const elements = [...of.elements];
    const made = {
      fields: new Map(elements.filter((one) => one.name).map((one) => [one.name, one])),
      units: new Map(elements.filter((one) => one instanceof HTMLSelectElement).map((one) => [one.dataset.unitFor ?? "", one])),
    };
    known.set(of, made);
    return made;
  }

  // What is sent ----------------------------------------------------------------------------------

  // A bare number is in the declared unit; what has one goes as typed, so that its fault can name it.
  /** @param {HTMLFormElement} of @param {string} name @param {Typed} typed */
  function asTyped(of, name, { text, unit }) {
    const units = unitOf(of, name);
    return units && unit && unit !== units.options[0].value && isBare(text) ? `${text.trim()} ${unit}` : text;
  }

  /** @param {HTMLFormElement} of @returns {Record<string, string>} */
  function given(of) {
    return Object.fromEntries([...typed()].filter(([name]) => field(of, name)).map(([name, entry]) => [name, asTyped(of, name, entry)]));
  }

  // A fact typed in another form of this page counts here too, where this form only derives from it.
  /** @param {HTMLFormElement} of @returns {Truck | null} */
  function truck(of) {
    const saved = here.showing === "yours" ? here.saved.truck : null;
    /** @type {[string, string][]} */
    const elsewhere = [...typed()].flatMap(([name, { good }]) => (good && !field(of, name) ? [[name, good]] : []));
    // The example's service record belongs to the example alone: a truck of a few facts would be one without any record.
    if (!elsewhere.length || (!saved && [...of.elements].some((one) => one.name.startsWith("done.")))) return saved;
    return withFacts(saved, { ...factsOf(saved), ...readOn(Object.fromEntries(elsewhere), kept.today()) });
  }

  /** @param {string} id */
  function compute(id) {
    const state = stateOf(id);
    state.again = true;
    return (state.running ??= run(id, state));
  }

  /** @param {string} id @param {FormState} state */
  async function run(id, state) {
    form(id).dataset.state = awake(form(id)) ? "working" : "starting";
    try {
      await dieselRuntime.start();
      while (state.again) {
        state.again = false;
        const of = form(id);
        const sent = given(of);
        const owner = shownFor();
        const asked = { calculator: id, given: sent, truck: truck(of), today: kept.today(), units: "us", spanish: words.spanish(of) };
        /** @type {Question<"answer">} */
        const request = { do: "answer", ...asked };
        const reply = await dieselRuntime.call({ ...request, working: false });
        if (state.again) continue;
        if (owner !== shownFor()) return; // the page was filled for another meanwhile, and holds that one's answer
        still(form(id), () => show(form(id), reply, sent));
        if (reply.ok) explain(form(id), request);
        hear(form(id));
      }
      form(id).dataset.state = "ready";
    } catch (wrong) {
      fail(form(id), saidBy(wrong));
    } finally {
      state.running = null;
    }
  }

  // An error of the runtime tells its words apart from what stands in their hole.
  const saidBy = (/** @type {unknown} */ wrong) => /** @type {{ told?: Saying }} */ (wrong).told ?? shared.why(wrong);

  // The working is most of an answer's time and lies in a fold: it follows the answer that stands.
  /** @param {HTMLFormElement} of @param {Question<"answer">} request */
  function explain(of, request) {
    const state = stateOf(of.id);
    const list = the("[data-working]", card(of));
    state.shows = request;
    list.setAttribute("aria-busy", "true");
    clearTimeout(state.later);
    state.later = setTimeout(async () => {
      const reply = await dieselRuntime.call(request).catch(() => null); // the form itself tells of a runtime that broke
      if (!reply?.ok || state.shows !== request || !list.isConnected) return;
      still(of, () => cards.fillWorking(card(of), reply.answer));
      list.removeAttribute("aria-busy");
    }, list.checkVisibility() ? 0 : SETTLED);
  }

  // What is shown ---------------------------------------------------------------------------------

  /** @param {HTMLFormElement} of @param {Saying} told @param {number} [progress] */
  function say(of, told, progress) {
    const line = the("[data-message]", of);
    words.put(line, words.tell(of, told));
    if (progress === undefined) return;
    const bar = document.createElement("progress");
    bar.setAttribute("aria-label", words.named(of, "Loading"));
    if (progress > 0) bar.value = progress;
    line.prepend(bar);
  }

  // Who hears the page is told once, a second after the last key, and only of the form in use.
  /** @param {HTMLFormElement} of */
  function hear(of) {
    if (formOf({ target: document.activeElement }) !== of) return;
    clearTimeout(hearing);
    hearing = setTimeout(() => {
      if (!of.isConnected) return undefined; // another truck's card took its place
      if (stateOf(of.id).running && of.dataset.state === "working") return hear(of);
      const faults = new Set(all("[aria-invalid]", of).map((one) => byId(`${one.id}-e`).textContent));
      const said = the("[data-message]", of).textContent;
      words.heard(faults.size || said ? [...faults, said].join(" ").trim() : card(of).querySelector("[data-answer]")?.textContent);
      return undefined;
    }, HEARD);
  }

  const COULD_NOT = "The calculator could not start. {} What you typed is kept, and the numbers above still hold "
    + "for what they say they are for. Touch the form to try again.";

  /** @param {HTMLFormElement} of @param {Saying} why */
  function fail(of, why) {
    of.dataset.state = "failed";
    say(of, [COULD_NOT, why]);
    hear(of);
  }

  // Other words may need more room; the field under a reader's finger stays where it is, and the room is kept.
  /** @param {HTMLFormElement} of @param {() => void} change */
  function still(of, change) {
    const used = /** @type {Element & { form?: HTMLFormElement } | null} */ (document.activeElement);
    const held = used?.form?.dataset.form === undefined ? of : used;
    const before = held.getBoundingClientRect().top;
    change();
    keepRoom(card(of));
    const moved = held.getBoundingClientRect().top - before;
    if (moved) scrollBy({ top: moved, behavior: "instant" });
  }

  const ROOMS = "[data-verdict], .results > *, [data-message]";

  /** @param {HTMLElement} within */
  function keepRoom(within) {
    const boxes = all(ROOMS, within).map((box) => /** @type {const} */ ([box, `${box.getBoundingClientRect().height}px`]));
    for (const [box, height] of boxes) if (box.style.minHeight !== height) box.style.minHeight = height;
  }

  // A turned phone breaks all lines anew.
  matchMedia("(orientation: portrait)").addEventListener("change", () => {
    for (const box of all("[style*=min-height]")) box.style.minHeight = "";
  });

  /** @param {HTMLFormElement} of @param {Replies["answer"]} reply @param {Record<string, string>} sent */
  function show(of, reply, sent) {
    clearFaults(of);
    card(of).classList.toggle("stale", !reply.ok);
    if (!reply.ok) return showFaults(of, reply);
    say(of, "");
    for (const [name, text] of Object.entries(sent)) {
      const entry = typed().get(name);
      if (entry) entry.good = text;
    }
    cards.fillCard(card(of), reply.answer);
    refill(of, reply.answer.inputs);
    decorate(of);
    return undefined;
  }

  // What nobody typed follows the answer; where its unit is not the declared one, the runtime converts it.
  /** @param {HTMLFormElement} of @param {Row} inputs */
  function refill(of, inputs) {
    latest[here.showing].set(of.id, inputs);
    const other = (/** @type {Field} */ one) => Boolean(one.name) && (unitOf(of, one.name)?.selectedIndex ?? 0) > 0;
    cards.fillForm(of, inputs, (one) => !one.name || typed().has(one.name) || other(one));
    for (const one of of.elements) if (other(one) && !typed().has(one.name)) convert(of, one.name, own(inputs, one.name)?.text ?? "");
  }

  const LAST = "The answer above is the last that worked.";

  /** @param {HTMLFormElement} of */
  function clearFaults(of) {
    for (const one of all("[aria-invalid]", of)) one.removeAttribute("aria-invalid");
    for (const err of all(".err", of)) err.textContent = "";
  }

  /** @param {HTMLFormElement} of @param {{ faults: Fault<Bilingual>[], first?: Bilingual }} refused */
  function showFaults(of, { faults, first }) {
    /** @type {string[]} */
    const loose = [];
    for (const fault of faults) {
      const one = field(of, fault.field);
      if (!one) {
        loose.push(`${fault.field.replaceAll("_", " ")}: ${fault.do}`);
        continue;
      }
      one.setAttribute("aria-invalid", "true");
      words.put(byId(`${one.id}-e`), fault.do);
      const fold = one.closest("details");
      if (fold) fold.open = true;
    }
    if (first) cards.setVerdict(card(of), { look: "stop", sign: "stop", answer: first });
    say(of, loose.length ? ["{} {}", loose.join(" "), LAST] : LAST);
    decorate(of);
  }

  /** @param {HTMLFormElement} of */
  function decorate(of) {
    const entryOf = (/** @type {Field} */ one) => (one.name ? typed().get(one.name) : undefined);
    const mine = [...of.elements].filter(entryOf);
    const linked = mine.filter((one) => entryOf(one)?.linked);
    for (const one of of.elements) {
      if (!one.name) continue;
      one.closest(".cell")?.classList.toggle("typed", mine.includes(one));
      one.closest(".cell")?.classList.toggle("linked", linked.includes(one));
    }
    card(of).classList.toggle("linked", linked.length > 0);
    for (const button of all("button[data-undo]", of)) button.disabled = !before[here.showing].length;
    for (const button of all("button[data-back]", of)) button.disabled = !mine.length;
    for (const button of all("[data-drop-linked]", of)) button.hidden = !linked.length;
    for (const button of all("[data-keep]", of)) {
      button.hidden = here.guest || (here.saved && here.showing === "example") || !tried(of).length;
      button.textContent = `Keep this for ${here.saved?.truck.name ?? "my truck"}`;
    }
    cards.forWhom(card(of), { changed: mine.length > linked.length, linked: linked.length > 0 });
  }

  // What a reader does ------------------------------------------------------------------------------

  /** @param {HTMLFormElement} of */
  function wake(of) {
    if (awake(of)) return;
    if (typeof dieselRuntime === "undefined") return fail(of, "A part of this site is missing.");
    of.dataset.state = "starting";
    keepRoom(card(of));
    const stop = dieselRuntime.watch((runtime) => {
      if (!["starting", "slow"].includes(runtime.state)) return;
      const megabytes = (runtime.bytes / 1e6).toFixed(1);
      /** @type {Saying} */
      const starting = runtime.bytes ? ["Starting the calculator: {} MB, once", megabytes] : "Starting the calculator…";
      say(of, runtime.message || starting, runtime.share);
      hear(of);
    });
    return compute(of.id).finally(stop);
  }

  /** @param {HTMLFormElement} of @param {Field} one */
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
  /** @param {HTMLFormElement} of @param {Field} copied */
  function copy(of, { dataset, value }) {
    const one = sure(field(of, dataset.copies ?? ""), "the field of a copy");
    const units = unitOf(of, one.name);
    if (units) units.selectedIndex = 0;
    one.value = value;
    note(of, one);
  }

  /** @type {(id: string) => boolean} */
  const asks = (id) => [...typed().keys()].some((name) => field(form(id), name));

  // The form its reader is in comes first; then, one by one until the next edit, those that are awake or ask what was typed.
  /** @param {string} first */
  async function computeAll(first) {
    const mine = ++turn;
    await compute(first);
    for (const id of forms) if (mine === turn && id !== first && (awake(form(id)) || asks(id))) await compute(id);
  }

  // Every form shows what is typed, but for the one its reader is in.
  /** @param {HTMLFormElement} [except] */
  function draw(except) {
    for (const id of forms) {
      const of = form(id);
      for (const one of of === except ? [] : of.elements) {
        const entry = typed().get(one.name);
        const units = one.name ? unitOf(of, one.name) : undefined;
        if (!entry || (one.type === "date" && entry.text && !/^\d/.test(entry.text))) continue;
        one.value = entry.shown ?? entry.text;
        if (units) units.value = (entry.shown ? entry.shownUnit : entry.unit) || units.options[0].value;
        if (units && units.selectedIndex < 0) units.selectedIndex = 0; // a link's unit that this field has not: the fault says so
      }
      decorate(of);
    }
  }

  function first(/** @type {Field} */ one) {
    if (!(one instanceof HTMLSelectElement)) return one.defaultValue;
    return ([...one.options].find((option) => option.defaultSelected) ?? one.options[0]).value;
  }

  // Back to what the answers of this truck were made from.
  /** @param {HTMLFormElement} of @param {Set<string>} names */
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

  /** @param {Map<string, Typed>} entries */
  function replace(entries) {
    const gone = new Set([...typed().keys()].filter((name) => !entries.has(name)));
    told[here.showing] = entries;
    for (const id of forms) reset(form(id), gone);
    draw();
    fresh = true;
  }

  /** @param {HTMLFormElement} of */
  function undo(of) {
    replace(before[here.showing].pop() ?? new Map());
    computeAll(of.id);
    remember(of);
  }

  // Without what was typed here, or only without what the link brought, in every form.
  /** @param {HTMLFormElement} of @param {(name: string, entry: Typed) => unknown} [goes] */
  function back(of, goes = (name) => field(of, name)) {
    before[here.showing].push(new Map(typed()));
    replace(new Map([...typed()].filter(([name, entry]) => !goes(name, entry))));
    computeAll(of.id);
    remember(of);
  }

  // What was tried here and may become a fact of the truck; what its book measures, the book tells.
  /** @param {HTMLFormElement} of */
  function tried(of) {
    const inputs = own(own(here.saved?.answers, of.id), "inputs");
    return [...typed()].flatMap(([name, { good, linked }]) => {
      const one = field(of, name);
      return good && !linked && one && one.dataset.passes === undefined && own(inputs, name)?.from !== "book" ? [{ name, good }] : [];
    });
  }

  /** @param {string} id */
  async function keep(id) {
    const of = form(id);
    const truck = here.saved?.truck ?? kept.blank();
    const facts = readOn(Object.fromEntries(tried(of).map(({ name, good }) => [name, good])), kept.today());
    const left = new Map([...typed()].filter(([name]) => !own(facts, name)));
    say(of, "Working everything out…");
    const { saved, faults, stores } = await kept.keep(withFacts(truck, { ...factsOf(truck), ...facts }));
    told.example = new Map();
    told.yours = left;
    before.yours = [];
    remember(of);
    handover.show("yours");
    await compute(id); // the card may have been filled anew, and would wake when its line is focused
    const line = the("[data-message]", form(id));
    say(form(id), [stores ? "Kept: every page and sheet counts it for {}. {}"
      : "This browser stores nothing for this page, so it counts for {} here alone. {}",
      saved.truck.name, faults.map((fault) => fault.do).join(" ")]);
    line.tabIndex = -1; // the button that was pressed is gone
    line.focus();
  }

  // Another unit shows the same fact otherwise; what is sent stays what was typed.
  /** @param {HTMLFormElement} of @param {HTMLSelectElement} units */
  async function changeUnit(of, units) {
    const name = units.dataset.unitFor ?? "";
    const one = sure(field(of, name), "the field of a unit");
    const entry = typed().get(name);
    if (entry && !isBare(entry.text)) return;
    const inputs = latest[here.showing].get(of.id) ?? (here.showing === "yours" ? own(own(here.saved.answers, of.id), "inputs") : null);
    const text = entry ? entry.text : inputs ? (own(inputs, name)?.text ?? "") : first(one);
    await convert(of, name, text, entry?.unit);
    if (entry) [entry.shown, entry.shownUnit] = [one.value, units.value];
    if (entry) draw(of);
  }

  /** @param {HTMLFormElement} of @param {string} name @param {string} text @param {string} [unit] */
  async function convert(of, name, text, unit) {
    const [one, units] = [sure(field(of, name), name), sure(unitOf(of, name), name)];
    const from = unit || units.options[0].value;
    if (!text) return;
    const asked = { do: /** @type {const} */ ("convert"), input: name, text, unit: from, to: units.value };
    const reply = from === units.value ? { ok: true, text } : await dieselRuntime.call(asked);
    if (reply.ok) one.value = reply.text ?? "";
    else units.value = from;
    byId(`${one.id}-u`).textContent = units.selectedOptions[0].dataset.words ?? "";
  }

  // The address carries what was typed, so a copied link shows the same answer.
  /** @param {HTMLFormElement} of */
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
  function formOf(/** @type {{ readonly target: EventTarget | null }} */ event) {
    const target = /** @type {HTMLElement | null} */ (event.target);
    const asked = target?.closest?.("[data-calculator]:has(form[data-form]) [data-asks]");
    return target?.closest?.("form[data-form]") ?? asked?.closest("[data-calculator]")?.querySelector("form[data-form]");
  }
  // A touch that only scrolls focuses and clicks nothing, so it loads nothing. Safari gives a clicked button no focus.
  for (const way of /** @type {const} */ (["focusin", "click"])) {
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
    const { target } = event;
    const isUnit = target instanceof HTMLSelectElement && target.dataset.unitFor;
    if (of && isUnit) changeUnit(of, target).then(() => remember(of)).catch((wrong) => fail(of, saidBy(wrong)));
    else if (of) remember(of);
  });
  document.addEventListener("submit", (event) => formOf(event) && event.preventDefault());
  document.addEventListener("click", (event) => {
    const of = formOf(event);
    if (of && event.target.closest("[data-undo]")) undo(of);
    if (of && event.target.closest("[data-back]")) back(of);
    if (of && event.target.closest("[data-keep]")) keep(of.id).catch((wrong) => fail(form(of.id), saidBy(wrong)));
    if (of && event.target.closest("[data-drop-linked]")) back(of, (_name, entry) => entry.linked);
  });
  // The page was filled anew, for the truck or the example: what was typed for that one stands again.
  document.addEventListener("handover", () => {
    draw();
    for (const id of forms) if (awake(form(id)) || asks(id)) compute(id);
  });
  restore();
})();
