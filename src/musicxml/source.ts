import { InputError } from "../model/input-error.js";
import { isZip, scoreFromArchive, type ReadLimits } from "./archive.js";
import { toUtf8 } from "./encoding.js";
import { DEFAULT_LIMITS, readFileBytes, systemFailure, tooLarge } from "./file-bytes.js";

export type { ReadLimits } from "./archive.js";

/** A document that was read: UTF-8 XML without byte order mark, not yet parsed. */
export interface ScoreSource {
  /** As the player gave it, for messages. */
  readonly name: string;
  readonly bytes: Buffer;
}

const EXPORT = "export the part as MusicXML first";
const UNPACK = "unpack it first";

/** Files that get here by mistake, by how they begin (one character a byte). */
const SIGNATURES: readonly (readonly [start: string, what: string, advice: string])[] = [
  ["%PDF-", "a PDF", EXPORT],
  ["%!PS", "a PostScript file", EXPORT],
  ["MThd", "a MIDI file", EXPORT],
  ["\x89PNG", "a picture", EXPORT],
  ["\xff\xd8\xff", "a picture", EXPORT],
  ["GIF8", "a picture", EXPORT],
  ["II*\0", "a picture", EXPORT],
  ["MM\0*", "a picture", EXPORT],
  ["ID3", "a sound recording", EXPORT],
  ["fLaC", "a sound recording", EXPORT],
  ["OggS", "a sound recording", EXPORT],
  ["RIFF", "a MIDI or sound file", EXPORT],
  ["{\\rtf", "a word processor's document", EXPORT],
  ["\xd0\xcf\x11\xe0", "an office document", EXPORT],
  ["\x1f\x8b", "a gzip file", UNPACK],
  ["BZh", "a compressed file of another kind", UNPACK],
  ["\xfd7zXZ\0", "a compressed file of another kind", UNPACK],
  ["\x28\xb5\x2f\xfd", "a compressed file of another kind", UNPACK],
  ["7z\xbc\xaf\x27\x1c", "an archive of another kind", UNPACK],
  ["Rar!", "an archive of another kind", UNPACK],
  ["PK\x03\x04", "itself an archive", UNPACK],
  ["PK\x07\x08", "a piece of a split archive", UNPACK],
];

/** What a score is called in messages, by where it was found. */
const OUTSIDE = { empty: "the file", kind: "this" };
const IN_ARCHIVE = { empty: "the score in the archive", kind: "the score in the archive" };

/**
 * Reads a MusicXML file, plain or compressed.
 * @throws InputError `not-found`, `not-a-file`, `unreadable`, and all that {@link decodeScore} throws
 */
export async function readScoreFile(
  path: string,
  limits: ReadLimits = DEFAULT_LIMITS,
): Promise<ScoreSource> {
  return decodeScore(readFileBytes(path, limits), path, limits);
}

/**
 * Reads a MusicXML document, plain or compressed, from a stream such as standard input.
 * A stream that exceeds the limit is left at once and closed.
 * @throws InputError `unreadable`, and all that {@link decodeScore} throws
 */
export async function readScoreStream(
  stream: AsyncIterable<Uint8Array>,
  name: string,
  limits: ReadLimits = DEFAULT_LIMITS,
): Promise<ScoreSource> {
  const chunks: Uint8Array[] = [];
  let length = 0;
  try {
    for await (const chunk of stream) {
      length += chunk.length;
      if (length > limits.maxBytes) throw tooLarge(limits);
      chunks.push(chunk);
    }
  } catch (error) {
    throw error instanceof InputError ? error : systemFailure(error);
  }
  return decodeScore(Buffer.concat(chunks, length), name, limits);
}

/**
 * Unpacks and decodes what was read. The content decides what a file is, not its name.
 * @throws InputError `empty`, `too-large`, `unknown-format`, `bad-encoding`, and all that
 *   {@link scoreFromArchive} throws
 */
export async function decodeScore(
  bytes: Buffer,
  name: string,
  limits: ReadLimits = DEFAULT_LIMITS,
): Promise<ScoreSource> {
  if (bytes.length > limits.maxBytes) throw tooLarge(limits, bytes.length);
  if (!isZip(bytes)) return { name, bytes: decodeXml(bytes, OUTSIDE) };
  return { name, bytes: decodeXml(await scoreFromArchive(bytes, limits), IN_ARCHIVE) };
}

function decodeXml(bytes: Buffer, called: typeof OUTSIDE): Buffer {
  if (firstInk(bytes) === bytes.length) throw new InputError("empty", `${called.empty} is empty`);
  if (!mayBeXml(bytes)) throw unknownFormat(bytes, called);
  const utf8 = toUtf8(bytes);
  // Text in UTF-16 shows only now whether it is XML.
  const start = firstInk(utf8);
  if (start === utf8.length) throw new InputError("empty", `${called.empty} is empty`);
  if (utf8[start] !== 0x3c) throw unknownFormat(utf8, called);
  return utf8;
}

/** Offset of the first character that is not blank, after a UTF-8 byte order mark. */
function firstInk(bytes: Buffer): number {
  let at = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0;
  while (at < bytes.length && isBlank(bytes[at])) at++;
  return at;
}

/** The four blanks of XML: space, line feed, carriage return, tab. */
function isBlank(byte: number | undefined): boolean {
  return byte === 0x20 || byte === 0x0a || byte === 0x0d || byte === 0x09;
}

/** A `<` in any encoding, or the byte order mark of one that is wider than a byte. */
function mayBeXml(bytes: Buffer): boolean {
  const [b0, b1, b2, b3] = bytes;
  return (
    bytes[firstInk(bytes)] === 0x3c ||
    (b0 === 0xff && b1 === 0xfe) ||
    (b0 === 0xfe && b1 === 0xff) ||
    (b0 === 0 && b1 === 0x3c) ||
    (b0 === 0 && b1 === 0 && ((b2 === 0xfe && b3 === 0xff) || (b2 === 0 && b3 === 0x3c)))
  );
}

function unknownFormat(bytes: Buffer, called: typeof OUTSIDE): InputError {
  const head = bytes.toString("latin1", 0, 1024);
  const known = SIGNATURES.find(([start]) => head.startsWith(start));
  if (known) {
    const [, what, advice] = known;
    return new InputError("unknown-format", `${called.kind} is ${what}, not MusicXML: ${advice}`);
  }
  // Control characters that no text has; a notation program's own format is full of them.
  const binary = /[\0-\x08\x0e-\x1f]/.test(head);
  return new InputError(
    "unknown-format",
    binary
      ? `${called.kind} is a binary file, not MusicXML: if a notation program wrote it, ${EXPORT}`
      : `${called.kind} is text, but not MusicXML: ${EXPORT}`,
  );
}
