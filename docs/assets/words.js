"use strict";
// Words in their places: rows of the page's own templates, texts in two languages, and the one line that is heard.
// They go in as text only, whatever they hold.
const words = (() => {
  const { inField, own } = shared;

  /** @type {<S extends string>(selector: S, within?: ParentNode) => Picked<S>[]} */
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];

  // What a page must have: without it its script cannot go on, and says so.
  /** @type {<T>(found: T, what: string) => NonNullable<T>} */
  function sure(found, what) {
    if (!found) throw new Error(`this page lacks ${what}`);
    return found;
  }

  /** @type {<S extends string>(selector: S, within?: ParentNode) => Picked<S>} */
  const the = (selector, within = document) => sure(within.querySelector(selector), selector);

  const byId = (/** @type {string} */ id) => sure(document.getElementById(id), id);

  // A text, or both languages of it beside each other.
  /** @type {(told: Bilingual) => (string | Node)[]} */
  const texts = (told) => (typeof told === "string" ? [told] : [said("en", told.en), " ", said("es", told.es)]);
  /** @type {(element: Element, told: Bilingual) => void} */
  const put = (element, told) => element.replaceChildren(...texts(told));

  /** @param {Language} language @param {string} text */
  function said(language, text) {
    const span = document.createElement("span");
    span.lang = language;
    span.textContent = text;
    return span;
  }

  // A row of the page's own templates with words in its holes: a list makes as many lines, and one with an empty hole goes.
  /** @param {string} name @param {object} told @returns {HTMLElement} */
  function row(name, told) {
    const pattern = sure(the(`template[data-row="${name}"]`).content.firstElementChild, name);
    const made = /** @type {HTMLElement} */ (pattern.cloneNode(true));
    const walker = document.createTreeWalker(made, NodeFilter.SHOW_TEXT);
    /** @type {Text[]} */
    const found = [];
    while (walker.nextNode()) found.push(/** @type {Text} */ (walker.currentNode));
    for (const text of found) {
      const parts = text.data.split(/\{(\w+)\}/); // text and names of holes by turns
      const holes = parts.filter((_, place) => place % 2).map((part) => hole(told, part));
      const around = above(text);
      if (Array.isArray(holes[0])) around.replaceWith(...holes[0].map((line) => lineOf(around, line)));
      else if (holes.includes("")) empty(text, made);
      else if (holes.length) text.replaceWith(...parts.flatMap((part, place) => (place % 2 ? texts(inHole(told, part)) : part)));
    }
    return made;
  }

  /** @type {(told: object, name: string) => Bilingual | Bilingual[]} */
  const hole = (told, name) => /** @type {Bilingual | Bilingual[]} */ (own(/** @type {Words} */ (told), name) ?? "");
  const inHole = (/** @type {object} */ told, /** @type {string} */ name) => /** @type {Bilingual} */ (hole(told, name));
  const above = (/** @type {Text} */ text) => sure(text.parentElement, "an element around a text");

  /** @template {Element} E @param {E} element @param {Bilingual} told */
  function lineOf(element, told) {
    const line = element.cloneNode();
    put(line, told);
    return line;
  }

  /** @param {Text} text @param {Element} top */
  function empty(text, top) {
    if (above(text).matches("td, .when")) text.data = ""; // its place in the row stays
    else remove(above(text), top);
  }

  /** @param {Element} element @param {Element} top */
  function remove(element, top) {
    const outer = element.parentElement;
    element.remove();
    if (outer && outer !== top && !outer.textContent) remove(outer, top);
  }

  /** @type {Record<string, string> | null} */
  let pairs = null;

  // English and its Spanish, for a card that has both: sent along with a question, so that its answer comes in both.
  /** @param {Element} within @returns {Record<string, string> | undefined} */
  function spanish(within) {
    if (!within.closest("[data-both]")) return undefined;
    const lines = () => all("p", the("template[data-spanish]").content);
    return (pairs ??= Object.fromEntries(lines().map((line) => [line.dataset.of ?? "", line.textContent])));
  }

  // What a script says by itself, its holes filled: [words, ...what stands in their holes], each of which may be such a thing too.
  /** @param {Element} within @param {Saying} told @returns {Bilingual} */
  function tell(within, told) {
    if (typeof told !== "string" && "en" in told) return told;
    const [words, ...holes] = typeof told === "string" ? [told] : told;
    /** @type {(text: string, language: Language) => string} */
    const filled = (text, language) => shared.filled(text, holes.map((hole) => inOne(tell(within, hole), language)));
    const other = own(spanish(within), words);
    return other ? { en: filled(words, "en"), es: filled(other, "es") } : filled(words, "en");
  }

  /** @type {(told: Bilingual, language: Language) => string} */
  const inOne = (told, language) => (typeof told === "string" ? told : told[language]);

  // Texts one after the other; in two languages where any of them is.
  /** @param {Bilingual[]} told @returns {Bilingual} */
  function inLine(told) {
    const both = told.some((one) => typeof one !== "string");
    const line = (/** @type {Language} */ language) => told.map((one) => inOne(one, language)).join("");
    return both ? { en: line("en"), es: line("es") } : line("en");
  }

  // A name for screen readers, which can hold nothing but text.
  /** @param {Element} within @param {Saying} told */
  function named(within, told) {
    const made = tell(within, told);
    return typeof made === "string" ? made : `${made.en} · ${made.es}`;
  }

  // A number stands in its field as the calculators say one there; untouched it is told just as it was.
  const isNumber = (/** @type {Field} */ one) => ["decimal", "text"].includes(one.inputMode);
  /** @param {Field} one @param {string} text */
  function write(one, text) {
    one.value = isNumber(one) ? inField(text) : text;
    one.dataset.plain = text;
  }

  /** @param {Field} one */
  function written(one) {
    const [text, { plain = "" }] = [one.value.trim(), one.dataset];
    return isNumber(one) && text === inField(plain) ? plain : text;
  }

  // One polite line a page tells those who hear it what changed; the same words are not said twice.
  /** @param {string | null | undefined} words */
  function heard(words) {
    const line = document.querySelector("[data-heard]");
    if (line && words && line.textContent !== words) line.textContent = words;
  }

  /** @param {string} text */
  function dayWords(text) {
    return new Date(`${text}T00:00:00Z`).toLocaleDateString("en-US", { timeZone: "UTC", month: "short", day: "numeric", year: "numeric" });
  }

  return { all, dayWords, the, byId, sure, put, row, spanish, tell, named, inLine, write, written, heard };
})();
