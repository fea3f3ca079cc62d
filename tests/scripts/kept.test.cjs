"use strict";
// Node's tests of docs/assets/kept.js: what a browser keeps, and what a link brings beside it.
const assert = require("node:assert/strict");
const test = require("node:test");
const { page, refused, storage } = require("./page.cjs");
const shared = require("../../docs/assets/shared.js");

const KEY = "diesel-handover:/here/";
const TRUCK = { id: "a", name: "Alder", saved_at: "2026-11-20T08:00:00Z", facts: { odometer: "5 mi" }, book: [] };
const SAVED = { truck: TRUCK, site_version: "v1", computed_on: "2026-11-29", until: "2027-12-01", answers: {} };
const plain = (thing) => JSON.parse(JSON.stringify(thing)); // of the page's own kind to this one's
const opened = (how) => page(["shared.js", "kept.js"], how);
const here = (how) => plain(opened(how).run("kept.here"));
const holding = (saved, more = {}) => storage({ [KEY]: typeof saved === "string" ? saved : JSON.stringify(saved), ...more });

test("what is kept is shown, and nothing is the example", () => {
  const [mine, none] = [here({ local: holding(SAVED) }), here()];
  assert.deepEqual([mine.showing, mine.saved, mine.mine, mine.guest, mine.problem], ["yours", SAVED, SAVED, false, ""]);
  assert.deepEqual([none.showing, none.saved, none.mine, none.problem], ["example", null, null, ""]);
});

test("what could not be read is put aside, never thrown away", () => {
  for (const text of ["{", "3", "null", '{"truck": 5}', '{"truck": {"name": 5}}']) {
    const local = holding(text);
    const seen = opened({ local });
    assert.deepEqual([seen.run("kept.here.problem"), seen.run("kept.here.showing")], ["broken", "example"], text);
    assert.deepEqual(plain(seen.run("kept.asides()")).map((one) => one.text), [text]);
    assert.equal(local.items.get(KEY), text);
    opened({ local }); // looked at again, it is put aside once
    assert.equal(JSON.parse(local.items.get(`${KEY}#aside`)).length, 1);
  }
});

test("an older version kept one thing aside, and the truck's days beside it", () => {
  const local = holding({ truck: { name: "Old" }, saved_at: Date.UTC(2026, 0, 2), computed_on: "2026-01-02" },
    { [`${KEY}#aside`]: '{"why": "w", "text": "t", "before": {"name": "B"}}' });
  const seen = opened({ local });
  assert.deepEqual(plain(seen.run("kept.asides()")), [{ why: "w", text: "t" }, { before: { name: "B" } }]);
  assert.deepEqual(plain(seen.run("kept.here.saved.truck")),
    { name: "Old", saved_at: "2026-01-02T00:00:00.000Z", computed_on: "2026-01-02" });
});

test("a key that named no folder moves in, unless this folder has one", () => {
  const older = { "diesel-handover": JSON.stringify({ truck: { name: "Older" } }) };
  assert.equal(here({ local: storage(older) }).saved.truck.name, "Older");
  assert.equal(here({ local: holding(SAVED, older) }).saved.truck.name, "Alder");
});

test("a browser that refuses its storage is told of, and the theme gets one that holds nothing", () => {
  const seen = opened({ local: refused, session: refused });
  assert.equal(seen.run("kept.here.problem"), "refused");
  assert.equal(seen.run("localStorage.getItem('x')"), null);
  assert.equal(seen.run("kept.write('x', 1)"), false);
});

test("where there is no room nothing is lost, and it is told", () => {
  const seen = opened({ local: storage({}, { room: 20 }) });
  assert.deepEqual([seen.run('kept.write("x", "short")'), seen.run("kept.here.problem")], [true, ""]);
  assert.deepEqual([seen.run(`kept.write("y", "${"long".repeat(9)}")`), seen.run("kept.here.problem")], [false, "refused"]);
  assert.deepEqual([seen.run('kept.read("x")'), seen.run('kept.read("y")')], ["short", null]);
  assert.equal(seen.run('kept.write("x") && kept.read("x")'), null);
});

