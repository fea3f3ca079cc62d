"use strict";
/* Charts in the page. The build drew them for the example; here the same specs draw them for other answers.

     dieselCharts.pictures(answers)  promise of {calculator: svg text} for a whole truck: My truck keeps them with it
     dieselCharts.show(card, answer)  a card holds another answer: its chart follows (the event `answer` on a card does it)

   What draws (assets/vega/charts.js) is asked for on the first edit, never to read a page: a saved truck
   brings its pictures along. A picture that is not the shown truck's stays hidden until it is. */
self.dieselCharts = (() => {
  const SOURCE = new URL("vega/charts.js", document.currentScript.src).href;
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
  const { all } = words;
  const shown = new WeakMap(); // figure or fold: the answer it shows or is about to
  const examples = new WeakMap(); // figure outside a card: its own picture, to go back to
  let tools = null;
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

  function drawing(vega, { kinds, specs, tidy }) {
    const of = Object.fromEntries(Object.entries(kinds).map(([kind, { calculator }]) => [calculator, kind]));
    const rules = tidy.map(([found, said]) => [new RegExp(found, "g"), said]);
    tools = { vega, kinds, specs, rules, of };
  }

  async function picture(kind, rows, { width = 0, lanes = 0 } = {}) {
    const { vega, kinds, specs, rules } = await load();
    const view = new vega.View(vega.parse(specs[kinds[kind].spec ?? kind], null, { ast: true }), { expr: vega.expressionInterpreter, renderer: "none" });
    if (kinds[kind].row_height) view.height(kinds[kind].row_height * rows.length);
    if (width) view.width(width);
    if (lanes) view.height(kinds[kind].lane_height * lanes + kinds[kind].foot);
    const drawn = await view.data("rows", rows).toSVG();
    view.finalize();
    return rules.reduce((text, [found, said]) => text.replace(found, said), drawn);
  }

  // A spec's rows: those of its list, and with each the single results and inputs; words beside every value.
  const textOf = (value) => value.shown ?? value.phrase;
  const flat = (values) => Object.fromEntries(Object.entries(values).flatMap(([name, value]) => [[name, value.value], [`${name}_words`, textOf(value)]]));
  const single = (values) => Object.fromEntries(Object.entries(values).filter(([name, value]) => !Array.isArray(value) && !name.includes(".")));

  function rowsOf(kind, { inputs, results }) {
    const facts = flat({ ...single(inputs), ...single(results) });
    const { list, told, series = {} } = tools.kinds[kind];
    return (list ? results[list] : [{}]).map((cells) => {
      const row = { ...facts, ...flat(cells) };
      return { ...row, ...told, ...Object.fromEntries(Object.entries(series).map(([name, field]) => [name, row[field]])) };
    });
  }

  async function pictureOf(answer) {
    const { of } = await load();
    const kind = own(of, answer.calculator);
    const drawn = kind && (await picture(kind, rowsOf(kind, answer)));
    return drawn?.includes("NaN") ? "" : drawn; // a number in it is not told
  }

  async function pictures(answers) {
    try {
      const drawn = await Promise.all(Object.entries(answers).map(async ([name, answer]) => [name, await pictureOf(answer)]));
      return Object.fromEntries(drawn.filter(([, svg]) => typeof svg === "string"));
    } catch {
      return {}; // without them a chart is drawn when its page is read
    }
  }

  // Text becomes elements one by one, and only those a chart is made of: a stored picture can bring nothing else.
  const TAG = new RegExp(`</?(?:${[...ELEMENTS].join("|")})(?: (?:${[...ATTRIBUTES].join("|")})="[^"<>]*")*/?>`, "g");

  function element(text, label) {
    const plain = !text.replace(TAG, "").includes("<");
    const told = plain && new DOMParser().parseFromString(text, "text/html").querySelector("svg");
    const copy = (from) => {
      const made = document.createElementNS(SVG, from.localName);
      for (const { name, value } of from.attributes) if (ATTRIBUTES.has(name)) made.setAttribute(name, value);
      for (const child of from.childNodes) {
        if (child.nodeType === Node.TEXT_NODE) made.append(child.data);
        else if (ELEMENTS.has(child.localName)) made.append(copy(child));
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

  const labelOf = (figure, sentence) => `${figure.querySelector("figcaption").textContent}. ${figure.dataset.says.replace("{answer}", sentence)}`;

  function put(figure, text, label, whose) {
    figure.hidden = !text;
    if (!text) return;
    figure.querySelector("svg").replaceWith(element(text, label));
    figure.dataset.drawn = whose;
    delete figure.dataset.lost;
    figure.querySelector("[data-chart-message]")?.remove();
  }

  // The table below always holds the numbers, so it opens where the picture can't follow.
  function fail(figure) {
    delete figure.dataset.drawn;
    figure.dataset.lost = "";
    if (!figure.querySelector("[data-chart-message]")) {
      const line = document.createElement("p");
      line.className = "message";
      line.setAttribute("role", "status");
      line.dataset.chartMessage = "";
      line.textContent = "The picture could not be loaded. Its numbers stand in the table.";
      figure.querySelector("figcaption").after(line);
    }
    const table = figure.querySelector("details");
    if (table) table.open = true;
  }

  // The answer is painted first, and a picture that another edit has overtaken is never drawn.
  const painted = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve)));

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

  // Charts of the book: all words beside them are records.js's. Drawn when they are read.
  const svgOf = (figure) => figure.querySelector("svg[data-width]");

  function fillRecords() {
    const records = here.showing === "yours" ? own(here.saved, "records") : null;
    for (const figure of all("figure[data-record]")) {
      if (!examples.has(figure)) examples.set(figure, svgOf(figure).cloneNode(true));
      const chart = own(own(records, "charts"), figure.dataset.record) ?? null;
      if ((shown.get(figure) ?? null) === chart) continue;
      shown.set(figure, chart);
      delete figure.dataset.drawn;
      if (chart) waiting.observe(figure);
      else if (!records) svgOf(figure).replaceWith(examples.get(figure).cloneNode(true));
    }
  }

  async function drawRecord(figure, chart) {
    await painted();
    try {
      const { width } = svgOf(figure).dataset;
      const text = await picture(figure.dataset.record, chart.rows, { width: Number(width), lanes: chart.lanes ?? 0 });
      if (text.includes("NaN")) throw new Error("A number in it is not told.");
      const svg = element(text, `${figure.querySelector("figcaption").textContent}. ${chart.says.join("")}`);
      if (shown.get(figure) !== chart) return;
      svg.dataset.width = width;
      svgOf(figure).replaceWith(svg);
      figure.dataset.drawn = "yours";
      delete figure.dataset.lost;
      figure.querySelector("[data-chart-message]")?.remove();
    } catch {
      if (shown.get(figure) === chart) fail(figure);
    }
  }

  // Tables of single values bear the path of each; lists are page.js's.
  function fillTable(figure, answer) {
    for (const cell of all("[data-from]", figure)) {
      const [group, name] = cell.dataset.from.split(".");
      const value = own(answer[group], name);
      if (value) cell.textContent = textOf(value);
    }
  }

  const waiting = new IntersectionObserver((seen) => {
    for (const { isIntersecting, target } of seen) {
      if (!isIntersecting) continue;
      waiting.unobserve(target);
      const answer = shown.get(target);
      if (answer && target.dataset.record) drawRecord(target, answer);
      else if (answer) draw(target, answer, "yours");
    }
  }, { rootMargin: NEAR });

  function show(card, answer) {
    const figure = card.querySelector(`figure.chart[data-of="${answer.calculator}"]`);
    if (figure) showFigure(figure, answer, false);
    stir(card, answer);
  }

  function showFigure(figure, answer, saved) {
    shown.set(figure, answer);
    fillTable(figure, answer);
    figure.dataset.rests = answer.answer_rests_on ?? "";
    if (saved) fromSaved(figure, answer);
    else draw(figure, answer, "typed");
  }

  // What moves the answer is another's now, until it is asked anew.
  function stir(card, answer) {
    const fold = card.querySelector("[data-moves]");
    if (!fold) return;
    shown.set(fold, answer);
    fold.dataset.stale = "";
    if (fold.open) later(fold, answer);
  }

  function fromSaved(figure, answer) {
    const kept = own(own(here.saved, "pictures"), answer.calculator);
    try {
      if (typeof kept === "string") return put(figure, kept, labelOf(figure, answer.answer), "yours");
    } catch { /* drawn anew */ }
    return figure.closest(".sheet") ? draw(figure, answer, "yours") : waiting.observe(figure); // a sheet is printed from its top
  }

  // What moves the answer: asked only while its fold is open, and never before the answer itself -------

  function later(fold, answer) {
    setTimeout(() => shown.get(fold) === answer && fold.isConnected && fold.open && move(fold, answer), SETTLED);
  }

  async function move(fold, answer) {
    const line = fold.querySelector("[data-moves-message]");
    const figure = fold.querySelector("figure");
    words.heard((line.textContent = "Trying each number a little lower and higher…"));
    try {
      const reply = await dieselRuntime.call(request(answer));
      if (shown.get(fold) !== answer) return;
      if (!reply.ok) throw new Error(reply.faults?.[0]?.do);
      await load();
      const rows = reply.rows.slice(0, tools.kinds.sensitivity.most);
      line.textContent = rows.length ? "" : "Nothing moves it: no number near this one changes the answer.";
      figure.hidden = !rows.length;
      if (!rows.length) return;
      figure.querySelector("figcaption").textContent = `${reply.label}, if one number changes and the rest stays`;
      const text = await picture("sensitivity", rows.map(flat));
      if (shown.get(fold) !== answer) return;
      put(figure, text, labelOf(figure, ""), "typed");
      figure.dataset.rests = answer.answer_rests_on ?? "";
      fillMoves(figure, rows);
      delete fold.dataset.stale;
    } catch (wrong) {
      if (shown.get(fold) === answer) line.textContent = `It could not be worked out. ${wrong.message ?? ""}`;
    }
  }

  // As the form would send it: everything told, nothing that follows from it.
  function request({ calculator, inputs }) {
    const told = Object.entries(inputs).filter(([, fact]) => ["given", "truck"].includes(fact.from));
    const given = Object.fromEntries(told.map(([name, fact]) => [name, fact.text]));
    return { do: "sensitivity", calculator, given, truck: here.showing === "yours" ? here.saved.truck : null, today: kept.today() };
  }

  function fillMoves(figure, rows) {
    const [body] = figure.querySelector("table").tBodies;
    const pattern = body.rows[0];
    body.replaceChildren(...rows.map((row) => {
      const line = pattern.cloneNode(true);
      for (const cell of line.cells) cell.textContent = textOf(row[cell.dataset.move]);
      return line;
    }));
  }

  // The page: yours or the example's ---------------------------------------------------------------

  // A figure outside a card (a sheet's) goes back by itself; page.js brings whole cards back.
  function fill() {
    fillRecords();
    const yours = (name) => (here.showing === "yours" ? own(here.saved.answers, name) : null);
    for (const fold of all("[data-moves]")) if (yours(fold.dataset.moves)) stir(fold.parentElement, yours(fold.dataset.moves));
    for (const figure of all("figure.chart[data-of]")) {
      const answer = yours(figure.dataset.of);
      const loose = !figure.closest("[data-calculator]");
      if (loose && !examples.has(figure)) examples.set(figure, figure.querySelector("svg").cloneNode(true));
      if (answer) showFigure(figure, answer, true);
      else if (here.showing === "yours") figure.dataset.drawn = "example"; // no answer for this truck: the card says so
      else if (loose && figure.dataset.drawn) {
        figure.hidden = false;
        figure.querySelector("svg").replaceWith(examples.get(figure).cloneNode(true));
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
    const answer = target.matches?.("[data-moves]") && target.open && target.dataset.stale !== undefined && shown.get(target);
    if (answer) move(target, answer);
  }, true);
  if (!document.documentElement.classList.contains("filling")) fill();

  return { pictures, show, drawing };
})();
