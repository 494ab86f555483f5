import { isUtf8 } from "node:buffer";
import { crc32, inflateRawSync } from "node:zlib";
import { SaxesParser } from "saxes";
import type { Entry, LocalFileHeader, ZipFile } from "yauzl";
import { InputError } from "../model/input-error.js";
import { toUtf8 } from "./encoding.js";

/** How much a reader takes in, of the file and again of what is unpacked from it. */
export interface ReadLimits {
  readonly maxBytes: number;
}

/** An archive that was opened: its entries by name, more than one where a name is used twice. */
interface OpenArchive {
  readonly bytes: Buffer;
  readonly zip: ZipFile;
  readonly entries: ReadonlyMap<string, readonly Entry[]>;
}

const CONTAINER = "META-INF/container.xml";
const MAX_CONTAINER_BYTES = 256 * 1024;
const MAX_ENTRIES = 10_000;

/** Media type of uncompressed MusicXML (MusicXML 4.0, container reference). */
const MUSICXML_TYPE = "application/vnd.recordare.musicxml+xml";

/** Deflate spends at least two bits on a match, and a match is at most 258 bytes (RFC 1951). */
const MAX_DEFLATE_RATIO = 258 * 4;

/** Flag of the zip format: the name is in UTF-8. */
const UTF8_NAME = 0x800;

/** Numbers of the zip format for how an entry is compressed. */
const STORED = 0;
const DEFLATED = 8;

/** Whether the content begins as a zip file does, including one without entries. */
export function isZip(bytes: Uint8Array): boolean {
  const [b0, b1, b2, b3] = bytes;
  return b0 === 0x50 && b1 === 0x4b && ((b2 === 3 && b3 === 4) || (b2 === 5 && b3 === 6));
}

/** A size for a message: `256 MiB`, or bytes where it is not a round number of them. */
export function sizeText(bytes: number): string {
  const mebibytes = bytes / (1024 * 1024);
  return Number.isInteger(mebibytes) ? `${mebibytes} MiB` : `${bytes} bytes`;
}

/**
 * Unpacks the score of a compressed MusicXML file, in memory and never more than the limit.
 *
 * The score is the first rootfile of META-INF/container.xml that is MusicXML. Archives without
 * that file are not to the standard, but common enough: there the only score at the top counts.
 *
 * @returns the score as stored, in whatever encoding
 * @throws InputError `bad-archive`, `encrypted-archive`, `unsafe-path-in-archive`,
 *   `no-score-in-archive`, `too-large`, or, for the container file, `entity-declaration` and
 *   `bad-encoding`; the message names the entry
 */
export async function scoreFromArchive(bytes: Buffer, limits: ReadLimits): Promise<Buffer> {
  const archive = await openArchive(bytes);
  if (!archive.entries.has(CONTAINER)) {
    return readEntry(archive, onlyScoreAtTop(archive), limits.maxBytes);
  }
  const path = rootfilePath(await readEntry(archive, CONTAINER, MAX_CONTAINER_BYTES));
  if (!archive.entries.has(path)) {
    throw new InputError(
      "no-score-in-archive",
      `${CONTAINER} names ${quoted(path)}, which is not in the archive`,
    );
  }
  return readEntry(archive, path, limits.maxBytes);
}

