"use strict";
// Node's tests of docs/assets/charts.js: the rows that a chart is drawn from, with a library that draws nothing.
const assert = require("node:assert/strict");
const test = require("node:test");
const { page } = require("./page.cjs");

const value = (number, shown = `${number} shown`) => ({ value: number, number: String(number), shown });
const KINDS = {
  bars: { calculator: "money", list: "years", told: { side: "left" }, series: { y: "cost", of: "rate" } },
  point: { calculator: "single", spec: "dot", row_height: 20 },
};
const ANSWER = {
  calculator: "money", inputs: { rate: value(4), "interval.engine_oil.time": value(12), name: { value: "x", phrase: "in words" } },
  results: { total: value(90), years: [{ year: value(1), cost: value(30), total: value(30) }, { year: value(2), cost: value(60) }] },
};

// Pictures of these answers, and what the library was given for each.
async function drawn(answers, svg = "<svg/>") {
  const seen = [];
  class View {
    constructor(spec) { seen.push((this.seen = { spec })); }
    height(pixels) { this.seen.height = pixels; return this; }
    width() { return this; }
    data(name, rows) { this.seen.rows = JSON.parse(JSON.stringify(rows)); return this; }
    async toSVG() { return svg; }
    finalize() { this.seen.done = true; }
  }
  class Never { observe() {} }
  const { run, context } = page(["shared.js", "kept.js", "words.js", "charts.js"], { IntersectionObserver: Never, DOMParser: Never });
  const vega = { View, parse: (spec) => spec, expressionInterpreter: {} };
  context.document.createElement = () => ({});
  context.document.head = {
    append: (script) => {
      context.dieselCharts.drawing(vega, { kinds: KINDS, specs: { bars: "the bars", dot: "the dot" }, tidy: [["b+", "c"]] });
      script.onload();
    },
  };
  context.answers = answers;
  return { pictures: JSON.parse(JSON.stringify(await run("dieselCharts.pictures(answers)"))), seen };
}

test("a row for each line of the list, with what stands once and words beside every value", async () => {
  const { seen: [{ spec, rows, done }] } = await drawn({ money: ANSWER });
  assert.deepEqual([spec, done, rows.length], ["the bars", true, 2]);
  assert.deepEqual(rows[0], {
    rate: 4, rate_words: "4 shown", name: "x", name_words: "in words", total: 30, total_words: "30 shown", // the line's own wins
    year: 1, year_words: "1 shown", cost: 30, cost_words: "30 shown", side: "left", y: 30, of: 4,
  });
  assert.deepEqual([rows[1].total, rows[1].y, "interval.engine_oil.time" in rows[1], "years" in rows[1]], [90, 60, false, false]);
});

test("a chart without a list has one row, by another's spec and as high as its rows", async () => {
  const { seen: [{ spec, rows, height }] } = await drawn({ single: { ...ANSWER, calculator: "single" } });
  assert.deepEqual([spec, height, rows.length, rows[0].total], ["the dot", 20, 1, 90]);
});

test("a picture is tidied, one of a number that is not told is none, and what has no chart has no picture", async () => {
  const answers = { money: ANSWER, other: { ...ANSWER, calculator: "other" } };
  assert.deepEqual((await drawn(answers, "abba")).pictures, { money: "aca" });
  assert.deepEqual((await drawn(answers, 'd="MNaN"')).pictures, { money: "" });
});

test("without what draws there are no pictures, and no error", async () => {
  const { run, context } = page(["shared.js", "kept.js", "words.js", "charts.js"], { IntersectionObserver: class {}, DOMParser: class {} });
  context.document.createElement = () => ({});
  context.document.head = { append: (script) => script.onerror() };
  assert.deepEqual(Object.keys(await run("dieselCharts.pictures({ money: {} })")), []);
});
