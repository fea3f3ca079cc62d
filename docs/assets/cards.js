"use strict";
// Puts a number, a row, an answer in its place on a card, a table or a slip, and can bring back what stood there. What it shows it is told.
const cards = (() => {
  const { own } = shared;
  const { here, today } = kept;
  const { all, dayWords, inLine, put, row, tell, the } = words;
  /** @type {WeakMap<Element, string>} */
  const showing = new WeakMap(); // what an element of a card was filled with last
  /** @type {WeakMap<Element, HTMLTableRowElement>} */
  const patterns = new WeakMap(); // body of a table: a row of it
  /** @type {WeakMap<Element, Rests | undefined>} */
  const tells = new WeakMap(); // card: what its answer rests on
  /** @type {Map<HTMLElement, Was>} */
  const examples = new Map(); // what an element held when the page came: the example's words

  /** @param {HTMLElement} element */
  function remember(element) {
    if (examples.has(element)) return;
    const { size, value } = element.dataset;
    const held = element instanceof HTMLInputElement ? element.defaultValue : undefined;
    const nodes = [...element.childNodes].map((node) => node.cloneNode(true));
    examples.set(element, { kind: element.className, size, value, held, nodes });
  }

  /** @param {HTMLElement} element */
  function restore(element) {
    const was = examples.get(element);
    if (!was) return;
    examples.delete(element);
    element.className = was.kind;
    if (was.size) element.dataset.size = was.size;
    if (was.value !== undefined) element.dataset.value = was.value;
    if (was.held !== undefined && element instanceof HTMLInputElement) element.defaultValue = was.held;
    element.replaceChildren(...was.nodes);
    showing.delete(element);
  }

  // What a value rests on, by its color, a mark and a word: where there is no room for the word it is only heard.
  /** @param {HTMLElement} element @param {{ rests_on?: Rests, whose?: Bilingual }} value @param {HTMLElement | null} [beside] */
  function mark(element, { rests_on: rests, whose }, beside) {
    for (const one of beside ? [element, beside] : [element]) one.dataset.rests = rests ?? "";
    if (beside) put(beside, rests ? (whose ?? "") : "");
    else if (rests === "partly" || rests === "example") element.append(" ", heardOnly(whose ?? ""));
  }

  /** @param {Bilingual} told */
  function heardOnly(told) {
    const word = document.createElement("small");
    word.className = "heard rests";
    put(word, told);
    return word;
  }

  /** @param {HTMLElement} element @param {Value} value */
  function setValue(element, value) {
    if (!changes(element, value)) return;
    element.dataset.value = String(value.value ?? "");
    element.dataset.unit = value.unit ?? "";
    const isTerm = element.localName === "dd";
    if (element.localName !== "p") element.className = value.look ?? "";
    if (!isTerm) put(element, value.shown);
    else if (value.look === "why" || value.look === "words") put(element, value.phrase ?? "");
    else large(element, value);
    const beside = element.nextElementSibling;
    mark(element, value, isTerm && beside?.matches(".rests") ? beside : null);
  }

  /** @param {Element} element @param {Value} value */
  function large(element, { number, shown }) {
    const unit = shown.slice(number.length);
    const small = document.createElement("small");
    small.textContent = unit.trimStart();
    element.replaceChildren(number, unit.slice(0, unit.length - unit.trimStart().length), ...(unit ? [small] : []));
  }

  /** @param {Step} step @param {boolean} named */
  function stepRow(step, named) {
    const made = row("step", { ...step, shown: step.result.shown });
    const cell = the("b", made);
    cell.className = step.result.look ?? "";
    if (named) {
      cell.dataset.result = step.name;
      setValue(cell, step.result);
    }
    return made;
  }

  // What a number is made of, and whose that is.
  /** @param {Made} told */
  function madeRow(told) {
    const made = row("step", told);
    made.dataset.rests = told.rests_on ?? "";
    return made;
  }

  /** @param {string} name @param {Step[]} steps */
  function stepsTo(name, steps) {
    const wanted = new Set([name]);
    /** @type {Step[]} */
    const kept = [];
    for (const step of steps.toReversed()) {
      if (!wanted.has(step.name)) continue;
      kept.unshift(step);
      for (const need of step.needs) wanted.add(need);
    }
    return kept;
  }

  // Whether an element is to show something else than it does: to show the same again was most of an edit's time.
  /** @param {Element} element @param {unknown} shows */
  function changes(element, shows) {
    const text = JSON.stringify(shows);
    if (showing.get(element) === text) return false;
    showing.set(element, text);
    return true;
  }

  /** @template T @param {Element} list @param {T[]} shows @param {(one: T) => HTMLElement} make */
  function setRows(list, shows, make) {
    shows.forEach((one, place) => {
      const old = list.children[place];
      if (old && showing.get(old) === JSON.stringify(one)) return;
      const made = make(one);
      changes(made, one);
      if (old) old.replaceWith(made);
      else list.append(made);
    });
    while (list.children.length > shows.length) list.lastElementChild?.remove();
  }

  /** @param {HTMLElement} card @param {{ look: string, sign: string, answer: Bilingual }} verdict */
  function setVerdict(card, { look, sign, answer }) {
    remember(card);
    const box = the("[data-verdict]", card);
    if (!changes(box, [look, answer])) return;
    box.className = `verdict ${look}`;
    const mark = box.querySelector("use");
    if (sign) mark?.setAttribute("href", `#i-${sign}`);
    mark?.closest("svg")?.style.setProperty("visibility", sign ? "" : "hidden"); // no verdict, no sign of one
    put(the("[data-answer]", box), answer);
  }

  // What would turn the verdict, or lacks for one, is asked for beside it: in a copy of its own field, which fills that in.
  /** @param {HTMLElement} card @param {Answer<Bilingual>} answer */
  function setAsks(card, answer) {
    const { asks, answer_rests_on: rests_on, answer_whose: whose } = answer;
    const box = the("[data-asks]", card);
    mark(the("[data-answer]", card), { rests_on, whose }, card.querySelector("[data-answer] + .rests"));
    put(the("[data-rests-line]", card), here.showing === "yours" ? answer.rests : "");
    the("[data-verdict]", card).classList.toggle("leans", Boolean(asks));
    if (box.contains(document.activeElement)) return void box.addEventListener("focusout", () => setAsks(card, answer), { once: true });
    if (!changes(box, asks)) return;
    const [why, place] = box.children;
    const field = asks && [...the("form", card).elements].find((one) => one.name === asks.input);
    box.hidden = !asks;
    put(why, asks?.why ?? "");
    place.replaceChildren(...(asks && field ? [copied(field, own(answer.inputs, asks.input))] : []));
  }

  /** @param {Field} field @param {Value | undefined} told */
  function copied(field, told) {
    const cell = words.sure(field.closest(".cell"), ".cell").cloneNode(true);
    const copy = /** @type {Field} */ (the(`[name="${field.name}"]`, cell));
    for (const one of all("[id]", cell)) one.id = `asked-${one.id}`;
    for (const label of all("label[for]", cell)) label.htmlFor = `asked-${label.htmlFor}`;
    for (const one of all("[data-unit-for], .err", cell)) one.remove();
    copy.dataset.copies = copy.name;
    for (const name of ["name", "aria-describedby", "value"]) copy.removeAttribute(name);
    if (copy instanceof HTMLSelectElement) copy.value = field.value;
    else copy.placeholder = told ? `${told.text} (${told.whose ?? ""})`.replace(" ()", "") : "";
    return cell;
  }

  /** @param {HTMLElement} card @param {Answer<Bilingual>} answer @param {string} [asOf] */
  function fillCard(card, answer, asOf = today()) {
    remember(card);
    const { results, asks } = answer;
    const open = asks && isUnknown(results.verdict); // what lacks is said above, once
    tells.set(card, answer.answer_rests_on);
    for (const place of all("[data-result]", card)) {
      if (place.closest("[data-working]")) continue;
      const found = own(results, place.dataset.result);
      if (Array.isArray(found)) fillTable(place, found);
      else if (found) setValue(place, open && isUnknown(found) && place.closest(".results") ? { ...found, look: "" } : found);
    }
    setVerdict(card, answer);
    setAsks(card, answer);
    if (answer.working) fillWorking(card, answer);
    setRows(the("[data-cautions]", card), answer.cautions, (caution) => row(`caution-${caution.signal}`, caution));
    setRows(the("[data-sources]", card), answer.sources, (line) => row("source", line));
    for (const date of all("[data-as-of]", card)) date.textContent = dayWords(asOf);
    card.dispatchEvent(new CustomEvent("answer", { bubbles: true, detail: answer })); // the chart follows
  }

  /** @param {HTMLElement} card @param {Answer<Bilingual>} answer */
  function fillWorking(card, { results, working = [] }) {
    const list = the("[data-working]", card);
    const isSingle = (/** @type {string} */ name) => Boolean(own(results, name)) && !Array.isArray(results[name]);
    const named = (/** @type {string} */ name) => isSingle(name) && !all(`[data-result="${name}"]`, card).some((e) => !list.contains(e));
    setRows(list, working, (step) => stepRow(step, named(step.name)));
  }

  /** @type {(value: Value | Row[] | undefined) => boolean} */
  const isUnknown = (value) => value !== undefined && !Array.isArray(value) && value.value === null;

  /** @param {HTMLElement} place @param {Row[]} rows */
  function fillTable(place, rows) {
    const [body] = /** @type {HTMLTableElement} */ (place).tBodies;
    const pattern = patterns.get(body) ?? body.rows[0];
    if (!pattern) return;
    patterns.set(body, pattern); // where all rows go, others may come
    const fold = place.closest("details");
    const many = fold?.querySelector("summary [data-many]");
    const part = fold ?? place.closest("section.list");
    if (part) part.hidden = rows.length > 0 && rows.every((cells) => Object.values(cells).slice(1).every(isUnknown)); // names alone
    if (many) put(many, `(${rows.length})`);
    setRows(body, rows, (cells) => {
      const line = pattern.cloneNode(true);
      for (const cell of line.cells) {
        const found = own(cells, cell.dataset.field ?? "");
        if (found) setValue(cell, found);
      }
      return line;
    });
  }

  // What the answer was made from; a field its reader has typed in keeps what was typed.
  /** @param {HTMLFormElement} form @param {Row} inputs @param {(field: Field) => unknown} [skip] */
  function fillForm(form, inputs, skip = () => false) {
    for (const field of form.elements) {
      const text = own(inputs, field.name)?.text ?? "";
      if (!field.name) continue;
      field.dataset.rests = own(inputs, field.name)?.rests_on ?? "";
      if (field.value !== text && !skip(field)) field.value = text; // unchanged: the caret stays
    }
  }

  // Whose numbers a card shows: the truck's or, where that tells none of them, the example's; some may have come with the link.
  /** @param {HTMLElement} card @param {{ changed?: boolean, linked?: boolean }} [how] */
  function forWhom(card, { changed = false, linked = false } = {}) {
    const mine = here.showing === "yours";
    const whose = mine && tells.get(card);
    const parts = [
      whose === "example" && ", with the example’s numbers", whose === "partly" && ", partly with the example’s",
      linked && ", with numbers from the link", changed && ", changed",
    ].filter((part) => part !== false);
    for (const place of all("[data-for-truck]", card)) {
      /** @type {Saying[]} */
      const told = [["for {}", mine ? kept.shown().truck.name : place.dataset.forTruck], ...parts];
      if (changes(place, told)) put(place, inLine(told.map((one) => tell(card, one))));
    }
  }

  return { examples, fillCard, fillForm, fillWorking, forWhom, madeRow, mark, remember, restore, setVerdict, stepRow, stepsTo };
})();
