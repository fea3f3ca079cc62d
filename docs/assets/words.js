"use strict";
// Words in their places: rows of the page's own templates, texts in two languages, and the one line that is heard.
// They go in as text only, whatever they hold.
const words = (() => {
  const { own } = shared;

  const all = (selector, within = document) => [...within.querySelectorAll(selector)];

  // A text, or both languages of it beside each other.
  const texts = (told) => (typeof told === "string" ? [told] : [said("en", told.en), " ", said("es", told.es)]);
  const put = (element, told) => element.replaceChildren(...texts(told));

  function said(language, text) {
    const span = document.createElement("span");
    span.lang = language;
    span.textContent = text;
    return span;
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
      else if (holes.includes("")) empty(text, made);
      else if (holes.length) text.replaceWith(...parts.flatMap((part, place) => (place % 2 ? texts(told[part]) : part)));
    }
    return made;
  }

  function lineOf(element, told) {
    const line = element.cloneNode();
    put(line, told);
    return line;
  }

  function empty(text, top) {
    if (text.parentElement.matches("td, .when")) text.data = ""; // its place in the row stays
    else remove(text.parentElement, top);
  }

  function remove(element, top) {
    const above = element.parentElement;
    element.remove();
    if (above && above !== top && !above.textContent) remove(above, top);
  }

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
    const filled = (text, language) => shared.filled(text, holes.map((hole) => inOne(tell(within, hole), language)));
    const other = own(spanish(within), words);
    return other ? { en: filled(words, "en"), es: filled(other, "es") } : filled(words, "en");
  }

  const inOne = (told, language) => (typeof told === "string" ? told : told[language]);

  // Texts one after the other; in two languages where any of them is.
  function inLine(told) {
    const both = told.some((one) => typeof one !== "string");
    const line = (language) => told.map((one) => inOne(one, language)).join("");
    return both ? { en: line("en"), es: line("es") } : line("en");
  }

  // A name for screen readers, which can hold nothing but text.
  function named(within, told) {
    const made = tell(within, told);
    return typeof made === "string" ? made : `${made.en} · ${made.es}`;
  }

  // One polite line a page tells those who hear it what changed; the same words are not said twice.
  function heard(words) {
    const line = document.querySelector("[data-heard]");
    if (line && words && line.textContent !== words) line.textContent = words;
  }

  return { all, put, row, spanish, tell, named, inLine, heard };
})();
