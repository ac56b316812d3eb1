// Builds page.js, which the program holds, from the sources beside it: `npm ci && npm run build`. With a path as its
// argument it writes there instead. The same sources and versions give the same bytes.
import { build } from "esbuild";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const licence = readFileSync(join(here, "node_modules/three/LICENSE"), "utf8").trim();
const held = readFileSync(join(here, "LICENSE-three"), "utf8").trim();
if (licence !== held) {
  throw new Error("LICENSE-three is not the licence that three comes with: copy it");
}
await build({
  absWorkingDir: here,
  entryPoints: ["src/main.js"],
  outfile: process.argv[2] ?? join(here, "page.js"),
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2020",
  charset: "utf8",
  legalComments: "none",
  // The licence travels with every copy.
  banner: { js: `/*! This script holds three.js.\n${licence}\n*/` },
  logLevel: "warning",
});
