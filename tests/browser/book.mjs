// The book in pdf.js: every page drawn, without a warning, and its text selectable.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { extname, join } from "node:path";

const PDFJS = fileURLToPath(new URL("node_modules/pdfjs-dist/", import.meta.url));
const TYPES = { ".mjs": "text/javascript", ".pdf": "application/pdf", ".wasm": "application/wasm" };

export async function openBook(browser, file) {
  const context = await browser.newContext();
  // Modules do not load from files: this host exists in this test alone.
  await context.route("**/*", async (route) => {
    const { hostname, pathname } = new URL(route.request().url());
    if (hostname !== "book.test") { return route.abort(); }
    if (pathname === "/") { return route.fulfill({ contentType: "text/html", body: "<!doctype html><title>book</title><link rel=icon href='data:,'>" }); }
    const path = pathname === "/book.pdf" ? file : join(PDFJS, pathname);
    return route.fulfill({ contentType: TYPES[extname(path)] ?? "application/octet-stream", body: await readFile(path) });
  });
  const page = await context.newPage();
  const told = [];
  page.on("console", (message) => told.push(message.text()));
  page.on("pageerror", (error) => told.push(String(error)));
  await page.goto("http://book.test/");
  const pages = await page.evaluate(async () => {
    const pdfjs = await import("http://book.test/build/pdf.min.mjs");
    pdfjs.GlobalWorkerOptions.workerSrc = "http://book.test/build/pdf.worker.min.mjs";
    const book = await pdfjs.getDocument({
      url: "http://book.test/book.pdf",
      verbosity: pdfjs.VerbosityLevel.WARNINGS,
      wasmUrl: "http://book.test/wasm/",
    }).promise;
    const out = [];
    for (let k = 1; k <= book.numPages; k += 1) {
      const sheet = await book.getPage(k);
      const viewport = sheet.getViewport({ scale: 1.5 });
      const canvas = document.createElement("canvas");
      [canvas.width, canvas.height] = [Math.ceil(viewport.width), Math.ceil(viewport.height)];
      const context = canvas.getContext("2d");
      await sheet.render({ canvas, canvasContext: context, viewport }).promise;
      const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
      let inked = 0;
      for (let i = 0; i < data.length; i += 4) {
        if (data[i] + data[i + 1] + data[i + 2] < 600) { inked += 1; }
      }
      const text = await sheet.getTextContent();
      out.push({
        size: sheet.view.slice(2),
        inked: inked / (canvas.width * canvas.height),
        text: text.items.map((item) => item.str).join(" "),
      });
    }
    return out;
  });
  assert.deepEqual(told, [], "pdf.js warns");
  for (const [k, { size, inked, text }] of pages.entries()) {
    assert.ok(size[0] <= 4.25 * 72 + 0.01 && size[1] <= 7 * 72 + 0.01, `page ${k + 1} is ${size}`);
    assert.ok(inked > 0.003, `page ${k + 1} is blank: ${inked}`);
    assert.ok(text.trim().length > 60, `page ${k + 1} says "${text}"`);
  }
  const all = pages.map((one) => one.text).join("\n");
  for (const words of ["The green", "If the wind turns", "The round", "How to read it", "Rule 4.3a", "AIM", "ENDS"]) {
    assert.ok(all.includes(words), words);
  }
  await context.close();
  return `${pages.length} pages`;
}
