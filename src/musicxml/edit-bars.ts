import type { BarSlice } from "./bar-slices.js";

/**
 * Writes the bars of one part anew and leaves all else as it is, byte for byte.
 * @param edit is given what is inside each `<measure>` in the order of the page, and returns the same or
 *   what it is to be; not called for a bar of one tag, which has no inside
 * @returns the document as UTF-8, and whether nothing was changed
 */
export function editBars(
  bytes: Buffer,
  slices: readonly BarSlice[],
  edit: (text: string, barIndex: number, slice: BarSlice) => string,
): { readonly bytes: Buffer; readonly isSame: boolean } {
  const pieces: Buffer[] = [];
  let position = 0;
  slices.forEach((slice, barIndex) => {
    const { start, end } = slice;
    if (start === end) return;
    const text = bytes.toString("utf8", start, end);
    const written = edit(text, barIndex, slice);
    if (written === text) return;
    pieces.push(bytes.subarray(position, start), Buffer.from(written, "utf8"));
    position = end;
  });
  const isSame = pieces.length === 0;
  pieces.push(bytes.subarray(position));
  return { bytes: asUtf8(Buffer.concat(pieces)), isSame };
}

const DECLARED = /^(\s*<\?xml\s[^>]*?\sencoding\s*=\s*["'])([^"']*)(["'])/;

/** The declaration has to name the encoding that the bytes are in now. */
export function asUtf8(bytes: Buffer): Buffer {
  const head = bytes.toString("latin1", 0, 1024);
  const [found, before = "", encoding = "", quote = ""] = DECLARED.exec(head) ?? [];
  if (found === undefined || /^(?:utf-?8|us-ascii|ascii)$/i.test(encoding)) return bytes;
  return Buffer.concat([
    Buffer.from(`${before}UTF-8${quote}`, "latin1"),
    bytes.subarray(found.length),
  ]);
}
