"use strict";
// Your records: what the shown truck's book says, what stands beside its charts, and what waits to be mended. All words and rows
// come from the calculators with its answers; here they are put in their places. Without a truck, what the page came with stands.
(() => {
  const { own } = shared;
  const { here } = kept;
  const { all, row, sure, the } = words;
  const found = document.querySelector("[data-records]");
  if (!found) return;
  const part = found;
  const FEW = 5; // that wait, shown before more are asked for
  const place = (/** @type {string} */ name) => the(`[data-${name}]`, part);
  const mend = place("mend");
  const figures = all("figure[data-record]", part);
  const pattern = new Map(figures.map((figure) => [figure, the("tbody tr", figure).cloneNode(true)]));
  const filled = [place("lede"), place("lines"), ...all("[data-chart-says], tbody", part)];
  const examples = new Map(filled.map((one) => [one, [...one.childNodes].map((node) => node.cloneNode(true))]));
  const hiddenAtFirst = new Map(figures.map((figure) => [figure, figure.hidden]));
  /** @type {Records | null} */
  let shown = null; // what stands there
  let asked = false; // for all that waits

  // Text and values by turns.
  /** @type {(parts: string[]) => (string | Node)[]} */
  const inTurns = (parts) => parts.map((told, at) => {
    if (at % 2 === 0 || !told) return told;
    const value = document.createElement("b");
    value.textContent = told;
    return value;
  });

  /** @param {RecordSays} said */
  function sentence({ look, parts }) {
    const made = document.createElement("li");
    made.className = look;
    made.append(...inTurns(parts));
    return made;
  }

  /** @param {typeof figures[number]} figure @param {RecordChart | undefined} chart */
  function fillFigure(figure, chart) {
    if (chart) {
      the("[data-chart-says]", figure).replaceChildren(...inTurns(chart.says));
      the("tbody", figure).replaceChildren(...chart.table.map((cells) => {
        const line = sure(pattern.get(figure), "a row").cloneNode(true);
        for (const cell of line.cells) cell.textContent = own(cells, cell.dataset.field ?? "") ?? "";
        return line;
      }));
    }
    figure.hidden = !chart;
  }

  /** @param {Records["mend"]} waiting */
  function fillMend(waiting) {
    const most = asked ? waiting.length : FEW;
    mend.hidden = !waiting.length;
    the("ul", mend).replaceChildren(...waiting.slice(0, most).map((one) => {
      const made = row("mend", one);
      made.dataset.id = one.id;
      return made;
    }));
    const more = place("all-mend");
    more.hidden = waiting.length <= most;
    more.textContent = `Show all ${waiting.length.toLocaleString("en-US")}`;
  }

  /** @param {Records} records */
  function fillYours(records) {
    place("lede").textContent = records.lede;
    place("lines").replaceChildren(...records.says.map(sentence));
    for (const figure of figures) fillFigure(figure, own(records.charts, figure.dataset.record));
    fillMend(records.mend);
  }

  function restore() {
    for (const [one, nodes] of examples) one.replaceChildren(...nodes.map((node) => node.cloneNode(true)));
    for (const figure of figures) figure.hidden = hiddenAtFirst.get(figure) ?? false;
    mend.hidden = true;
  }

  function fill() {
    const records = here.showing === "yours" ? own(here.saved, "records") ?? null : null;
    if (records === shown) return;
    if (records) fillYours(records);
    else if (shown) restore();
    part.classList.toggle("own", Boolean(records));
    shown = records;
  }

  place("all-mend").addEventListener("click", () => {
    asked = true;
    fillMend(shown?.mend ?? []);
    mend.querySelectorAll("[data-correct]")[FEW]?.focus();
  });
  document.addEventListener("handover", fill);
})();
