// Opens what `bendline book --also phone` wrote in Debian's Chromium, as a
// golfer would: the phone page from a file, the book in pdf.js.
//
//     node run.mjs FOLDER [MORE.html …]
//
// FOLDER holds book.pdf and book.html; the further pages, with hostile names
// or no holes, are opened for errors and accessibility alone. Pictures of the
// phone page are left in FOLDER.

import { existsSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";
import { openBook } from "./book.mjs";
import { openAny, openPhone, openWithoutScript } from "./phone.mjs";

const [folder, ...more] = process.argv.slice(2);
if (!folder) {
  console.error("usage: node run.mjs FOLDER [MORE.html …]");
  process.exit(2);
}
const found = process.env.CHROMIUM ?? ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find(existsSync);
if (!found) {
  console.error("no chromium: apt-get install -y chromium");
  process.exit(2);
}
const profile = await mkdtemp(join(tmpdir(), "bendline-browser-"));
const browser = await chromium.launch({
  executablePath: found,
  args: [
    // Root has no user namespace to build the sandbox in.
    ...(process.getuid() === 0 ? ["--no-sandbox"] : []),
    "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", `--disk-cache-dir=${profile}`,
  ],
});

// A phone that stands and one that lies, a tablet, all with touch, and a laptop with a mouse.
const SIZES = [
  { name: "phone", viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
  { name: "lying", viewport: { width: 844, height: 390 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
  { name: "tablet", viewport: { width: 820, height: 1180 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 },
  { name: "laptop", viewport: { width: 1280, height: 800 } },
];
let failed = 0;
const step = async (name, work) => {
  try {
    const said = await work();
    console.log(`ok    ${name}${said ? `: ${said}` : ""}`);
  } catch (error) {
    failed += 1;
    console.error(`FAIL  ${name}\n${error.stack ?? error}`);
  }
};
const page = resolve(folder, "book.html");
for (const size of SIZES) {
  await step(`book.html, ${size.name}`, () => openPhone(browser, size, page, resolve(folder)));
  for (const file of ["phone", "laptop"].includes(size.name) ? more : []) {
    await step(`${file}, ${size.name}`, () => openAny(browser, size, resolve(file)));
  }
}
for (const size of SIZES) {
  await step(`book.html without script, ${size.name}`, () => openWithoutScript(browser, size, page, resolve(folder)));
}
await step("book.pdf in pdf.js", () => openBook(browser, resolve(folder, "book.pdf")));
await browser.close();
await rm(profile, { recursive: true, force: true });
if (failed) {
  console.error(`${failed} failed`);
  process.exit(1);
}
