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

test("entries that no file has yet are counted, until the file is written", () => {
  const book = [{ id: "1", kind: "note" }, { id: "2", kind: "note" }];
  const seen = opened({ local: holding({ ...SAVED, truck: { ...TRUCK, book }, filed: 1 }) });
  assert.equal(seen.run("kept.unfiled()"), 1);
  assert.deepEqual(JSON.parse(seen.run("kept.asFile()")).book, book);
  assert.equal(seen.run("kept.unfiled()"), 0);
});
