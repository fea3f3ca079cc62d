"use strict";
/* Charts in the page. The build drew them for the example; here the same specs draw them for other answers.

     dieselCharts.pictures(answers)  promise of {calculator: svg text} for a whole truck: My truck keeps them with it
     dieselCharts.show(card, answer)  a card holds another answer: its chart follows (the event `answer` on a card does it)

   What draws (assets/vega/charts.js) is asked for on the first edit, never to read a page: a saved truck
   brings its pictures along. A picture that is not the shown truck's stays hidden until it is. */
self.dieselCharts = (() => {
  const SOURCE = new URL("vega/charts.js", /** @type {HTMLScriptElement} */ (document.currentScript).src).href;
  const SVG = "http://www.w3.org/2000/svg";
  const ELEMENTS = new Set(["svg", "g", "path", "line", "text", "tspan"]);
  const ATTRIBUTES = new Set([
    "viewBox", "d", "x", "y", "x1", "y1", "x2", "y2", "dx", "dy", "transform", "text-anchor", "font-size", "font-weight", "class",
    "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linejoin", "stroke-linecap",
  ]);
  const NEAR = "600px"; // how far below the screen a chart is drawn ahead
  const SETTLED = 600; // milliseconds without an edit before what moves the answer is asked
  const { own } = shared;
  const { here } = kept;
  const { all, sure, the } = words;
  /** @type {WeakMap<HTMLElement, Answer>} */
  const shown = new WeakMap(); // figure or fold: the answer it shows or is about to
  /** @type {WeakMap<HTMLElement, RecordChart | null>} */
  const charted = new WeakMap(); // figure of the book: the chart it shows or is about to
  /** @type {WeakMap<HTMLElement, SVGSVGElement>} */
  const examples = new WeakMap(); // figure outside a card: its own picture, to go back to
  /** @type {DrawingTools | null} */
  let tools = null;
  /** @type {Promise<DrawingTools> | null} */
  let loading = null;

  // What draws -----------------------------------------------------------------------------------

  function load() {
    return (loading ??= new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = SOURCE;
      script.onload = () => (tools ? resolve(tools) : reject(new Error("The charts could not start.")));
      script.onerror = () => {
        loading = null; // the next edit tries again
        reject(new Error("The charts could not be loaded."));
      };
      document.head.append(script);
    }));
  }

  /** @param {Vega} vega @param {DrawingTold} told */
  function drawing(vega, { kinds, specs, tidy }) {
    const of = Object.fromEntries(Object.entries(kinds).map(([kind, { calculator }]) => [calculator, kind]));
    /** @type {[RegExp, string][]} */
    const rules = tidy.map(([found, said]) => [new RegExp(found, "g"), said]);
    tools = { vega, kinds, specs, rules, of };
  }

  /** @param {string} kind @param {Drawn[]} rows @param {{ width?: number, lanes?: number }} [size] */
  async function picture(kind, rows, { width = 0, lanes = 0 } = {}) {
    const { vega, kinds, specs, rules } = await load();
    const { spec = kind, row_height: rowHeight = 0, lane_height: laneHeight = 0, foot = 0 } = kinds[kind];
    const view = new vega.View(vega.parse(specs[spec], null, { ast: true }), { expr: vega.expressionInterpreter, renderer: "none" });
    if (rowHeight) view.height(rowHeight * rows.length);
    if (width) view.width(width);
    if (lanes) view.height(laneHeight * lanes + foot);
    const drawn = await view.data("rows", rows).toSVG();
    view.finalize();
    return rules.reduce((text, [found, said]) => text.replace(found, said), drawn);
  }

  // A spec's rows: those of its list, and with each the single results and inputs; words beside every value.
  const textOf = (/** @type {Value} */ value) => value.shown ?? value.phrase ?? "";
  /** @type {(values: Row) => Drawn} */
  const flat = (values) => Object.fromEntries(Object.entries(values)
    .flatMap(([name, value]) => [[name, value.value], [`${name}_words`, textOf(value)]]));
  /** @type {(values: Row | Results) => Row} */
  const single = (values) => Object.fromEntries(Object.entries(values)
    .flatMap(([name, value]) => (Array.isArray(value) || name.includes(".") ? [] : [[name, value]])));

  /** @param {string} kind @param {Answer} answer @param {DrawingTools} tools @returns {Drawn[]} */
  function rowsOf(kind, { inputs, results }, { kinds }) {
    const facts = flat({ ...single(inputs), ...single(results) });
    const { list, told, series = {} } = kinds[kind];
    const lines = list ? /** @type {Row[]} */ (results[list]) : [{}];
    return lines.map((cells) => {
      /** @type {Drawn} */
      const row = { ...facts, ...flat(cells) };
      return { ...row, ...told, ...Object.fromEntries(Object.entries(series).map(([name, field]) => [name, row[field]])) };
    });
  }

  /** @param {Answer} answer */
  async function pictureOf(answer) {
    const loaded = await load();
    const kind = own(loaded.of, answer.calculator);
    const drawn = kind && (await picture(kind, rowsOf(kind, answer, loaded)));
    return drawn?.includes("NaN") ? "" : drawn; // a number in it is not told
  }

  /** @param {Record<string, Answer>} answers @returns {Promise<Record<string, string>>} */
  async function pictures(answers) {
    try {
      const drawn = await Promise.all(Object.entries(answers).map(async ([name, answer]) => ({ name, svg: await pictureOf(answer) })));
      return Object.fromEntries(drawn.flatMap(({ name, svg }) => (typeof svg === "string" ? [[name, svg]] : [])));
    } catch {
      return {}; // without them a chart is drawn when its page is read
    }
  }

  // Text becomes elements one by one, and only those a chart is made of: a stored picture can bring nothing else.
  const TAG = new RegExp(`</?(?:${[...ELEMENTS].join("|")})(?: (?:${[...ATTRIBUTES].join("|")})="[^"<>]*")*/?>`, "g");

  /** @param {string} text @param {string} label */
  function element(text, label) {
    const plain = !text.replace(TAG, "").includes("<");
    const told = plain && new DOMParser().parseFromString(text, "text/html").querySelector("svg");
    /** @template {Element} E @param {E} from @returns {E} */
    const copy = (from) => {
      const made = /** @type {E} */ (/** @type {Element} */ (document.createElementNS(SVG, from.localName)));
      for (const { name, value } of from.attributes) if (ATTRIBUTES.has(name)) made.setAttribute(name, value);
      for (const child of from.childNodes) {
        if (child instanceof Text) made.append(child.data);
        else if (child instanceof Element && ELEMENTS.has(child.localName)) made.append(copy(child));
      }
      return made;
    };
    if (!told) throw new Error("The picture could not be read.");
    const svg = copy(told);
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", label);
    return svg;
  }

  // A figure -------------------------------------------------------------------------------------

  /** @type {(figure: HTMLElement, sentence: string) => string} */
  const labelOf = (figure, sentence) =>
    `${the("figcaption", figure).textContent}. ${figure.dataset.says?.replace("{answer}", sentence)}`;

  /** @param {HTMLElement} figure @param {string | undefined} text @param {string} label @param {string} whose */
  function put(figure, text, label, whose) {
    figure.hidden = !text;
    if (!text) return;
    the("svg", figure).replaceWith(element(text, label));
    figure.dataset.drawn = whose;
    delete figure.dataset.lost;
    figure.querySelector("[data-chart-message]")?.remove();
  }

  // The table below always holds the numbers, so it opens where the picture can't follow.
  /** @param {HTMLElement} figure */
  function fail(figure) {
    delete figure.dataset.drawn;
    figure.dataset.lost = "";
    if (!figure.querySelector("[data-chart-message]")) {
      const line = document.createElement("p");
      line.className = "message";
      line.setAttribute("role", "status");
      line.dataset.chartMessage = "";
      line.textContent = "The picture could not be loaded. Its numbers stand in the table.";
      the("figcaption", figure).after(line);
    }
    const table = figure.querySelector("details");
    if (table) table.open = true;
  }

  // The answer is painted first, and a picture that another edit has overtaken is never drawn.
  const painted = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));

  /** @param {HTMLElement} figure @param {Answer} answer @param {string} whose */
  async function draw(figure, answer, whose) {
    await painted();
    if (shown.get(figure) !== answer) return;
    try {
      const text = await pictureOf(answer);
      if (shown.get(figure) === answer) put(figure, text, labelOf(figure, answer.answer), whose);
    } catch {
      if (shown.get(figure) === answer) fail(figure);
    }
  }

  const exampleOf = (/** @type {HTMLElement} */ figure) => sure(examples.get(figure), "an example’s picture").cloneNode(true);

  // Charts of the book: all words beside them are records.js's. Drawn when they are read.
  const svgOf = (/** @type {HTMLElement} */ figure) => the("svg[data-width]", figure);

  function fillRecords() {
    const records = here.showing === "yours" ? own(here.saved, "records") : null;
    for (const figure of all("figure[data-record]")) {
      if (!examples.has(figure)) examples.set(figure, svgOf(figure).cloneNode(true));
      const chart = own(own(records, "charts"), figure.dataset.record) ?? null;
      if ((charted.get(figure) ?? null) === chart) continue;
      charted.set(figure, chart);
      delete figure.dataset.drawn;
      if (chart) waiting.observe(figure);
      else if (!records) svgOf(figure).replaceWith(exampleOf(figure));
    }
  }

  /** @param {HTMLElement} figure @param {RecordChart} chart */
  async function drawRecord(figure, chart) {
    await painted();
    try {
      const { width } = svgOf(figure).dataset;
      const text = await picture(figure.dataset.record ?? "", chart.rows, { width: Number(width), lanes: chart.lanes ?? 0 });
      if (text.includes("NaN")) throw new Error("A number in it is not told.");
      const svg = element(text, `${the("figcaption", figure).textContent}. ${chart.says.join("")}`);
      if (charted.get(figure) !== chart) return;
      svg.dataset.width = width;
      svgOf(figure).replaceWith(svg);
      figure.dataset.drawn = "yours";
      delete figure.dataset.lost;
      figure.querySelector("[data-chart-message]")?.remove();
    } catch {
      if (charted.get(figure) === chart) fail(figure);
    }
  }

  // Tables of single values bear the path of each; lists are page.js's.
  /** @param {HTMLElement} figure @param {Answer} answer */
  function fillTable(figure, answer) {
    for (const cell of all("[data-from]", figure)) {
      const [group, name] = cell.dataset.from.split(".");
      const value = own(group === "inputs" ? answer.inputs : answer.results, name);
      if (value && !Array.isArray(value)) cell.textContent = textOf(value);
    }
  }

  const waiting = new IntersectionObserver((seen) => {
    for (const { isIntersecting, target: seenOne } of seen) {
      const target = /** @type {HTMLElement} */ (seenOne);
      if (!isIntersecting) continue;
      waiting.unobserve(target);
      const [answer, chart] = [shown.get(target), charted.get(target)];
      if (chart) drawRecord(target, chart);
      else if (answer) draw(target, answer, "yours");
    }
  }, { rootMargin: NEAR });

  /** @param {HTMLElement} card @param {Answer} answer */
  function show(card, answer) {
    const figure = card.querySelector(`figure.chart[data-of="${answer.calculator}"]`);
    if (figure) showFigure(figure, answer, false);
    stir(card, answer);
  }

  /** @param {HTMLElement} figure @param {Answer} answer @param {boolean} saved */
  function showFigure(figure, answer, saved) {
    shown.set(figure, answer);
    fillTable(figure, answer);
    figure.dataset.rests = answer.answer_rests_on ?? "";
    if (saved) fromSaved(figure, answer);
    else draw(figure, answer, "typed");
  }

  // What moves the answer is another's now, until it is asked anew.
  /** @param {HTMLElement} card @param {Answer} answer */
  function stir(card, answer) {
    const fold = card.querySelector("details[data-moves]");
    if (!fold) return;
    shown.set(fold, answer);
    fold.dataset.stale = "";
    if (fold.open) later(fold, answer);
  }

  /** @param {HTMLElement} figure @param {Answer} answer */
  function fromSaved(figure, answer) {
    const kept = own(own(here.saved, "pictures"), answer.calculator);
    try {
      if (typeof kept === "string") return put(figure, kept, labelOf(figure, answer.answer), "yours");
    } catch { /* drawn anew */ }
    return figure.closest(".sheet") ? draw(figure, answer, "yours") : waiting.observe(figure); // a sheet is printed from its top
  }

  // What moves the answer: asked only while its fold is open, and never before the answer itself -------

  /** @param {HTMLDetailsElement} fold @param {Answer} answer */
  function later(fold, answer) {
    setTimeout(() => shown.get(fold) === answer && fold.isConnected && fold.open && move(fold, answer), SETTLED);
  }

  /** @param {HTMLDetailsElement} fold @param {Answer} answer */
  async function move(fold, answer) {
    const [line, figure] = [the("[data-moves-message]", fold), the("figure", fold)];
    words.heard((line.textContent = "Trying each number a little lower and higher…"));
    try {
      const reply = await dieselRuntime.call(request(answer));
      if (shown.get(fold) !== answer) return;
      if (!reply.ok) throw new Error(reply.faults?.[0]?.do);
      const { kinds } = await load();
      const rows = reply.rows.slice(0, kinds.sensitivity.most);
      line.textContent = rows.length ? "" : "Nothing moves it: no number near this one changes the answer.";
      figure.hidden = !rows.length;
      if (!rows.length) return;
      the("figcaption", figure).textContent = `${reply.label}, if one number changes and the rest stays`;
      const text = await picture("sensitivity", rows.map(flat));
      if (shown.get(fold) !== answer) return;
      put(figure, text, labelOf(figure, ""), "typed");
      figure.dataset.rests = answer.answer_rests_on ?? "";
      fillMoves(figure, rows);
      delete fold.dataset.stale;
    } catch (wrong) {
      if (shown.get(fold) === answer) line.textContent = `It could not be worked out. ${shared.why(wrong)}`;
    }
  }

  // As the form would send it: everything told, nothing that follows from it.
  /** @param {Answer} answer @returns {Question<"sensitivity">} */
  function request({ calculator, inputs }) {
    const told = Object.entries(inputs).filter(([, fact]) => ["given", "truck"].includes(fact.from ?? ""));
    const given = Object.fromEntries(told.map(([name, fact]) => [name, fact.text]));
    return { do: "sensitivity", calculator, given, truck: here.showing === "yours" ? here.saved.truck : null, today: kept.today() };
  }

  /** @param {HTMLElement} figure @param {Moved["rows"]} rows */
  function fillMoves(figure, rows) {
    const [body] = the("table", figure).tBodies;
    const pattern = body.rows[0];
    body.replaceChildren(...rows.map((row) => {
      const line = pattern.cloneNode(true);
      for (const cell of line.cells) cell.textContent = textOf(row[/** @type {keyof typeof row} */ (cell.dataset.move)]);
      return line;
    }));
  }

  // The page: yours or the example's ---------------------------------------------------------------

  // A figure outside a card (a sheet's) goes back by itself; page.js brings whole cards back.
  function fill() {
    fillRecords();
    const yours = (/** @type {string} */ name) => (here.showing === "yours" ? own(here.saved.answers, name) : null);
    for (const fold of all("[data-moves]")) {
      const answer = yours(fold.dataset.moves);
      if (answer && fold.parentElement) stir(fold.parentElement, answer);
    }
    for (const figure of all("figure.chart[data-of]")) {
      const answer = yours(figure.dataset.of);
      const loose = !figure.closest("[data-calculator]");
      if (loose && !examples.has(figure)) examples.set(figure, the("svg", figure).cloneNode(true));
      if (answer) showFigure(figure, answer, true);
      else if (here.showing === "yours") figure.dataset.drawn = "example"; // no answer for this truck: the card says so
      else if (loose && figure.dataset.drawn) {
        figure.hidden = false;
        the("svg", figure).replaceWith(exampleOf(figure));
        delete figure.dataset.drawn;
        shown.delete(figure);
      }
    }
  }

  document.addEventListener("answer", ({ target, detail }) => {
    const kept = own(own(here.saved, "answers"), detail.calculator);
    if (kept?.inputs !== detail.inputs) show(target, detail); // the truck's own come with `handover`
  });
  document.addEventListener("handover", fill);
  document.addEventListener("toggle", ({ target }) => {
    if (!(target instanceof HTMLDetailsElement) || !target.matches("[data-moves]")) return;
    const answer = target.open && target.dataset.stale !== undefined && shown.get(target);
    if (answer) move(target, answer);
  }, true);
  if (!document.documentElement.classList.contains("filling")) fill();

  return { pictures, show, drawing };
})();
