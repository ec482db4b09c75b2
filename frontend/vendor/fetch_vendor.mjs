// Makes the vendored modules from the packages that package-lock.json pins.
//   npm ci && npm run vendor      writes the files, the licences and checksums.json
//   npm run vendor -- --check     writes nothing; fails when a file is not what the package gives
//   npm run vendor -- --types     only points the type checker at the packages' own types; these
//                                 one-line .d.ts files are git-ignored and never served
// What is changed: the source map line goes, bare specifiers become relative, and a module that
// ships unminified (idb) loses its comments and indentation. Nothing else.
import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { join } from "node:path";

const here = fileURLToPath(new URL(".", import.meta.url));
const packages = join(here, "..", "node_modules");
const MODULES = [
  { file: "preact.js", from: "preact", path: "dist/preact.mjs" },
  { file: "hooks.js", from: "preact", path: "hooks/dist/hooks.mjs" },
  { file: "htm.js", from: "htm", path: "dist/htm.module.js" },
  { file: "idb.js", from: "idb", path: "build/index.js", bare: true },
];
const TYPES = {
  "preact.d.ts": 'export * from "preact";\n',
  "hooks.d.ts": 'export * from "preact/hooks";\n',
  "htm.d.ts": 'import htm from "htm";\nexport default htm;\n',
  "idb.d.ts": 'export * from "idb";\n',
};
const RELATIVE = { preact: "./preact.js" };

const sha256 = (text) => createHash("sha256").update(text).digest("hex");

/** The text we serve for a package's text. */
function ours(text, module) {
  let result = text.replace(/\n?\/\/# sourceMappingURL=.*\s*$/, "\n");
  for (const [name, path] of Object.entries(RELATIVE)) {
    result = result.replaceAll(`from"${name}"`, `from"${path}"`);
  }
  if (module.bare) {
    result = result.replace(/\/\*[\s\S]*?\*\/\n?/g, "").replace(/^\s*\/\/.*\n/gm, "").replace(/\n\s+/g, "\n");
  }
  const left = result.match(/(?:from|import)\s*\(?["'][^."'][^"']*["']/);
  if (left) throw new Error(`${module.file} still names a package: ${left[0]}`);
  return result;
}

if (process.argv.includes("--types")) {
  for (const [name, text] of Object.entries(TYPES)) writeFileSync(join(here, name), text);
  process.exit(0);
}

const files = {};
const checksums = {};
for (const module of MODULES) {
  const upstream = readFileSync(join(packages, module.from, module.path), "utf8");
  const { version, license } = JSON.parse(readFileSync(join(packages, module.from, "package.json"), "utf8"));
  files[module.file] = ours(upstream, module);
  files[`LICENSE.${module.from}`] = readFileSync(join(packages, module.from, "LICENSE"), "utf8");
  checksums[module.file] = {
    package: module.from, version, license, path: module.path,
    upstream_sha256: sha256(upstream), sha256: sha256(files[module.file]),
  };
}
files["checksums.json"] = `${JSON.stringify(checksums, null, 2)}\n`;

const differing = [];
for (const [name, text] of Object.entries(files)) {
  const path = join(here, name);
  if (!process.argv.includes("--check")) writeFileSync(path, text);
  else if (readFileSync(path, "utf8") !== text) differing.push(name);
}
if (differing.length) {
  console.error(`Not what the packages give: ${differing.join(", ")}`);
  process.exit(1);
}
