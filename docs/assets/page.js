"use strict";
// Puts the shown truck's numbers in the place of the example's. It runs in <head>, before anything is
// painted, and needs no runtime: every answer was stored with its words, and those of later days, when it was worked out.
// Nothing from storage, a link or a file becomes markup: words go in as text only.
const handover = (() => {
  const { own, onDay } = shared;
  const { here, today } = kept;
  const { all, dayWords, heard, put, row, tell, the } = words;
  const { examples, fillCard, fillForm, forWhom, madeRow, mark, remember, restore, stepRow, stepsTo } = cards;
  const NEVER_STORED = ["wrong_fluid"]; // says what to do now, so always by what this page itself came with or works out
  const IDENTITY = "truck.identity."; // keys of who a truck is, beside its name
  const RECORD = "record."; // keys of the whole book on paper
  const root = document.documentElement;

  // Numbers -------------------------------------------------------------------------------------

  /** @param {string} key @returns {Shown | null} */
  function value(key) {
    const fact = own(own(here.saved, "facts"), key);
    if (fact) return { ...fact, phrase: fact.phrase ?? fact.shown };
    const [name, ...path] = key.split(".");
    const answered = NEVER_STORED.includes(name) ? undefined : own(own(here.saved, "answers"), name);
    if (path[0] === "answer") {
      const { answer, answer_rests_on: rests_on, answer_whose: whose } = answered ?? {};
      return answered ? { value: answer, phrase: current(answered).answer, rests_on, whose } : null;
    }
    /** @type {unknown} */
    let found = answered && current(answered).results;
    for (const step of path) {
      if (!Array.isArray(found)) found = own(found, step);
      else found = /^\d+$/.test(step) ? found[Number(step)] : found.find((row) => Object.values(row)[0].value === step);
    }
    const held = /** @type {Value | undefined} */ (found);
    return held?.shown === undefined ? null : { ...held, phrase: held.phrase ?? held.shown };
  }

  /** @param {string} key @returns {Shown | null} */
  function shownAt(key) {
    const { truck, paper } = kept.shown();
    if (key === "truck.name") return { phrase: truck.name, rests_on: "yours" };
    if (key === "today") return { phrase: dayWords(today()) };
    if (key.startsWith(RECORD)) return { phrase: /** @type {string} */ (own(paper, key.slice(RECORD.length)) ?? ""), rests_on: "yours" };
    if (key.startsWith(IDENTITY)) return { phrase: own(truck.identity, key.slice(IDENTITY.length)) ?? "", rests_on: "yours" };
    return value(key);
  }

  // Days: what is stored tells for each later day what changes on it ------------------------------

  // An answer as it stands today: what changes day by day is stored with the day from which it holds.
  /** @template {Answer<Bilingual>} A @param {A} answer @returns {A} */
  function current(answer) {
    const { from: _, results = {}, ...told } = answer.days ? onDay(answer.days, today()) : /** @type {Partial<DayOfAnswer>} */ ({});
    const changed = Object.entries(results).map(([name, value]) => [name, mended(answer.results[name], value)]);
    const days = (Date.parse(today()) - Date.parse(kept.shown().computed_on ?? today())) / 86_400_000;
    /** @type {(value: Value | Row[]) => Value | Row[]} */
    const agedAll = (value) => (Array.isArray(value) ? value.map((cells) => /** @type {Row} */ (agedIn(cells))) : aged(value, days));
    /** @type {(cells: Results | Row) => Results} */
    const agedIn = (cells) => Object.fromEntries(Object.entries(cells).map(([name, value]) => [name, agedAll(value)]));
    return { ...answer, ...told, results: agedIn({ ...answer.results, ...Object.fromEntries(changed) }) };
  }

  // A day more is one less that is left.
  /** @param {Value} value @param {number} days */
  function aged(value, days) {
    if (!value?.daily || !days) return value;
    const left = Number(value.value) + value.daily * days;
    const number = String(left).replace("-", "−");
    return { ...value, value: left, number, shown: number + value.shown.slice(value.number.length) };
  }

  /** @type {(value: Value | Row[], by: Value | Row[]) => Value | Row[]} */
  const mended = (value, by) => (Array.isArray(value) && Array.isArray(by) && value.length === by.length
    ? value.map((row, place) => ({ ...row, ...by[place] })) : by);

  const jobs = () => (own(here.saved, "jobs") ?? []).map(({ days }) => onDay(days, today())).toSorted((a, b) => a.place - b.place);

  /** @param {Job[]} sorted */
  function jobRows(sorted) {
    const heads = new Set();
    return sorted.flatMap((job) => {
      const first = !heads.has(job.section);
      heads.add(job.section);
      return [...(first ? [row("section", job)] : []), jobRow("job", job)];
    });
  }

  /** @param {string} name @param {Job} job */
  function jobRow(name, job) {
    const made = row(name, job);
    made.dataset.section = job.section;
    made.dataset.job = job.job;
    made.dataset.rests = job.rests_on;
    return made;
  }

  /** @param {Job[]} sorted @param {number} count */
  function nextJobs(sorted, count) {
    const dated = sorted.filter((job) => job.dated);
    const shown = (dated.length ? dated : sorted).slice(0, count);
    const more = sorted.length - dated.length - (dated.length ? 0 : shown.length);
    return [...shown.map((job) => jobRow("next-job", job)), ...(more ? [row("no-record", { count: String(more) })] : [])];
  }

  function fillReading() {
    const told = onDay(own(here.saved, "reading") ?? [], today());
    for (const line of told ? all("[data-reading]") : []) {
      remember(line);
      line.textContent = told.says;
      line.classList.toggle("wanted", told.wanted);
    }
  }

  function fillDates() {
    const sorted = jobs();
    fillReading();
    for (const line of all("[data-usual]")) line.hidden = !sorted.some((job) => job.usual);
    for (const list of sorted.length ? all("[data-jobs]") : []) {
      remember(list);
      if (list instanceof HTMLTableElement) list.tBodies[0].replaceChildren(...jobRows(sorted));
      else list.replaceChildren(...nextJobs(sorted, Number(list.dataset.jobs)));
    }
    for (const box of all("[data-due]")) {
      const job = sorted.find((one) => one.job === box.dataset.due);
      if (!job) continue;
      remember(box);
      job.due.forEach((text, place) => (box.children[place].textContent = text));
      box.dataset.rests = job.rests_on;
    }
  }

  // The page: yours or the example's ------------------------------------------------------------

  function fillYours() {
    const { truck, answers, computed_on } = kept.shown();
    root.classList.add("yours");
    for (const place of all("[data-live]")) {
      const found = shownAt(place.dataset.live);
      if (found) fillLive(place, found);
      else restore(place);
    }
    for (const place of all("[data-for-truck]").filter((place) => !place.closest("[data-calculator]"))) {
      remember(place);
      place.textContent = `for ${truck.name}`;
    }
    for (const body of all("[data-book]")) fillBook(body);
    for (const card of all("[data-calculator]")) {
      const answer = own(answers, card.dataset.calculator);
      if (!answer || NEVER_STORED.includes(card.dataset.calculator)) {
        restore(card);
        continue;
      }
      fillCard(card, current(answer), computed_on);
      fillForm(the("form", card), answer.inputs, (field) => field.closest(".typed"));
      forWhom(card);
      for (const button of all("[data-back]", card)) put(button, tell(card, ["Back to {}", truck.name]));
    }
    fillDates();
  }

  /** @param {HTMLElement} place @param {Shown} found */
  function fillLive(place, found) {
    const { phrase, value, rests_on: rests, from, least, tell: wanted = [] } = found;
    const paper = place.closest(".sheet");
    const recordless = wanted.every((key) => key.startsWith("done.")); // a job without a record says so
    const untold = rests === "example" || from === "example" || !recordless;
    const blank = paper && untold; // on paper what is not told is a blank to write in
    remember(place);
    if (place.matches(".state")) {
      place.dataset.value = blank ? "" : String(value ?? ""); // what the sheet's style goes by, and nobody reads
      return;
    }
    if (place.matches("input")) return void (place.defaultValue = blank ? "" : phrase); // what was typed over it stays
    const inText = untold && place.matches("button") ? "a number you have not told" : phrase;
    const lacks = "short" in place.dataset ? "—" : inText;
    place.textContent = blank ? (least?.phrase ?? "") : value === null && phrase ? lacks : phrase;
    mark(place, blank ? {} : found);
    place.classList.toggle("yours", rests === "yours");
    place.classList.toggle("none", (blank && !least) || value === null);
    // On paper a long name is set smaller: by how many of these lengths it passes.
    if (place.dataset.fit) place.dataset.size = String(place.dataset.fit.split(" ").filter((most) => phrase.length > Number(most)).length);
  }

  // The truck's record: a row for each entry that counts, as paper has them, or lines to write on by hand.
  const bookLines = () => own(own(here.saved, "paper"), "lines") ?? [];

  /** @param {HTMLElement} body */
  function fillBook(body) {
    remember(body);
    const pattern = examples.get(body)?.nodes.find((node) => node instanceof HTMLTableRowElement);
    if (!pattern) return;
    /** @type {PaperLine} */
    const blank = ["pen", "", "", "", "", [], "", ""];
    const lines = bookLines();
    body.replaceChildren(...(lines.length ? lines : Array(Number(body.dataset.book)).fill(blank)).map((line) => bookRow(pattern, line)));
  }

  /** @param {HTMLTableRowElement} pattern @param {PaperLine} line */
  function bookRow(pattern, [kind, ...told]) {
    const made = pattern.cloneNode(true);
    made.className = kind;
    const [day, miles, hours, what, own, by, receipt] = told;
    const spans = all("span", made);
    [day, miles, hours, what, "", receipt].forEach((text, place) => (made.cells[place].textContent = text));
    [own.join(", "), by].forEach((text, place) => (spans[place].textContent = text));
    made.cells[3].append(spans[0]);
    made.cells[4].append(spans[1]);
    return made;
  }

  function fillExample() {
    root.classList.remove("yours");
    for (const element of examples.keys()) restore(element);
  }

  function fillBar() {
    const name = here.saved?.truck.name ?? "";
    root.classList.toggle("guest", here.guest);
    for (const bar of all("[data-truck-bar]")) bar.hidden = !here.saved || here.guest;
    for (const bar of all("[data-guest-bar]")) bar.hidden = !here.guest;
    for (const place of all("[data-truck-name]")) place.textContent = name;
    for (const button of all("[data-use-mine]")) button.textContent = here.mine ? "Use mine" : "Use the example";
    for (const button of all("[data-calendar]")) button.hidden = !own(here.saved, "calendar");
    for (const only of all("[data-example-only]")) only.hidden = here.showing === "yours";
    for (const only of all("[data-yours-only]")) only.hidden = here.showing !== "yours";
    for (const part of all("[data-while-known]")) part.hidden = here.showing === "yours" && part.querySelector("[data-live].none") !== null;
    const bare = here.showing === "yours" && !bookLines().length;
    for (const only of all("[data-with-entries]")) only.hidden = bare;
    for (const only of all("[data-without-entries]")) only.hidden = !bare;
    for (const button of all("[data-show-example]")) {
      const slip = button.closest("[data-slip]");
      button.hidden = !here.saved || (slip !== null && !["yours", "partly"].includes(value(slip.dataset.slip)?.rests_on ?? ""));
      button.setAttribute("aria-pressed", String(here.showing === "example"));
      const long = slip ? "Show the example" : "Example";
      button.textContent = here.showing === "yours" || !here.saved ? long : `Show ${name}`;
    }
  }

  // A line above all else: what is under way, or went wrong, with the truck that is shown.
  /** @param {string} text */
  function note(text) {
    for (const line of all("[data-truck-note]")) {
      line.textContent = text;
      line.hidden = !text;
    }
    heard(text);
  }

  function fill() {
    const ready = !here.saved || kept.fits(here.saved);
    try {
      if (here.showing === "yours" && ready) fillYours();
      fillBar();
    } catch { // stored in another shape: nothing is lost, the example stands
      kept.aside({ why: "What this browser had stored does not fit this page.", text: JSON.stringify(here.saved) });
      here.problem = "broken";
      here.showing = "example";
      fillExample();
    }
    if (!ready && here.showing === "yours") return renew();
    root.classList.remove("filling");
    return document.dispatchEvent(new Event("handover"));
  }

  // Nothing of the example's stands in for the truck while its answers are being worked out.
  function renew() {
    const { name } = kept.shown().truck;
    root.classList.add("filling");
    note(`Working it out for ${name}…`);
    return kept.renew(({ share }) => share > 0 && share < 1 && note(`Working it out for ${name}… ${Math.round(share * 100)} %`))
      .then(() => note(""))
      .catch((wrong) => {
        note(`It could not be worked out for ${name} here. ${wrong.message} The numbers are the example’s.`);
        show("example");
      });
  }

  /** @param {"yours" | "example"} which */
  function show(which) {
    fillExample();
    here.showing = which;
    fill();
  }

  // Another truck, or none: in place where this page shows one already, so that nothing is taken from under a reader's hand.
  function follow() {
    if (here.showing !== "yours" || !root.classList.contains("yours")) fillExample();
    fill();
  }

  /** @param {string} name @param {string} text @param {string} type */
  function download(name, text, type) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  }

  /** @param {ToggleEvent & { readonly target: HTMLElement }} event */
  function openSlip(event) {
    const slip = event.target;
    if (event.newState !== "open" || !slip.dataset?.slip || here.showing !== "yours") return;
    const [name, ...rest] = slip.dataset.slip.split(".");
    const found = value(slip.dataset.slip);
    if (!found) return;
    const answer = own(here.saved.answers, name);
    const list = slip.querySelector("[data-working]");
    const origin = the("[data-origin]", slip);
    const made = slip.querySelector("[data-made]");
    for (const one of [origin, list, made]) if (one) remember(one);
    if (answer && list) {
      const steps = stepsTo(rest.join("."), answer.working ?? []);
      list.replaceChildren(...steps.slice(-list.children.length).map((step) => stepRow(step, false)));
      made?.replaceChildren(...(steps.at(-1)?.made ?? []).map(madeRow));
    }
    if (found.rests_on) origin.replaceChildren(row(`${answer ? "made" : "fact"}-${found.rests_on}`, { truck: here.saved.truck.name }));
  }

  // As soon as the page's last line is parsed, which is before the theme's scripts run.
  /** @param {() => void} then */
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
    const [label, drawer] = [document.querySelector('.md-header label[for="__drawer"]'), document.querySelector("input#__drawer")];
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

  // A sheet is a small picture of itself on a phone: its lines are too thin for a finger there.
  const wide = matchMedia("(min-width: 881px)");
  const openLines = () => all(".sheet input[type=text]").forEach((line) => (line.disabled = !wide.matches));

  wide.addEventListener("change", openLines);
  document.addEventListener("DOMContentLoaded", openLines);
  document.addEventListener("DOMContentLoaded", menuButton);
  document.addEventListener("click", ({ target }) => {
    const on = (/** @type {string} */ what) => target.closest?.(`[data-${what}]`);
    if (on("show-example")) show(here.showing === "yours" ? "example" : "yours");
    if (on("print")) print();
    const pick = on("pick")?.dataset.pick?.split(" ");
    if (pick) for (const box of all(".choose input")) box.checked = pick.includes(box.id.replace("pick-", ""));
    if (on("calendar")) download("service-dates.ics", kept.shown().calendar ?? "", "text/calendar");
    if (on("use-mine")) kept.useMine();
    if (on("keep-guest")) kept.keepGuest().catch((wrong) => note(`It could not be kept. ${wrong.message}`));
  });
  document.addEventListener("beforetoggle", openSlip, true);
  document.addEventListener("DOMContentLoaded", () => all("[data-print], [data-picks]").forEach((one) => (one.hidden = false)));
  document.addEventListener("truck", follow);
  whenThere(fill);

  return { download, show, value, jobs };
})();
