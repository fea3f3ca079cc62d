"use strict";
// Puts the saved truck's numbers in the place of the example's. It runs in <head>, before anything is
// painted, and needs no runtime: My truck stored every answer, with its words, when it was saved.
// Nothing from storage, a link or a file becomes markup: words go in as text only.
const handover = (() => {
  const KEY = "diesel-handover";
  const ASIDE = `${KEY}-aside`;
  const LONGEST = 200_000; // characters a link may carry
  const FAR = 300; // days ahead from which a date slip names the year
  const refuse = () => { throw new Error("this browser stores nothing"); };
  const root = document.documentElement;
  const here = { saved: null, packed: null, showing: "example", given: {}, at: "", problem: "", carries: location.protocol === "file:" };
  const showing = new WeakMap(); // what an element of a card was filled with last
  const tells = new WeakMap(); // card: whether its answer rests on anything that was told
  const examples = new Map(); // what an element held when the page came: the example's words

  // Where storage may not even be asked, the theme's own scripts would stop at it: they get one that holds nothing.
  for (const name of ["localStorage", "sessionStorage"]) {
    try {
      globalThis[name].getItem(KEY);
    } catch {
      if (name === "localStorage") here.problem = "refused"; // the other only remembers what was put off
      Object.defineProperty(globalThis, name, { value: { getItem: () => null, setItem: refuse, removeItem() {}, length: 0 } });
    }
  }

  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const own = (thing, name) => (thing && typeof thing === "object" && Object.hasOwn(thing, name) ? thing[name] : undefined);
  const today = () => new Date(Date.now() - new Date().getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
  const version = () => document.querySelector('meta[name="site-version"]')?.content ?? root.dataset.siteVersion ?? "";

  // Storage and links ---------------------------------------------------------------------------

  function letters(bytes) {
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    return btoa(text).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
  }

  const numbers = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (letter) => letter.charCodeAt(0));
  const pack = (thing) => letters(new TextEncoder().encode(JSON.stringify(thing)));
  const unpack = (text) => JSON.parse(new TextDecoder().decode(numbers(text)));

  // Answers are long, so a link carries them deflated.
  const through = (bytes, stream) => new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer();

  async function deflate() {
    const { saved } = here;
    here.packed = null;
    if (!saved || !here.carries) return;
    const { answers, facts, pictures, calendar } = saved;
    let packed = "";
    try {
      packed = letters(new Uint8Array(await through(JSON.stringify({ answers, facts, pictures, calendar }), new CompressionStream("deflate-raw"))));
    } catch { /* it travels as it is, if it is short enough */ }
    if (saved === here.saved) here.packed = packed;
  }

  async function inflate(saved) {
    const bytes = await through(numbers(saved.packed), new DecompressionStream("deflate-raw"));
    return { ...saved, ...JSON.parse(new TextDecoder().decode(bytes)), packed: undefined };
  }

  const whole = (saved) => typeof own(own(saved, "truck"), "name") === "string" && typeof own(saved, "answers") === "object";

  function stored() {
    let text = null;
    try {
      text = localStorage.getItem(KEY);
      if (text === null) return null;
      const saved = JSON.parse(text);
      if (whole(saved)) return saved;
      throw new Error("it is not a truck of this guide");
    } catch (wrong) {
      here.problem = text === null ? "refused" : "broken";
      if (text !== null) aside({ why: `What this browser had stored could not be read: ${wrong.message}.`, text });
      return null;
    }
  }

  // Never thrown away: what could not be read, or was replaced, waits until its owner decides.
  function aside(kept) {
    const others = asides();
    if (others.some((one) => JSON.stringify(one) === JSON.stringify(kept))) return;
    try {
      localStorage.setItem(ASIDE, JSON.stringify([...others, kept]));
    } catch {
      here.problem = "refused";
    }
  }

  // [{why, text}] of what could not be read, [{before}] of a truck that was replaced. An older version kept one of each.
  function asides() {
    try {
      const kept = JSON.parse(localStorage.getItem(ASIDE)) ?? [];
      const { why, text, before } = kept;
      return Array.isArray(kept) ? kept : [...(why ? [{ why, text }] : []), ...(before ? [{ before }] : [])];
    } catch {
      return [];
    }
  }

  async function carried() {
    if (!location.hash.startsWith("#v1.")) return null;
    try {
      const told = unpack(location.hash.slice(4));
      const at = own(told, "at");
      here.at = typeof at === "string" ? at : "";
      here.given = own(told, "given") ?? {};
      let saved = here.carries ? own(told, "saved") : null; // served pages share storage, so a link never brings a truck there
      if (typeof own(saved, "packed") === "string") saved = await inflate(saved);
      return whole(saved) ? saved : null;
    } catch {
      return null;
    }
  }

  function fragment(at) {
    const saved = here.carries ? here.saved : undefined;
    const data = pack({ at, given: here.given, saved: saved && here.packed ? { ...saved, answers: undefined, facts: undefined, pictures: undefined, calendar: undefined, packed: here.packed } : saved });
    return data.length > LONGEST ? null : `#v1.${data}`;
  }

  function keep(saved) {
    here.saved = saved;
    here.showing = saved ? "yours" : "example";
    here.packing = deflate();
    try {
      if (saved) localStorage.setItem(KEY, JSON.stringify(saved));
      else localStorage.removeItem(KEY);
      return true;
    } catch {
      here.problem = "refused";
      return false;
    }
  }

  // From a folder every page may have its own storage, so the truck travels in the links.
  function carry(event) {
    const link = event.target.closest?.("a[href]");
    if (!link || link.protocol !== "file:" || link.hasAttribute("download") || !link.pathname.endsWith(".html")) return;
    if (link.pathname === location.pathname && link.hash) return;
    if (root.classList.contains("filling") || (here.saved && here.packed === null)) { // touched before the truck is unpacked, or packed again
      if (event.type !== "click") return;
      event.preventDefault();
      setTimeout(() => link.click(), 20);
      return;
    }
    const at = link.hash.startsWith("#v1.") ? link.dataset.at : link.hash.slice(1);
    const data = here.saved || Object.keys(here.given).length ? fragment(at) : at ? `#${at}` : "";
    if (data === null) return;
    link.dataset.at = at ?? "";
    link.href = link.href.split("#")[0] + data;
  }

  function address() {
    const data = fragment(here.at);
    if (data && (Object.keys(here.given).length || (here.carries && here.saved))) history.replaceState(null, "", data);
    else if (location.hash.startsWith("#v1.")) history.replaceState(null, "", here.at ? `#${here.at}` : location.pathname + location.search);
  }

  // Numbers -------------------------------------------------------------------------------------

  function value(key) {
    const fact = own(own(here.saved, "facts"), key);
    if (fact) return { ...fact, yours: fact.from !== "example" };
    const [name, ...path] = key.split(".");
    const answered = own(own(here.saved, "answers"), name);
    const yours = Boolean(answered?.told);
    if (path[0] === "answer") return answered ? { value: answered.answer, phrase: answered.answer, yours } : null;
    let found = own(answered, "results");
    for (const step of path) {
      found = Array.isArray(found) ? (/^\d+$/.test(step) ? found[step] : found.find((row) => Object.values(row)[0].value === step)) : own(found, step);
    }
    return found?.phrase === undefined ? null : { ...found, yours };
  }

  function words(key) {
    if (key === "truck.name") return { phrase: here.saved.truck.name, yours: true };
    if (key === "today") return { phrase: dayWords(here.saved.computed_on), yours: false };
    return value(key);
  }

  const day = (text) => (/^\d{4}-\d\d-\d\d$/.test(text) ? new Date(`${text}T00:00:00Z`) : null);
  const say = (date, parts) => date.toLocaleDateString("en-US", { timeZone: "UTC", ...parts });
  const dayWords = (text) => (day(text) ? say(day(text), { month: "short", day: "numeric", year: "numeric" }) : "");

  // Words in their place: a text, or both languages of it beside each other.
  const texts = (told) => (typeof told === "string" ? [told] : [said("en", told.en), " ", said("es", told.es)]);
  const put = (element, told) => element.replaceChildren(...texts(told));

  function said(language, text) {
    const span = document.createElement("span");
    span.lang = language;
    span.textContent = text;
    return span;
  }

  function setValue(element, value) {
    if (!changes(element, value)) return;
    element.dataset.value = value.value ?? "";
    element.dataset.unit = value.unit ?? "";
    if (!element.matches("p")) element.className = value.look;
    if (!element.matches("dd")) put(element, value.shown);
    else if (["why", "words"].includes(value.look)) put(element, value.phrase);
    else large(element, value);
  }

  function large(element, { number, shown }) {
    const unit = shown.slice(number.length);
    const small = document.createElement("small");
    small.textContent = unit.trimStart();
    element.replaceChildren(number, unit.slice(0, unit.length - unit.trimStart().length), ...(unit ? [small] : []));
  }

  // A row of the page's own templates with words in its holes: a list makes as many lines, and one with an empty hole goes.
  function row(name, told) {
    const made = document.querySelector(`template[data-row="${name}"]`).content.firstElementChild.cloneNode(true);
    const walker = document.createTreeWalker(made, NodeFilter.SHOW_TEXT);
    const found = [];
    while (walker.nextNode()) found.push(walker.currentNode);
    for (const text of found) {
      const parts = text.data.split(/\{(\w+)\}/); // text and names of holes by turns
      const holes = parts.filter((_, place) => place % 2).map((hole) => own(told, hole) ?? "");
      if (Array.isArray(holes[0])) text.parentElement.replaceWith(...holes[0].map((line) => lineOf(text.parentElement, line)));
      else if (holes.includes("")) remove(text.parentElement, made);
      else if (holes.length) text.replaceWith(...parts.flatMap((part, place) => (place % 2 ? texts(told[part]) : part)));
    }
    return made;
  }

  function lineOf(element, told) {
    const line = element.cloneNode();
    put(line, told);
    return line;
  }

  function remove(element, top) {
    const above = element.parentElement;
    element.remove();
    if (above && above !== top && !above.textContent) remove(above, top);
  }

  function stepRow(step, named) {
    const made = row("step", { ...step, shown: step.result.shown });
    const cell = made.querySelector("b");
    cell.className = step.result.look;
    if (named) {
      cell.dataset.result = step.name;
      setValue(cell, step.result);
    }
    return made;
  }

  function stepsTo(name, steps) {
    const wanted = new Set([name]);
    const kept = [];
    for (const step of steps.toReversed()) {
      if (!wanted.has(step.name)) continue;
      kept.unshift(step);
      for (const need of step.needs) wanted.add(need);
    }
    return kept;
  }

  // Whether an element is to show something else than it does: to show the same again was most of an edit's time.
  function changes(element, shows) {
    const text = JSON.stringify(shows);
    if (showing.get(element) === text) return false;
    showing.set(element, text);
    return true;
  }

  function setRows(list, shows, make) {
    shows.forEach((one, place) => {
      const old = list.children[place];
      if (old && showing.get(old) === JSON.stringify(one)) return;
      const made = make(one);
      changes(made, one);
      if (old) old.replaceWith(made);
      else list.append(made);
    });
    while (list.children.length > shows.length) list.lastElementChild.remove();
  }

  // Two languages -------------------------------------------------------------------------------

  let pairs = null;

  // English and its Spanish, for a card that has both: sent along with a question, so that its answer comes in both.
  function spanish(within) {
    if (!within.closest("[data-both]")) return undefined;
    const lines = () => all("p", document.querySelector("template[data-spanish]").content);
    return (pairs ??= Object.fromEntries(lines().map((line) => [line.dataset.of, line.textContent])));
  }

  // What a script says by itself, its holes filled: [words, ...what stands in their holes], each of which may be such a thing too.
  function tell(within, told) {
    const [words, ...holes] = [told].flat();
    const filled = (text, language) => holes.reduce((line, hole) => line.replace("{}", () => inOne(tell(within, hole), language)), text);
    const other = own(spanish(within), words);
    return other ? { en: filled(words, "en"), es: filled(other, "es") } : filled(words, "en");
  }

  const inOne = (told, language) => (typeof told === "string" ? told : told[language]);

  // A name for screen readers, which can hold nothing but text.
  function named(within, told) {
    const made = tell(within, told);
    return typeof made === "string" ? made : `${made.en} · ${made.es}`;
  }

  // A calculator's card -------------------------------------------------------------------------

  function setVerdict(card, { look, sign, answer }) {
    remember(card);
    const box = card.querySelector("[data-verdict]");
    if (!changes(box, [look, answer])) return;
    box.className = `verdict ${look}`;
    if (sign) box.querySelector("use")?.setAttribute("href", `#i-${sign}`);
    put(box.querySelector("[data-answer]"), answer);
  }

  function fillCard(card, answer, asOf = today()) {
    remember(card);
    const { results } = answer;
    tells.set(card, answer.told);
    card.classList.toggle("untold", !answer.told);
    for (const place of all("[data-result]", card)) {
      if (place.closest("[data-working]")) continue;
      const found = own(results, place.dataset.result);
      if (Array.isArray(found)) fillTable(place, found);
      else if (found) setValue(place, found);
    }
    setVerdict(card, answer);
    if (answer.working) fillWorking(card, answer);
    setRows(card.querySelector("[data-cautions]"), answer.cautions, (caution) => row(`caution-${caution.signal}`, caution));
    setRows(card.querySelector("[data-sources]"), answer.sources, (line) => row("source", line));
    for (const date of all("[data-as-of]", card)) date.textContent = dayWords(asOf);
    card.dispatchEvent(new CustomEvent("answer", { bubbles: true, detail: answer })); // the chart follows
  }

  function fillWorking(card, { results, working }) {
    const list = card.querySelector("[data-working]");
    const named = (name) => own(results, name) && !Array.isArray(results[name]) && !all(`[data-result="${name}"]`, card).some((e) => !list.contains(e));
    setRows(list, working, (step) => stepRow(step, named(step.name)));
  }

  function fillTable(table, rows) {
    const [body] = table.tBodies;
    const pattern = body.rows[0];
    if (!pattern) return;
    setRows(body, rows, (cells) => {
      const line = pattern.cloneNode(true);
      for (const cell of line.cells) {
        const found = own(cells, cell.dataset.field);
        if (found) setValue(cell, found);
      }
      return line;
    });
  }

  // What the answer was made from; a field its reader has typed in keeps what was typed.
  function fillForm(form, inputs, skip = () => false) {
    for (const field of form.elements) {
      const text = own(inputs, field.name)?.text ?? "";
      if (!field.name) continue;
      field.classList.toggle("of-example", own(inputs, field.name)?.from === "example");
      if (field.value !== text && !skip(field)) field.value = text; // unchanged: the caret stays
    }
  }

  // Dates: stored answers hold days, so another day needs no new answer -------------------------

  const ahead = (date) => Math.round((date - day(today())) / 86_400_000);

  // Days left as they stand today, in the list a stored answer holds.
  function aged(answer) {
    const rows = answer.results.jobs;
    if (!Array.isArray(rows) || !rows[0]?.days_left) return answer;
    const jobs = rows.map((job) => {
      const date = day(job.due_date.value);
      if (!date) return job;
      const left = ahead(date);
      const overdue = job.overdue.value || (left < 0 && recorded(job));
      return { ...job, days_left: { ...job.days_left, value: left, number: String(left).replace("-", "−") },
        overdue: { ...job.overdue, value: overdue, number: overdue ? "yes" : "no" } };
    });
    const late = jobs.filter((job) => job.overdue.value).toSorted((a, b) => (order(a) < order(b) ? -1 : 1));
    if (late.length === rows.filter((job) => job.overdue.value).length) return { ...answer, results: { ...answer.results, jobs } };
    const { jobs_overdue: count, next_is_overdue: next } = answer.results;
    const number = String(late.length);
    return { ...answer, answer: `${answer.answer} Overdue by now: ${number}, first ${late[0].job.phrase}.`,
      results: { ...answer.results, jobs, jobs_overdue: { ...count, value: late.length, number, phrase: number },
        next_is_overdue: { ...next, value: true, number: "yes", phrase: "yes" } } };
  }

  const jobs = () => own(own(own(own(here.saved, "answers"), "service_due"), "results"), "jobs") ?? [];

  const recorded = (job) => job.governed_by.value !== "not_recorded";
  const order = (job) => (recorded(job) ? "" : "x") + (job.due_date.value ?? "9999");

  function jobRow(name, job) {
    const date = day(job.due_date.value);
    const past = name === "next-job" && date && ahead(date) < 0 && recorded(job);
    const when = date && name === "next-job" && !past ? say(date, { weekday: "short", month: "short", day: "numeric" }) : job.due_date.number;
    return row(name, { job: job.job.number, due: recorded(job) ? when : "now", brought_by: past ? "overdue" : job.governed_by.number });
  }

  function nextJobs(sorted, count) {
    const known = sorted.filter(recorded);
    const shown = (known.length ? known : sorted).slice(0, count);
    const more = sorted.length - known.length - (known.length ? 0 : shown.length);
    return [...shown.map((job) => jobRow("next-job", job)), ...(more ? [row("no-record", { count: String(more) })] : [])];
  }

  function dueWords(job) {
    const date = day(job.due_date.value);
    if (!date || !recorded(job)) return ["no record of it", "Now"];
    const year = ahead(date) > FAR ? { year: "numeric" } : {};
    return [ahead(date) < 0 ? "overdue since" : `by ${say(date, { weekday: "long" })}`, say(date, { month: "short", day: "numeric", ...year })];
  }

  function fillDates() {
    const sorted = jobs().toSorted((a, b) => (order(a) < order(b) ? -1 : 1));
    for (const list of sorted.length ? all("[data-jobs]") : []) {
      remember(list);
      if (list.tBodies) list.tBodies[0].replaceChildren(...sorted.map((job) => jobRow("job", job)));
      else list.replaceChildren(...nextJobs(sorted, Number(list.dataset.jobs)));
    }
    for (const box of all("[data-due]")) {
      const job = sorted.find((one) => one.job.value === box.dataset.due);
      if (!job) continue;
      remember(box);
      dueWords(job).forEach((text, place) => (box.children[place].textContent = text));
    }
  }

  // The page: yours or the example's ------------------------------------------------------------

  function remember(element) {
    if (!examples.has(element)) examples.set(element, { kind: element.className, size: element.dataset.size, nodes: [...element.childNodes].map((node) => node.cloneNode(true)) });
  }

  function fillYours() {
    const { truck, answers } = here.saved;
    root.classList.add("yours");
    for (const place of all("[data-live]")) {
      const found = words(place.dataset.live);
      if (!found) continue;
      const blank = found.from === "example" && place.closest(".sheet"); // on paper what is not told is a blank to write in
      remember(place);
      place.textContent = blank ? "" : found.phrase;
      place.classList.toggle("yours", found.yours);
      place.classList.toggle("none", blank || found.value === null);
      // On paper a long name is set smaller: by how many of these lengths it passes.
      if (place.dataset.fit) place.dataset.size = place.dataset.fit.split(" ").filter((most) => found.phrase.length > most).length;
    }
    for (const place of all("[data-for-truck]").filter((place) => !place.closest("[data-calculator]"))) {
      remember(place);
      place.textContent = `for ${truck.name}`;
    }
    for (const card of all("[data-calculator]")) {
      const answer = own(answers, card.dataset.calculator);
      if (!answer) continue;
      fillCard(card, aged(answer), here.saved.computed_on);
      fillForm(card.querySelector("form"), answer.inputs);
      forWhom(card);
      for (const button of all("[data-back]", card)) put(button, tell(card, ["Back to {}", truck.name]));
    }
    fillDates();
  }

  // Whose numbers a card shows: the saved truck's or, where that tells none of them, the example's; what is typed has changed them.
  function forWhom(card, changed = false) {
    const mine = here.showing === "yours";
    const words = `for {}${mine && tells.get(card) === false ? ", with the example’s numbers" : ""}${changed ? ", changed" : ""}`;
    for (const place of all("[data-for-truck]", card)) {
      const told = [words, mine ? here.saved.truck.name : place.dataset.forTruck];
      if (changes(place, told)) put(place, tell(card, told));
    }
  }

  function fillExample() {
    root.classList.remove("yours");
    for (const [element, { kind, size, nodes }] of examples) {
      element.className = kind;
      if (size) element.dataset.size = size;
      element.replaceChildren(...nodes.map((node) => node.cloneNode(true)));
    }
    examples.clear();
  }

  function fillBar() {
    for (const bar of all("[data-truck-bar]")) bar.hidden = !here.saved;
    for (const name of all("[data-truck-name]")) {
      const older = here.saved && here.saved.site_version !== version() ? " (computed by an older version)" : "";
      name.textContent = here.saved ? here.saved.truck.name + older : "";
    }
    for (const button of all("[data-calendar]")) button.hidden = !own(here.saved, "calendar");
    for (const only of all("[data-example-only]")) only.hidden = here.showing === "yours";
    for (const button of all("[data-show-example]")) {
      const slip = button.closest("[data-slip]");
      button.hidden = !here.saved || (slip !== null && !value(slip.dataset.slip)?.yours);
      button.setAttribute("aria-pressed", String(here.showing === "example"));
      const long = slip ? "Show the example" : "Example";
      button.textContent = here.showing === "yours" || !here.saved ? long : `Show ${here.saved.truck.name}`;
    }
  }

  function fill() {
    try {
      if (here.showing === "yours") fillYours();
      fillBar();
    } catch (wrong) { // stored by a version of another shape: nothing is lost, the example stands
      aside({ why: `What this browser had stored does not fit this page: ${wrong.message}.`, text: JSON.stringify(here.saved) });
      here.problem = "broken";
      here.showing = "example";
      fillExample();
    } finally {
      root.classList.remove("filling");
    }
    document.dispatchEvent(new Event("handover"));
  }

  function show(which) {
    fillExample();
    here.showing = which;
    fill();
  }

  function download(name, text, type) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }

  function openSlip(event) {
    const slip = event.target;
    if (event.newState !== "open" || !slip.dataset?.slip || here.showing !== "yours") return;
    const [name, ...rest] = slip.dataset.slip.split(".");
    const found = value(slip.dataset.slip);
    if (!found?.yours) return;
    const answer = own(here.saved.answers, name);
    const list = slip.querySelector("[data-working]");
    const origin = slip.querySelector("[data-origin]");
    remember(origin);
    if (list) remember(list);
    if (answer && list) list.replaceChildren(...stepsTo(rest.join("."), answer.working).map((step) => stepRow(step, false)));
    origin.textContent = answer ? `Worked out for ${here.saved.truck.name}.` : `As told for ${here.saved.truck.name}.`;
  }

  async function begin() {
    const fromHere = stored();
    if (fromHere || location.hash.startsWith("#v1.")) root.classList.add("filling");
    const fromLink = location.hash.startsWith("#v1.") ? await carried() : null;
    here.saved = fromLink && (fromLink.saved_at ?? 0) >= (fromHere?.saved_at ?? 0) ? fromLink : fromHere;
    here.showing = here.saved ? "yours" : "example";
    deflate();
    whenThere(fill);
  }

  // As soon as the page's last line is parsed, which is before the theme's scripts run.
  function whenThere(then) {
    const done = () => {
      watcher.disconnect();
      document.removeEventListener("DOMContentLoaded", done);
      then();
      if (here.at) document.getElementById(here.at)?.scrollIntoView();
    };
    const watcher = new MutationObserver(() => document.querySelector("[data-page-end]") && done());
    if (document.readyState !== "loading") return done();
    document.addEventListener("DOMContentLoaded", done);
    return watcher.observe(root, { childList: true, subtree: true });
  }

  // The theme's switch of the menu is a label, which no keyboard reaches: a button stands in its place.
  function menuButton() {
    const [label, drawer] = [document.querySelector('.md-header label[for="__drawer"]'), document.getElementById("__drawer")];
    if (!label || !drawer) return;
    const button = document.createElement("button");
    const tell = () => button.setAttribute("aria-expanded", String(drawer.checked));
    button.type = "button";
    button.className = label.className;
    button.dataset.menu = "";
    button.setAttribute("aria-label", "Menu");
    button.append(...label.childNodes);
    button.onclick = () => drawer.click();
    drawer.addEventListener("change", tell);
    tell();
    label.replaceWith(button);
  }

  // One polite line a page tells those who hear it what changed; the same words are not said twice.
  function heard(words) {
    const line = document.querySelector("[data-heard]");
    if (line && words && line.textContent !== words) line.textContent = words;
  }

  document.addEventListener("DOMContentLoaded", menuButton);
  document.addEventListener("click", (event) => {
    if (event.target.closest?.("[data-show-example]")) show(here.showing === "yours" ? "example" : "yours");
    if (event.target.closest?.("[data-print]")) print();
    const pick = event.target.closest?.("[data-pick]")?.dataset.pick.split(" ");
    for (const box of pick ? all(".choose input") : []) box.checked = pick.includes(box.id.replace("pick-", ""));
    if (event.target.closest?.("[data-calendar]")) download("service-dates.ics", here.saved.calendar, "text/calendar");
  });
  document.addEventListener("beforetoggle", openSlip, true);
  document.addEventListener("DOMContentLoaded", () => all("[data-print], [data-picks]").forEach((one) => (one.hidden = false)));
  if (here.carries) {
    for (const way of ["pointerdown", "click", "auxclick", "contextmenu"]) document.addEventListener(way, carry, true);
    addEventListener("hashchange", () => {
      if (location.hash.startsWith("#v1.")) return;
      here.at = location.hash.slice(1);
      address();
    });
  }
  else addEventListener("hashchange", () => location.hash.startsWith("#v1.") && location.reload()); // a link with answers, pasted over this page's
  const begun = begin();

  return { here, begun, own, all, today, version, keep, aside, asides, ASIDE, KEY, fragment, address, download, show, fill, fillCard, fillForm, fillWorking, forWhom, setVerdict, put, spanish, tell, named, heard };
})();