test("answers hold for this site's version and from their day to the last", () => {
  const fits = (change, how) => opened(how).run(`kept.fits(${JSON.stringify({ ...SAVED, ...change })})`);
  assert.ok(fits({}));
  for (const change of [{ site_version: "v0" }, { computed_on: "2026-12-01" }, { until: "2026-11-30" }, { until: undefined }]) {
    assert.ok(!fits(change), JSON.stringify(change));
  }
  assert.ok(!fits({}, { version: "v2" }) && !fits({}, { day: "2027-12-01" }) && fits({}, { day: "2027-11-30" }));
  assert.ok(!opened().run("kept.fits(null)"));
});

const link = (truck, given = {}) => shared.linkOf({ truck, given, at: "idle_bill" });

test("a link's truck is a guest, and the one that is kept stays", () => {
  const other = here({ local: holding(SAVED), hash: link({ id: "b", name: "Birch" }, { fuel_price: ["4", "USD/gal"] }) });
  assert.deepEqual([other.guest, other.saved.truck.name, other.mine.truck.name, other.at], [true, "Birch", "Alder", "idle_bill"]);
  assert.deepEqual([other.given, other.linked], [{ fuel_price: ["4", "USD/gal"] }, true]);
});

test("of one truck the newer copy wins, whichever way it came", () => {
  const shown = (saved_at) => here({ local: holding(SAVED), hash: link({ ...TRUCK, saved_at, name: "From the link" }) });
  for (const saved_at of ["2026-11-19T08:00:00Z", TRUCK.saved_at]) {
    assert.deepEqual([shown(saved_at).guest, shown(saved_at).saved.truck.name], [false, "Alder"]);
  }
  assert.deepEqual([shown("2026-11-21T08:00:00Z").guest, shown("2026-11-21T08:00:00Z").saved.truck.name], [true, "From the link"]);
});

test("what was typed here is no link's, though the address holds it", () => {
  const typed = storage({ [`${KEY}#typed`]: '{"fuel_price":["4",""]}' });
  assert.equal(here({ session: typed, hash: link(null, { fuel_price: ["4", ""] }) }).linked, false);
  assert.equal(here({ session: typed, hash: link(null, { fuel_price: ["5", ""] }) }).linked, true);
});

test("another tab's truck is followed, but not away from a chosen example or a guest", () => {
  const saved = { ...SAVED, truck: { ...TRUCK, saved_at: "2026-11-30T08:00:00Z", name: "Newer" } };
  const after = (how, before = "") => {
    const local = holding(SAVED);
    const seen = opened({ local, ...how });
    seen.run(before);
    local.setItem(KEY, JSON.stringify(saved));
    seen.tell("storage", { key: KEY });
    return [...plain(seen.run("[kept.here.showing, kept.here.saved.truck.name, kept.here.mine.truck.name]")), seen.told.includes("truck")];
  };
  assert.deepEqual(after(), ["yours", "Newer", "Newer", true]);
  assert.deepEqual(after({}, 'kept.here.showing = "example"'), ["example", "Newer", "Newer", true]);
  assert.deepEqual(after({ hash: link({ id: "b", name: "Birch" }) }), ["yours", "Birch", "Newer", false]);
});

// A runtime whose replies wait until they are let go; nothing of the trade is in them.
function waiting() {
  const asked = [];
  const call = (request) => new Promise((reply) => asked.push({ request, reply }));
  const made = { until: "2027-12-01", answers: { by: "the runtime" }, faults: {}, facts: {} };
  const told = ({ do: what, text, truck }) => (what === "read_truck" ? { ok: true, truck: JSON.parse(text), faults: [], told: {} }
    : { ok: true, ...made, name: truck.name });
  const turn = () => new Promise((done) => setImmediate(done));
  async function answer(name) { // what is asked about this truck, until nothing more is
    for (await turn(); asked.some(({ request }) => JSON.stringify(request).includes(name)); await turn()) {
      const [{ request, reply }] = asked.splice(asked.findIndex((one) => JSON.stringify(one.request).includes(name)), 1);
      reply(told(request));
    }
  }
  return { dieselRuntime: { watch: () => () => {}, call }, answer };
}

