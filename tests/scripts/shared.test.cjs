"use strict";
// Node's tests of docs/assets/shared.js: what every page shares, without a page.
const assert = require("node:assert/strict");
const test = require("node:test");
const shared = require("../../docs/assets/shared.js");

const TRUCK = {
  format: "diesel-handover-truck", version: 2, id: "a1", name: "Żaba 🚚", saved_at: "2026-11-30T05:12:00Z",
  identity: { vin: "1", call_boss: "555-0100" }, facts: { fuel_price: "3.90 USD/gal", plows: true },
  interval: { engine_oil: { distance: "7500 mi", time: "12 month" } },
  book: [{ id: "e1", kind: "fuel", date: "2026-11-20", odometer: "42010 mi", fuel: "24 gal", station: "by the river", note: "call me" }],
  wings: { of: "a newer guide" },
};

test("facts of a truck, and a truck of facts", () => {
  const facts = shared.factsOf(TRUCK);
  assert.deepEqual(facts, {
    fuel_price: "3.90 USD/gal", plows: true, "interval.engine_oil.distance": "7500 mi", "interval.engine_oil.time": "12 month",
  });
  assert.deepEqual(shared.withFacts(TRUCK, facts), TRUCK); // all else its file holds stays
  assert.deepEqual(shared.factsOf(shared.withFacts(null, facts)), facts);
  const cleared = shared.withFacts(TRUCK, { fuel_price: "4 USD/gal" });
  assert.deepEqual([cleared.facts, cleared.interval, cleared.book], [{ fuel_price: "4 USD/gal" }, {}, TRUCK.book]);
});

test("a truck of version 1 has records among its facts, and keeps them until the calculators make entries of them", () => {
  const facts = { "done.coolant.date": "2026-01-02", odometer: "5" };
  assert.deepEqual(shared.withFacts(null, facts).done, { coolant: { date: "2026-01-02" } });
  assert.deepEqual(shared.factsOf({ name: "x", facts: { odometer: "5" }, done: { coolant: { date: "2026-01-02" } } }), facts);
});

test("no name of a fact reaches into the machinery", () => {
  const strange = { "__proto__.polluted.hit": "1", "constructor.prototype.hit": "1", "strange.job.what": "2" };
  const made = shared.withFacts({ name: "x" }, strange);
  assert.equal({}.hit, undefined);
  assert.deepEqual([made.facts, made.interval], [{}, {}]);
  const jobs = '{"__proto__": {"hit": "1"}, "constructor": {"hit": "1"}}';
  shared.withFacts({ name: "x" }, shared.factsOf(JSON.parse(`{"interval": ${jobs}, "done": ${jobs}}`)));
  assert.deepEqual([{}.hit, Object.hit, Object.prototype.hit], [undefined, undefined, undefined]);
});

test("books unite, whatever the order, and nothing entered is gone", () => {
  const [one, two, other] = [{ id: "a", kind: "note", note: "x" }, { id: "b", kind: "note" }, { id: "a", note: "y", kind: "note" }];
  const sorted = (book) => book.map((entry) => JSON.stringify(Object.entries(entry).toSorted())).toSorted();
  const whole = sorted(shared.united([one, two], [other]));
  const turned = { kind: "note", note: "x", id: "a" };
  for (const [left, right] of [[[two], [one, other]], [[other], [two, one]], [[one, two, other], []], [[turned, two], [other, one]]]) {
    assert.deepEqual(sorted(shared.united(left, right)), whole);
  }
  assert.equal(whole.length, 3); // one id with two contents stays twice
  assert.deepEqual(shared.united(undefined, undefined), []);
});