async function openArchive(bytes: Buffer): Promise<OpenArchive> {
  // The default export: bundled, a CommonJS package has no named ones when imported at run time.
  const { fromBufferPromise, getFileNameLowLevel } = (await import("yauzl")).default;
  const directory: Entry[] = [];
  let zip: ZipFile;
  try {
    // Names come as bytes and sizes unchecked: both are checked here, with the entry in the message.
    zip = await fromBufferPromise(bytes, { decodeStrings: false, validateEntrySizes: false });
    if (zip.entryCount > MAX_ENTRIES) {
      throw new InputError(
        "bad-archive",
        `the archive has ${zip.entryCount} entries, more than the ${MAX_ENTRIES} allowed`,
      );
    }
    for await (const entry of zip.eachEntry()) directory.push(entry);
  } catch (error) {
    // Whatever the zip reader throws, the archive is the reason: nothing else is done here.
    if (error instanceof InputError || !(error instanceof Error)) throw error;
    throw damagedDirectory(error, directory.length);
  }
  const entries = new Map<string, Entry[]>();
  for (const entry of directory) {
    const raw = entry.fileNameRaw;
    // MusicXML wants UTF-8 names; the flag that says so is often forgotten.
    const flags = entry.generalPurposeBitFlag | (isUtf8(raw) ? UTF8_NAME : 0);
    const name = getFileNameLowLevel(flags, raw, entry.extraFields, true);
    refuseUnsafe(name, "the archive has an entry");
    const same = entries.get(name);
    if (same) same.push(entry);
    else entries.set(name, [entry]);
  }
  return { bytes, zip, entries };
}

function damagedDirectory(error: Error, entriesRead: number): InputError {
  const at = entriesRead === 0 ? "" : ` after entry ${entriesRead}`;
  // Strong encryption stops the zip reader before an entry is known.
  return /encrypt/i.test(error.message)
    ? new InputError(
        "encrypted-archive",
        `the archive is encrypted${at}: save it again without a password`,
        { cause: error },
      )
    : new InputError("bad-archive", `the archive is damaged${at}: ${firstSentence(error)}`, {
        cause: error,
      });
}

function onlyScoreAtTop(archive: OpenArchive): string {
  // A name that begins with a dot is a system's own note about another file.
  const scores = [...archive.entries.keys()].filter((name) =>
    /^[^./][^/]*\.(?:musicxml|xml)$/i.test(name),
  );
  const [only] = scores;
  if (only !== undefined && scores.length === 1) return only;
  throw new InputError(
    "no-score-in-archive",
    only === undefined
      ? `the archive has neither ${CONTAINER} nor a MusicXML file at its top`
      : `the archive has no ${CONTAINER} to choose between ${scores.slice(0, 3).map(quoted).join(", ")}${scores.length > 3 ? " and others" : ""}`,
  );
}

/** The full-path of the first MusicXML `<rootfile>`. */
function rootfilePath(xml: Buffer): string {
  let path: string | undefined;
  const types: string[] = [];
  const parser = new SaxesParser({ position: false, xmlns: false } as const);
  parser.on("doctype", (doctype) => {
    // The standard's own document type is named and never fetched; declarations are refused.
    if (doctype.replace(/"[^"]*"|'[^']*'/g, "").includes("[")) {
      throw new InputError(
        "entity-declaration",
        `${CONTAINER} declares its own types or entities, which are refused for safety`,
      );
    }
  });
  parser.on("opentag", ({ name, attributes }) => {
    if (name !== "rootfile" || path !== undefined) return;
    const type = (attributes["media-type"] ?? MUSICXML_TYPE).trim().toLowerCase();
    if (type === MUSICXML_TYPE) path = (attributes["full-path"] ?? "").trim();
    else types.push(type);
  });
  parser.on("error", (error) => {
    throw new InputError(
      "bad-archive",
      `${CONTAINER} is not well-formed XML: ${firstSentence(error)}`,
      { cause: error },
    );
  });
  parser.write(containerText(xml)).close();
  if (path === undefined || path === "") {
    const listed = types.length === 0 ? "" : `, only ${types.slice(0, 3).map(quoted).join(", ")}`;
    throw new InputError(
      "no-score-in-archive",
      `${CONTAINER} lists no MusicXML rootfile with a path${listed}`,
    );
  }
  refuseUnsafe(path, `${CONTAINER} names a file`);
  return path.replace(/^(?:\.\/)+/, "");
}

function containerText(xml: Buffer): string {
  try {
    return toUtf8(xml).toString("utf8");
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.code, `${CONTAINER}: ${error.message}`, { cause: error });
  }
}

/**
 * One entry, unpacked. What is unpacked is bounded by the size the entry declares, and that size
 * by the limit and by what deflate can do at all; so a lie costs no more than the truth.
 */