const BIRCH = { id: "b", name: "Birch", saved_at: "2026-11-30T13:00:00Z", facts: {}, book: [] };
const stale = { ...SAVED, computed_on: "2026-11-01", until: "2026-11-30" };

test("an answer that comes late is neither drawn nor kept over the truck that was saved meanwhile", async () => {
  for (const event of ["before", "after"]) { // the other tab's word comes before the answer, or after
    const [local, { dieselRuntime, answer }] = [holding(stale), waiting()];
    const seen = opened({ local, dieselRuntime });
    const renewed = seen.run("kept.renew()");
    const other = JSON.stringify({ ...SAVED, truck: BIRCH });
    local.setItem(KEY, other);
    if (event === "before") seen.tell("storage", { key: KEY });
    await answer("Alder");
    await renewed;
    assert.equal(local.items.get(KEY), other, event);
    assert.deepEqual([...plain(seen.run("[kept.here.saved.truck.name, kept.here.working]")), seen.told.at(-1)], ["Birch", false, "truck"]);
  }
});

test("a truck that was cleared meanwhile stays cleared, and one that nobody touched is kept as worked out", async () => {
  for (const cleared of [true, false]) {
    const [local, { dieselRuntime, answer }] = [holding(stale), waiting()];
    const seen = opened({ local, dieselRuntime });
    const renewed = seen.run("kept.renew()");
    if (cleared) local.removeItem(KEY);
    await answer("Alder");
    await renewed;
    assert.equal(local.items.has(KEY), !cleared);
    assert.equal(seen.run("kept.here.saved?.answers.by"), cleared ? undefined : "the runtime");
    if (!cleared) assert.equal(JSON.parse(local.items.get(KEY)).computed_on, "2026-11-30");
  }
});

test("of two trucks that are kept at once the one told last stays, and the other is put aside", async () => {
  const [local, { dieselRuntime, answer }] = [holding(SAVED), waiting()];
  const seen = opened({ local, dieselRuntime });
  const late = seen.run(`kept.keep(${JSON.stringify({ ...TRUCK, name: "Alder changed" })})`);
  local.setItem(KEY, JSON.stringify({ ...SAVED, truck: BIRCH })); // told an hour after
  const says = /Birch was saved meanwhile. What was told of Alder changed is kept aside/;
  await Promise.all([answer("Alder changed"), assert.rejects(late, says)]);
  assert.equal(JSON.parse(local.items.get(KEY)).truck.name, "Birch");
  assert.equal(seen.run("kept.here.saved.truck.name"), "Birch");
  assert.deepEqual(plain(seen.run("kept.asides()")).map((one) => one.before.name), ["Alder changed"]);

  const anew = seen.run(`kept.keep(${JSON.stringify({ ...TRUCK, name: "Alder again" })})`);
  local.setItem(KEY, JSON.stringify({ ...SAVED, truck: { ...BIRCH, saved_at: "2026-11-30T11:00:00Z" } })); // told an hour before
  await Promise.all([answer("Alder again"), anew]);
  assert.equal(JSON.parse(local.items.get(KEY)).truck.name, "Alder again");
});

test("a page that is gone back to shows what was saved while it slept", () => {
  for (const persisted of [true, false]) {
    const local = holding(SAVED);
    const seen = opened({ local });
    local.setItem(KEY, JSON.stringify({ ...SAVED, truck: BIRCH }));
    seen.tell("pageshow", { persisted });
    assert.equal(seen.run("kept.here.saved.truck.name"), persisted ? "Birch" : "Alder");
  }
});

test("entries that no file has yet are counted, until the file is written", () => {
  const book = [{ id: "1", kind: "note" }, { id: "2", kind: "note" }];
  const seen = opened({ local: holding({ ...SAVED, truck: { ...TRUCK, book }, filed: 1 }) });
  assert.equal(seen.run("kept.unfiled()"), 1);
  assert.deepEqual(JSON.parse(seen.run("kept.asFile()")).book, book);
  assert.equal(seen.run("kept.unfiled()"), 0);
});
