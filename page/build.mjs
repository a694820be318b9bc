// Bundle the scripts of the page. Each starts with a digest of the sources that it was
// built from, so that a check without Node can tell when they have moved on.
import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import { build } from "esbuild";

const sources = ["package-lock.json", "build.mjs", ...readdirSync("src").sort().map((name) => `src/${name}`)];
const digest = createHash("sha256");
for (const name of sources) digest.update(name).update("\0").update(readFileSync(name)).update("\0");
const entries = readdirSync("src").filter((name) => !name.startsWith("_")).map((name) => `src/${name}`);
await build({
  entryPoints: entries,
  bundle: true,
  minify: true,
  format: "esm",
  target: "es2022",
  legalComments: "inline",
  outdir: "../src/foldwright/web/static",
  banner: { js: `// built from ${digest.digest("hex")}` },
});
