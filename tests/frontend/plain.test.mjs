import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { addDays, daysBetween, instantOf, isoWithOffset, localDate } from "../../frontend/plain/dates.js";
import { cupsLabel, cupsOf, gramsOf, kcalOf } from "../../frontend/plain/portions.js";
import { hlcMs, nextHlc, strongRandom, uuidv7 } from "../../frontend/plain/stamps.js";
import { fromGrams, parseNumber, parseWeight } from "../../frontend/plain/units.js";
import { seeded } from "./phone.mjs";

test("ids: the time field of RFC 9562, appendix A.6, and the version and variant bits", () => {
  // The RFC's example: 0x017F22E279B0 ms is 2022-02-22 19:22:22 UTC.
  assert.match(uuidv7(0x017f22e279b0, seeded(1)), /^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
});

test("ids: sort by time, and a thousand in one millisecond differ", () => {
  assert.ok(uuidv7(1000, strongRandom) < uuidv7(1001, strongRandom));
  const ids = new Set(Array.from({ length: 1000 }, () => uuidv7(1_772_436_600_000, strongRandom)));
  assert.equal(ids.size, 1000);
});

test("clock_wrong: stamps never run backwards, whatever the clock does", () => {
  let last = null;
  for (const ms of [1000, 1000, 500, 946_684_800_000, 2000, 1_772_436_600_000]) {
    const next = nextHlc(last, ms, "00c0ffee");
    assert.match(next, /^\d{13}-\d{4}-[0-9a-f]{8}$/);
    assert.ok(last === null || next > last, `${next} follows ${last}`);
    last = next;
  }
  assert.equal(nextHlc("0000000001000-9999-00c0ffee", 1000, "00c0ffee"), "0000000001001-0000-00c0ffee");
  assert.equal(hlcMs("1772436600000-0003-00c0ffee"), 1_772_436_600_000);
});

test("day_border: half past eleven and half past midnight fall on the day the person saw", () => {
  // Offsets from the IANA zone data: Tongatapu UTC+13 all year, Pitcairn UTC-8 all year.
  const cases = [
    ["2026-03-02T10:30:00Z", "Pacific/Tongatapu", "2026-03-02", "2026-03-02T23:30:00+13:00"],
    ["2026-03-02T11:30:00Z", "Pacific/Tongatapu", "2026-03-03", "2026-03-03T00:30:00+13:00"],
    ["2026-03-03T07:30:00Z", "Pacific/Pitcairn", "2026-03-02", "2026-03-02T23:30:00-08:00"],
    ["2026-03-03T08:30:00Z", "Pacific/Pitcairn", "2026-03-03", "2026-03-03T00:30:00-08:00"],
    // Berlin goes to summer time on 29 March 2026 at 01:00 UTC and back on 25 October at 01:00 UTC.
    ["2026-03-28T22:30:00Z", "Europe/Berlin", "2026-03-28", "2026-03-28T23:30:00+01:00"],
    ["2026-03-28T23:30:00Z", "Europe/Berlin", "2026-03-29", "2026-03-29T00:30:00+01:00"],
    ["2026-03-29T21:30:00Z", "Europe/Berlin", "2026-03-29", "2026-03-29T23:30:00+02:00"],
    ["2026-10-24T22:30:00Z", "Europe/Berlin", "2026-10-25", "2026-10-25T00:30:00+02:00"],
    ["2026-10-25T22:30:00Z", "Europe/Berlin", "2026-10-25", "2026-10-25T23:30:00+01:00"],
    ["2026-03-02T18:30:00Z", "Asia/Kolkata", "2026-03-03", "2026-03-03T00:00:00+05:30"],
    ["2026-03-02T23:30:00Z", "UTC", "2026-03-02", "2026-03-02T23:30:00Z"],
  ];
  for (const [instant, tz, day, iso] of cases) {
    const ms = Date.parse(instant);
    assert.equal(localDate(ms, tz), day, `${instant} in ${tz}`);
    assert.equal(isoWithOffset(ms, tz), iso);
    assert.equal(Date.parse(iso), ms);
    assert.equal(instantOf(day, iso.slice(11, 16), tz), ms, "and back again");
  }
});

test("day_border: the skipped hour and the hour that comes twice", () => {
  // 02:30 does not exist on 29 March in Berlin; read with the offset before the jump it is 01:30 UTC.
  assert.equal(instantOf("2026-03-29", "02:30", "Europe/Berlin"), Date.parse("2026-03-29T01:30:00Z"));
  assert.equal(instantOf("2026-10-25", "02:30", "Europe/Berlin"), Date.parse("2026-10-25T00:30:00Z"));
});

test("days: counted on the calendar, also over a day of 23 hours", () => {
  assert.equal(addDays("2026-03-28", 2), "2026-03-30");
  assert.equal(addDays("2024-03-01", -1), "2024-02-29");
  assert.equal(daysBetween("2026-03-28", "2026-03-30"), 2);
  assert.equal(daysBetween("2026-03-30", "2026-03-28"), -2);
});

test("mass: a pound is 0.45359237 kg exactly (international agreement of 1959)", () => {
  assert.equal(fromGrams(453.59237, "lb"), 1);
  assert.equal(fromGrams(15_200, "kg"), 15.2);
  assert.deepEqual(parseWeight("100", "lb"), { grams: 45_359 }); // 45,359.237 g
  assert.deepEqual(parseWeight("33.51", "lb"), { grams: 15_200 }); // 15,199.88 g
  for (let grams = 300; grams < 120_000; grams += 37) {
    // Six decimals of a pound are half a milligram: shown and typed again, no gram is lost.
    assert.deepEqual(parseWeight(fromGrams(grams, "lb").toFixed(5), "lb"), { grams });
    assert.deepEqual(parseWeight(fromGrams(grams, "kg").toFixed(3), "kg"), { grams });
  }
});

test("mass: as people type it, with point or comma, with or without a unit", () => {
  const right = { "15,2": 15_200, "15.2": 15_200, " 15.25 ": 15_250, "15,": 15_000, ".5": 500, "0.3": 300, "120": 120_000, "33.51 lb": 15_200, "12kg": 12_000, "1.234": 1234, "10.0005": 10_001, "10.0004": 10_000 };
  for (const [text, grams] of Object.entries(right)) assert.deepEqual(parseWeight(text, "kg"), { grams }, text);
  for (const text of ["1,234.5", "12.3.4", "abc", "-4", "1e3", "NaN", "12 stone", "12345"]) assert.equal(parseWeight(text, "kg").code, "not_a_number", text);
  assert.equal(parseWeight("  ", "kg").code, "empty");
  assert.deepEqual(parseWeight("0.2994", "kg"), { code: "out_of_range", low: 0.3, high: 120 });
  assert.equal(parseWeight("120.001", "kg").code, "out_of_range");
  assert.equal(Math.round(parseWeight("300", "lb").high), 265); // the range comes in the unit asked for
  assert.deepEqual(["12,4", "12.4", "7", ",5", "1.2.3", "", "-1", "12 kg"].map(parseNumber), [12.4, 12.4, 7, 0.5, null, null, null, null]);
});

test("portions: the phone converts as the server does (both replay portions.json)", () => {
  const { rows } = JSON.parse(readFileSync(new URL("portions.json", import.meta.url), "utf8"));
  assert.ok(rows.length > 50);
  for (const row of rows) {
    if (row.kcal !== null) {
      assert.equal(gramsOf(row.kcal, row.kcal_per_kg), row.grams, JSON.stringify(row));
      assert.equal(kcalOf(row.grams, row.kcal_per_kg), row.kcal_back, JSON.stringify(row));
    }
    const cups = cupsOf(row.grams, row.grams_per_cup);
    assert.equal(cups === null ? null : cupsLabel(cups), row.cups_label, JSON.stringify(row));
  }
});