async function readEntry(archive: OpenArchive, name: string, maxBytes: number): Promise<Buffer> {
  const [entry, second] = archive.entries.get(name) ?? [];
  const what = `${quoted(name)} in the archive`;
  const damaged = (reason: string, cause?: unknown) =>
    new InputError("bad-archive", `${what} ${reason}`, { cause });
  if (!entry) throw damaged("is missing");
  if (second) throw damaged("is there twice");
  if (entry.isEncrypted()) {
    throw new InputError(
      "encrypted-archive",
      `${what} is encrypted: save it again without a password`,
    );
  }
  const { compressionMethod, compressedSize, uncompressedSize } = entry;
  if (compressionMethod !== STORED && compressionMethod !== DEFLATED) {
    throw damaged(`is compressed by method ${compressionMethod}, MusicXML wants deflate`);
  }
  let local: LocalFileHeader;
  try {
    local = await archive.zip.readLocalFileHeaderPromise(entry);
  } catch (error) {
    if (!(error instanceof Error)) throw error;
    throw damaged(`cannot be found: ${firstSentence(error)}`, error);
  }
  if (!local.fileName.equals(entry.fileNameRaw)) {
    throw damaged(`is called ${quoted(local.fileName.toString("utf8"))} where its data are`);
  }
  const ratio = compressionMethod === DEFLATED ? MAX_DEFLATE_RATIO : 1;
  if (
    uncompressedSize > compressedSize * ratio ||
    (compressionMethod === STORED && uncompressedSize !== compressedSize)
  ) {
    throw damaged(
      `declares ${uncompressedSize} bytes, which its ${compressedSize} bytes cannot hold`,
    );
  }
  if (uncompressedSize > maxBytes) {
    throw new InputError(
      "too-large",
      `${what} unpacks to ${sizeText(uncompressedSize)}, more than the limit of ${sizeText(maxBytes)}`,
    );
  }
  const data = archive.bytes.subarray(local.fileDataStart, local.fileDataStart + compressedSize);
  const content = compressionMethod === DEFLATED ? inflate(data, uncompressedSize, damaged) : data;
  if (content.length !== uncompressedSize) {
    throw damaged(`unpacks to ${content.length} bytes, not the ${uncompressedSize} it declares`);
  }
  if (crc32(content) !== entry.crc32) {
    throw damaged("is damaged: its checksum does not match");
  }
  return content;
}

function inflate(
  data: Buffer,
  declared: number,
  damaged: (reason: string, cause: unknown) => InputError,
): Buffer {
  try {
    return inflateRawSync(data, {
      maxOutputLength: Math.max(1, declared),
      // One output buffer with room to see the first byte too many; 64 is zlib's least.
      chunkSize: Math.max(64, declared + 1),
    });
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    if (code === "ERR_BUFFER_TOO_LARGE") {
      throw damaged(`unpacks to more than the ${declared} bytes it declares`, error);
    }
    if (code.startsWith("Z_") && error instanceof Error) {
      throw damaged(`is damaged: ${error.message}`, error);
    }
    throw error;
  }
}

/** Nothing is ever written, but a path that tries to climb out is no score's. */
function refuseUnsafe(path: string, owner: string): void {
  const trick = path.includes("\0")
    ? "a NUL character"
    : path.includes("\\")
      ? "a backslash"
      : path.startsWith("/")
        ? "an absolute path"
        : /^[a-z]:/i.test(path)
          ? "a drive letter"
          : path.split("/").includes("..")
            ? "a step out of the archive"
            : undefined;
  if (trick === undefined) return;
  throw new InputError(
    "unsafe-path-in-archive",
    `${owner} with ${trick} in its name: ${quoted(path)}`,
  );
}

function quoted(text: string): string {
  return text.length > 80 ? `"${text.slice(0, 77)}..."` : `"${text}"`;
}

/** The zip reader's own words without its guesses at the reason. */
function firstSentence(error: Error): string {
  return error.message.split(". ")[0]?.replace(/\.$/, "") ?? "";
}
