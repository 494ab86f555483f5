import { isAscii, isUtf8, transcode } from "node:buffer";
import { TextDecoder } from "node:util";
import { InputError } from "../model/input-error.js";

/** An XML declaration is far shorter; nothing beyond is looked at. */
const DECLARATION_BYTES = 1024;

/** Bytes decoded at a time, so that no string comes near the longest the engine can hold. */
const CHUNK_BYTES = 1 << 16;

/** The web's table of labels reads these as windows-1252; XML means what they say. */
const LATIN1_LABELS: ReadonlySet<string> = new Set([
  "iso-8859-1",
  "iso8859-1",
  "iso_8859-1",
  "latin1",
  "l1",
]);
const ASCII_LABELS: ReadonlySet<string> = new Set(["us-ascii", "ascii", "ansi_x3.4-1968"]);

/**
 * The characters of windows-1252 from 0x80 to 0x9F, elsewhere it is ISO-8859-1.
 * Spelled out because the decoder of Node 20.18.3 and later returns control characters for them
 * (nodejs/node#56542). Source: Encoding Standard, index windows-1252.
 */
const WINDOWS_1252 =
  "\u20AC\x81\u201A\u0192\u201E\u2026\u2020\u2021\u02C6\u2030\u0160\u2039\u0152\x8D\u017D\x8F" +
  "\x90\u2018\u2019\u201C\u201D\u2022\u2013\u2014\u02DC\u2122\u0161\u203A\u0153\x9D\u017E\u0178";

/**
 * The document as UTF-8 without byte order mark, whatever encoding it came in. Valid UTF-8 is not
 * copied. A byte order mark outweighs the XML declaration, which stays as it is: whoever reads the
 * result must not decode it by that declaration again.
 *
 * @param bytes an XML document, its first character `<` (after blanks in the 8-bit encodings)
 * @returns UTF-8 with no byte order mark, no invalid sequence and no NUL
 * @throws InputError `bad-encoding`, naming the byte offset (from 0) or the unknown label
 */
export function toUtf8(bytes: Uint8Array): Buffer {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const [b0, b1, b2, b3] = buffer;
  if (b0 === 0xef && b1 === 0xbb && b2 === 0xbf) return validUtf8(buffer, 3);
  if (
    (b0 === 0xff && b1 === 0xfe && b2 === 0 && b3 === 0) ||
    (b0 === 0x3c && b1 === 0 && b2 === 0 && b3 === 0) ||
    (b0 === 0 && b1 === 0 && (b2 === 0xfe || b2 === 0) && (b3 === 0xff || b3 === 0x3c))
  ) {
    throw new InputError("bad-encoding", "the file is in UTF-32, which is not supported");
  }
  if (b0 === 0xff && b1 === 0xfe) return fromUtf16(buffer, 2, "little");
  if (b0 === 0xfe && b1 === 0xff) return fromUtf16(buffer, 2, "big");
  if (b0 === 0x3c && b1 === 0) return fromUtf16(buffer, 0, "little");
  if (b0 === 0 && b1 === 0x3c) return fromUtf16(buffer, 0, "big");
  return fromDeclared(buffer, declaredEncoding(buffer));
}

/** The label in the XML declaration as written, undefined when there is none. */
function declaredEncoding(bytes: Buffer): string | undefined {
  const head = bytes.toString("latin1", 0, DECLARATION_BYTES);
  const declaration = /^\s*<\?xml\s[^>]*/.exec(head)?.[0] ?? "";
  const match = /\sencoding\s*=\s*(?:"([^"]*)"|'([^']*)')/.exec(declaration);
  return match?.[1] ?? match?.[2];
}

function fromDeclared(bytes: Buffer, declared: string | undefined): Buffer {
  if (declared === undefined) return validUtf8(bytes, 0);
  const label = declared.trim().toLowerCase();
  if (ASCII_LABELS.has(label)) {
    if (!isAscii(bytes)) {
      const at = bytes.findIndex((byte) => byte >= 0x80);
      throw new InputError(
        "bad-encoding",
        `the file says it is ${declared}, but byte offset ${at} is not ASCII`,
      );
    }
    return withoutNul(bytes);
  }
  if (LATIN1_LABELS.has(label)) {
    return isAscii(bytes) ? withoutNul(bytes) : transcode(withoutNul(bytes), "latin1", "utf8");
  }
  const decoder = decoderFor(label);
  if (!decoder) {
    throw new InputError("bad-encoding", `unknown encoding "${declared.slice(0, 40)}"`);
  }
  // A file that says UTF-16 in 8-bit letters was saved anew as UTF-8 and kept its old declaration.
  if (decoder.encoding.startsWith("utf-")) return validUtf8(bytes, 0);
  withoutNul(bytes);
  if (decoder.encoding === "windows-1252") return inChunks(bytes, fromWindows1252);
  return inChunks(bytes, (chunk, offset) => {
    try {
      return decoder.decode(chunk, { stream: offset + chunk.length < bytes.length });
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      throw new InputError(
        "bad-encoding",
        `not valid ${declared} between byte offsets ${offset} and ${offset + chunk.length}`,
        { cause: error },
      );
    }
  });
}

