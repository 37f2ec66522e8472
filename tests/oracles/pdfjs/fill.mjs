import { DOMMatrix, ImageData, Path2D } from "@napi-rs/canvas";
import { readFile, writeFile } from "node:fs/promises";

// pdf.js takes what a browser has from here, and must have it before it begins.
Object.assign(globalThis, { DOMMatrix, ImageData, Path2D });
const { getDocument } = await import("pdfjs-dist/legacy/build/pdf.mjs");

const [path, told, filled] = process.argv.slice(2);
const values = JSON.parse(await readFile(told, "utf8"));
const data = new Uint8Array(await readFile(path));
const file = await getDocument({ data, verbosity: 0 }).promise;
const fields = await file.getFieldObjects();
for (const [name, value] of Object.entries(values)) {
  for (const field of fields[name]) {
    file.annotationStorage.setValue(field.id, { value });
  }
}
await writeFile(filled, await file.saveDocument());
