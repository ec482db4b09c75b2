// What ships as it is written: rules that a build step would otherwise enforce.
import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { join, relative } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";

const ROOT = fileURLToPath(new URL("../../frontend", import.meta.url));
const OURS = ["plain", "store", "parts", "screens", "."].flatMap((folder) =>
  readdirSync(join(ROOT, folder), { withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".js"))
    .map((entry) => join(ROOT, folder, entry.name)));
const text = (file) => readFileSync(file, "utf8");
const imports = (file) => [...text(file).matchAll(/^(?:import|export)\b[^;]*?\bfrom\s+"([^"]+)";$/gm)].map((match) => match[1]);
const name = (file) => relative(ROOT, file);

test("vendored modules are what the checksum list says, licences beside them", () => {
  const list = JSON.parse(text(join(ROOT, "vendor/checksums.json")));
  assert.deepEqual(Object.keys(list).sort(), readdirSync(join(ROOT, "vendor")).filter((file) => file.endsWith(".js")).sort());
  const lock = JSON.parse(text(join(ROOT, "package-lock.json"))).packages;
  for (const [file, { sha256, package: from, version }] of Object.entries(list)) {
    assert.equal(createHash("sha256").update(text(join(ROOT, "vendor", file))).digest("hex"), sha256, file);
    assert.equal(lock[`node_modules/${from}`].version, version, `${file} is of the locked version`);
    assert.ok(text(join(ROOT, "vendor", `LICENSE.${from}`)).length > 500);
  }
});

test("vendored modules name no other place", () => {
  for (const file of readdirSync(join(ROOT, "vendor")).filter((each) => each.endsWith(".js"))) {
    const source = text(join(ROOT, "vendor", file));
    assert.doesNotMatch(source, /sourceMappingURL/);
    for (const [, from] of source.matchAll(/\bfrom\s*"([^"]+)"/g)) assert.match(from, /^\.\//, `${file} imports ${from}`);
  }
});

test("the lock file names no registry host", () => {
  assert.doesNotMatch(text(join(ROOT, "package-lock.json")), /"resolved"/);
});

test("imports are relative, one a line, end in a semicolon, and name a file that exists", () => {
  for (const file of OURS) {
    for (const line of text(file).split("\n").filter((each) => /^import\b/.test(each))) {
      assert.match(line, /^import (?:[\w*{][^;]*? from )?"\.\.?\/[^"]+\.js";$/, `${name(file)}: ${line}`);
    }
    for (const from of imports(file)) text(join(file, "..", from));
    assert.doesNotMatch(text(file), /^\s*(\*|\/[/*]).*\bimport\(/m, `${name(file)}: the server's rewriting of names trips over import() in comments`);
    assert.doesNotMatch(text(file), /innerHTML|\beval\(|new Function/, `${name(file)} would break the content policy`);
  }
});

test("no import cycles", () => {
  const done = new Set();
  const walk = (file, trail) => {
    assert.ok(!trail.includes(file), [...trail.slice(trail.indexOf(file)), file].map(name).join(" -> "));
    if (done.has(file)) return;
    for (const from of imports(file)) walk(join(file, "..", from), [...trail, file]);
    done.add(file);
  };
  for (const file of OURS) walk(file, []);
  assert.ok(done.size > 15);
});

test("plain/ depends on plain/ only, store/ on plain/, store/ and vendor/", () => {
  for (const file of OURS) {
    const [folder] = name(file).split("/");
    const allowed = { plain: /^\.\//, store: /^(\.\/|\.\.\/(plain|vendor)\/)/ }[folder];
    if (allowed) for (const from of imports(file)) assert.match(from, allowed, `${name(file)} imports ${from}`);
  }
});

test("store and the plain modules it needs stay small: 19 KB, comments and indentation apart", () => {
  // Comments are left out by the server (server/api/lean.py), those about a type inside a line, too.
  const bare = (source) => source.replace(/^[ \t]*\/\*(?:[^*]|\*(?!\/))*\*\/[ \t]*\n/gm, "").replace(/^[ \t]*\/\/.*\n/gm, "")
    .replace(/\/\*\* @(?:type|param|import)(?:[^*]|\*(?!\/))*\*\/ ?/g, "").replace(/^[ \t]+/gm, "").replace(/^\n/gm, "");
  const files = [
    ...readdirSync(join(ROOT, "store")).filter((file) => file !== "types.js").map((file) => join(ROOT, "store", file)),
    ...["stamps", "standing", "dates", "units"].map((file) => join(ROOT, "plain", `${file}.js`)),
  ];
  const bytes = files.reduce((sum, file) => sum + gzipSync(bare(text(file)), { level: 9 }).length, 0);
  assert.ok(bytes <= 19 * 1024, `${bytes} bytes`);
});