/** Undefined for a label that nobody knows. */
function decoderFor(label: string): TextDecoder | undefined {
  try {
    return new TextDecoder(label, { fatal: true });
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

function fromWindows1252(chunk: Buffer): string {
  const units = Buffer.alloc(chunk.length * 2);
  for (let k = 0; k < chunk.length; k++) {
    const byte = chunk[k] ?? 0;
    const special = byte >= 0x80 && byte < 0xa0;
    units.writeUInt16LE(special ? WINDOWS_1252.charCodeAt(byte - 0x80) : byte, k * 2);
  }
  return units.toString("utf16le");
}

function inChunks(bytes: Buffer, decode: (chunk: Buffer, offset: number) => string): Buffer {
  const decoded: Buffer[] = [];
  for (let offset = 0; offset < bytes.length; offset += CHUNK_BYTES) {
    decoded.push(Buffer.from(decode(bytes.subarray(offset, offset + CHUNK_BYTES), offset), "utf8"));
  }
  return Buffer.concat(decoded);
}

function fromUtf16(bytes: Buffer, start: number, order: "little" | "big"): Buffer {
  if (bytes.length % 2 !== 0) {
    throw new InputError(
      "bad-encoding",
      `the file is in UTF-16 but ends inside a character, at byte offset ${bytes.length - 1}`,
    );
  }
  // A copy also for little endian: the units are then aligned in memory, as transcoding needs them.
  const units = Buffer.from(bytes.subarray(start));
  if (order === "big") units.swap16();
  const nul = units.indexOf("\0", 0, "utf16le");
  if (nul >= 0) throw nulAt(start + nul);
  const lone = firstLoneSurrogate(units);
  if (lone >= 0) {
    throw new InputError("bad-encoding", `not valid UTF-16 at byte offset ${start + lone}`);
  }
  return transcode(units, "utf16le", "utf8");
}

/** Byte offset of the first half of a pair without the other; -1 when all are paired. */
function firstLoneSurrogate(units: Buffer): number {
  for (let at = 0; at < units.length; at += 2) {
    const high = (units[at + 1] ?? 0) & 0xfc;
    if (high === 0xdc) return at;
    if (high !== 0xd8) continue;
    if (((units[at + 3] ?? 0) & 0xfc) !== 0xdc) return at;
    at += 2;
  }
  return -1;
}

function validUtf8(bytes: Buffer, start: number): Buffer {
  if (!isUtf8(bytes)) {
    throw new InputError(
      "bad-encoding",
      `not valid UTF-8 at byte offset ${firstInvalidUtf8(bytes)}`,
    );
  }
  return withoutNul(bytes).subarray(start);
}

function withoutNul(bytes: Buffer): Buffer {
  const at = bytes.indexOf(0);
  if (at >= 0) throw nulAt(at);
  return bytes;
}

function nulAt(offset: number): InputError {
  return new InputError("bad-encoding", `a NUL character at byte offset ${offset}`);
}

/**
 * Where a text stops being UTF-8; its length when nothing is wrong. Called for the message only,
 * the check itself is `isUtf8`. The bounds are table 3-7 of the Unicode Standard.
 */
function firstInvalidUtf8(bytes: Buffer): number {
  let at = 0;
  while (at < bytes.length) {
    const lead = bytes[at] ?? 0;
    const length = lead < 0x80 ? 1 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
    if ((lead >= 0x80 && lead < 0xc2) || lead > 0xf4) return at;
    const second = bytes[at + 1] ?? 0;
    const lowest = lead === 0xe0 ? 0xa0 : lead === 0xf0 ? 0x90 : 0x80;
    const highest = lead === 0xed ? 0x9f : lead === 0xf4 ? 0x8f : 0xbf;
    if (length > 1 && (second < lowest || second > highest)) return at;
    for (let k = 2; k < length; k++) if (((bytes[at + k] ?? 0) & 0xc0) !== 0x80) return at;
    at += length;
  }
  return at;
}
