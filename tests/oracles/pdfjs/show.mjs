import { createCanvas, DOMMatrix, ImageData, Path2D } from "@napi-rs/canvas";
import { mkdir, readFile, writeFile } from "node:fs/promises";

// pdf.js takes what a browser has from here, and must have it before it begins.
Object.assign(globalThis, { DOMMatrix, ImageData, Path2D });
const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");

const [path, folder, dpi, ...wanted] = process.argv.slice(2);
await mkdir(folder, { recursive: true });
const data = new Uint8Array(await readFile(path));
const file = await getDocument({ data, verbosity: 0 }).promise;
const words = [];
for (let n = 1; n <= file.numPages; n++) {
  const page = await file.getPage(n);
  const text = await page.getTextContent();
  words.push(text.items.map((item) => item.str).join(" "));
  if (wanted.length > 0 && !wanted.includes(String(n))) continue;
  const viewport = page.getViewport({ scale: Number(dpi) / 72 });
  const canvas = createCanvas(Math.round(viewport.width), Math.round(viewport.height));
  await page.render({ canvasContext: canvas.getContext("2d"), canvas, viewport }).promise;
  await writeFile(`${folder}/${n}.png`, canvas.toBuffer("image/png"));
}
await writeFile(`${folder}/words.json`, JSON.stringify(words));