test("what travels is the truck and what was typed, never who it is, notes or answers", () => {
  const truck = { ...TRUCK, answers: { idle_bill: 1 }, calendar: "x" };
  const link = shared.linkOf({ truck, given: { fuel_price: ["4", ""] }, at: "idle_bill" });
  const told = shared.fromLink(link);
  const { identity: _, wings: __, ...travels } = TRUCK;
  assert.deepEqual(told.truck, { ...travels, book: [{ id: "e1", kind: "fuel", date: "2026-11-20", odometer: "42010 mi" }] });
  assert.deepEqual([told.given, told.at, told.entry], [{ fuel_price: ["4", ""] }, "idle_bill", null]);
  assert.match(link, /^#v2\.[\w-]+$/);
});

const forged = (thing) => `#v2.${Buffer.from(JSON.stringify(thing)).toString("base64url")}`;

test("a forged link brings nothing but what may travel", () => {
  const told = shared.fromLink(forged({
    truck: {
      name: "x", facts: {}, answers: { wrong_fluid: "Carry on." }, identity: { owner: "y" }, link: 1,
      book: [{ id: "1", note: "n", cost: "5", job: "coolant" }],
    },
    saved: { answers: {} }, given: { fuel_price: "4", trucks: [7, {}], gap: ["1", "h", "more"] }, at: { toString: "x" },
    entry: { kind: "job", job: "coolant", by: "me" },
  }));
  assert.deepEqual(told.truck, { name: "x", facts: {}, book: [{ id: "1", job: "coolant" }] });
  assert.deepEqual(told.given, { fuel_price: ["4"], gap: ["1", "h"] });
  assert.deepEqual([told.at, told.entry], ["", { kind: "job", job: "coolant" }]);
});

test("a link of the version before brings its truck, and no answer", () => {
  const saved = { truck: { name: "Old", facts: { odometer: "5" } }, answers: {}, packed: "zzz" };
  const told = shared.fromLink(`#v1.${forged({ at: "x", saved }).slice(4)}`);
  assert.deepEqual(told, { truck: { name: "Old", facts: { odometer: "5" } }, given: {}, at: "x", entry: null });
});

test("what is no link brings nothing", () => {
  const made = [3, [], { truck: "x" }, { truck: { name: 5 } }].map(forged);
  for (const hash of ["", "#idle_bill", "#v2.", "#v2.!!!", "#v2.bnVsbA", ...made, `#v2.${"A".repeat(500_000)}`]) {
    const told = shared.fromLink(hash);
    assert.ok(told === null || told.truck === null, hash.slice(0, 40));
  }
});

test("a truck too long for a link travels in none", () => {
  assert.equal(shared.linkOf({ truck: { name: "x".repeat(300_000) }, given: {}, at: "" }), null);
});

test("one copy is another's equal by id and time", () => {
  assert.ok(shared.isSame({ id: "a", saved_at: "1" }, { id: "a", saved_at: "1" }));
  for (const other of [null, {}, { id: "a", saved_at: "2" }, { id: "b", saved_at: "1" }]) {
    assert.ok(!shared.isSame({ id: "a", saved_at: "1" }, other));
  }
  assert.ok(!shared.isSame({}, {})); // of two without an id nobody knows
});

test("the reader's own day, not Greenwich's", () => {
  const evening = new Date("2026-11-30T23:30:00Z");
  evening.getTimezoneOffset = () => -60; // an hour ahead
  assert.equal(shared.today(evening), "2026-12-01");
});

test("words of a day are the last that began", () => {
  const days = [{ from: "2026-11-30", is: 1 }, { from: "2026-12-05", is: 2 }, { from: "2027-01-01", is: 3 }];
  for (const [day, is] of [["2026-11-30", 1], ["2026-12-04", 1], ["2026-12-05", 2], ["2030-01-01", 3], ["2026-01-01", 1]]) {
    assert.equal(shared.onDay(days, day).is, is);
  }
});

test("holes take what comes next, as it is", () => {
  assert.equal(shared.filled("for {}, {}", ["$& {}", "b"]), "for $& {}, b");
  assert.equal(shared.filled("{} and {}", ["a"]), "a and {}");
});

test("a number without a unit, however it is written", () => {
  for (const text of ["5", " 87,412 ", "1e3", "½", "12 1/2", "-4", "1:30", "87k"]) assert.ok(shared.isBare(text), text);
  for (const text of ["5 gal", "60 mph", "32f", "$3.90", "7.5%", "5'6\"", "", "twelve"]) assert.ok(!shared.isBare(text), text);
});

test("a number in its field, its digits in threes", () => {
  for (const [text, shown] of [["88900", "88,900"], ["1112", "1,112"], ["-4000", "-4,000"], ["1234567.25", "1,234,567.25"]]) {
    assert.equal(shared.inField(text), shown);
  }
  for (const text of ["950", "41.2050", "0.12345", "2026-11-30", "88,900", "a lot", "12 34567", "007700", ""]) {
    assert.equal(shared.inField(text), text);
  }
});

test("a day as it is written, or the month that is all that's known", () => {
  for (const text of ["6/14/2026", "2026-06-14", "06.14.2026", "6-14-2026", "Jun 14, 2026", "june 14 2026", "JUN. 14,  2026"]) {
    assert.deepEqual(shared.dayOf(text), { date: "2026-06-14", about: false }, text);
  }
  for (const text of ["6/2026", "2026-06", "Jun 2026", "june, 2026"]) {
    assert.deepEqual(shared.dayOf(text), { date: "2026-06-01", about: true }, text);
  }
  assert.deepEqual(shared.dayOf("2/29/2028"), { date: "2028-02-29", about: false });
  for (const text of ["", "soon", "2/29/2026", "13/1/2026", "6/31/2026", "6/0/2026", "0/2026", "14", "Foo 2026", "6/14/26"]) {
    assert.equal(shared.dayOf(text), null, text);
  }
});
