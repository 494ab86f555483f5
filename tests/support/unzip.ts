import { inflateRawSync } from "node:zlib";

/** The files in a zip, by a reader of its own. */
export function unzip(zip: Buffer): Map<string, string> {
  const files = new Map<string, string>();
  let at = zip.readUInt32LE(zip.length - 6);
  for (let count = zip.readUInt16LE(zip.length - 12); count > 0; count -= 1) {
    const [size, nameLength] = [zip.readUInt32LE(at + 20), zip.readUInt16LE(at + 28)];
    const local = zip.readUInt32LE(at + 42);
    const from = local + 30 + zip.readUInt16LE(local + 26) + zip.readUInt16LE(local + 28);
    const data = zip.subarray(from, from + size);
    const text = zip.readUInt16LE(at + 10) === 0 ? data : inflateRawSync(data);
    files.set(zip.toString("utf8", at + 46, at + 46 + nameLength), text.toString());
    at += 46 + nameLength + zip.readUInt16LE(at + 30) + zip.readUInt16LE(at + 32);
  }
  return files;
}
