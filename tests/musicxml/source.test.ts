import { execFileSync } from "node:child_process";
import { chmodSync, mkdtempSync, rmSync, symlinkSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable } from "node:stream";
import { gzipSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import { DEFAULT_LIMITS } from "../../src/musicxml/file-bytes.js";
import {
  decodeScore,
  readScoreFile,
  readScoreStream,
  type ScoreSource,
} from "../../src/musicxml/source.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { container, zip } from "../support/zip.js";

const SCORE = '<?xml version="1.0"?><score-partwise version="4.0"><!-- Sol♯ --></score-partwise>';
const COMPRESSED = zip([container('full-path="s.xml"'), { name: "s.xml", data: SCORE }]);

async function refusal(read: Promise<ScoreSource>): Promise<{ code: string; message: string }> {
  try {
    await read;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { code: error.code, message: error.message };
  }
  throw new Error("was not refused");
}

describe("decodeScore", () => {
  it.each([
    ["plain", Buffer.from(SCORE)],
    ["compressed", COMPRESSED],
    ["with byte order mark", Buffer.from(`\ufeff${SCORE}`)],
    ["UTF-16", Buffer.from(`\ufeff${SCORE}`, "utf16le")],
    [
      "compressed UTF-16",
      zip([
        container('full-path="s.xml"'),
        { name: "s.xml", data: Buffer.from(SCORE, "utf16le").swap16() },
      ]),
    ],
  ])("reads a score by its content: %s", async (_, bytes) => {
    const source = await decodeScore(bytes, "any.name");
    expect(source.name).toBe("any.name");
    expect(source.bytes.toString("utf8")).toBe(SCORE);
  });

  it("tolerates blank lines before the document", async () => {
    expect((await decodeScore(Buffer.from(`\r\n\t ${SCORE}`), "x")).bytes.toString()).toContain(
      SCORE,
    );
  });

  it.each([
    ["no bytes", ""],
    ["blanks", " \r\n\t"],
    ["a byte order mark", "\ufeff"],
  ])("refuses a file of %s", async (_, text) => {
    const answer = { code: "empty", message: "the file is empty" };
    expect(await refusal(decodeScore(Buffer.from(text), "x"))).toEqual(answer);
  });

  it("refuses UTF-16 without a letter", async () => {
    const answer = { code: "empty", message: "the file is empty" };
    for (const text of ["\ufeff", "\ufeff \n"]) {
      expect(await refusal(decodeScore(Buffer.from(text, "utf16le"), "x"))).toEqual(answer);
    }
  });

  const EXPORT = "export the part as MusicXML first";
  it.each([
    ["%PDF-1.7\n%\xe2\xe3", `a PDF, not MusicXML: ${EXPORT}`],
    ["%!PS-Adobe-3.0", `a PostScript file, not MusicXML: ${EXPORT}`],
    ["MThd\0\0\0\x06", `a MIDI file, not MusicXML: ${EXPORT}`],
    ["RIFF\0\0\0\0RMID", `a MIDI or sound file, not MusicXML: ${EXPORT}`],
    ["\x89PNG\r\n\x1a\n", `a picture, not MusicXML: ${EXPORT}`],
    ["\xff\xd8\xff\xe0", `a picture, not MusicXML: ${EXPORT}`],
    ["ID3\x03", `a sound recording, not MusicXML: ${EXPORT}`],
    ["\xd0\xcf\x11\xe0\xa1\xb1", `an office document, not MusicXML: ${EXPORT}`],
    [gzipSync(SCORE).toString("latin1"), "a gzip file, not MusicXML: unpack it first"],
    ["7z\xbc\xaf\x27\x1c", "an archive of another kind, not MusicXML: unpack it first"],
    ["PK\x07\x08", "a piece of a split archive, not MusicXML: unpack it first"],
    [
      "\x0fNOTATION\0\x01\x02",
      `a binary file, not MusicXML: if a notation program wrote it, ${EXPORT}`,
    ],
    ["\0".repeat(100), `a binary file, not MusicXML: if a notation program wrote it, ${EXPORT}`],
    ["X:1\nT:Muta\nK:A\n", `text, but not MusicXML: ${EXPORT}`],
    ["\xef\xbb\xbf{}", `text, but not MusicXML: ${EXPORT}`],
  ])("says what %j is, and what to do", async (content, rest) => {
    const bytes = Buffer.from(content, "latin1");
    expect(await refusal(decodeScore(bytes, "score.musicxml"))).toEqual({
      code: "unknown-format",
      message: `this is ${rest}`,
    });
  });

  it("says so of text in UTF-16, too", async () => {
    expect(await refusal(decodeScore(Buffer.from("\ufeffX:1", "utf16le"), "x"))).toEqual({
      code: "unknown-format",
      message: `this is text, but not MusicXML: ${EXPORT}`,
    });
  });

  it.each<[string, string | Buffer, string, string]>([
    ["a PDF", "%PDF-1.7", "unknown-format", `is a PDF, not MusicXML: ${EXPORT}`],
    [
      "an archive",
      COMPRESSED,
      "unknown-format",
      "is itself an archive, not MusicXML: unpack it first",
    ],
    ["nothing", "", "empty", "is empty"],
  ])("refuses an archive whose score is %s", async (_, data, code, rest) => {
    const bytes = zip([container('full-path="s.xml"'), { name: "s.xml", data }]);
    expect(await refusal(decodeScore(bytes, "x.mxl"))).toEqual({
      code,
      message: `the score in the archive ${rest}`,
    });
  });

  it("passes on what is wrong with the encoding or the archive", async () => {
    expect(await refusal(decodeScore(Buffer.from("<a>\xe9</a>", "latin1"), "x"))).toEqual({
      code: "bad-encoding",
      message: "not valid UTF-8 at byte offset 3",
    });
    expect(await refusal(decodeScore(COMPRESSED.subarray(0, -1), "x"))).toEqual({
      code: "bad-archive",
      message: "the archive is damaged: End of central directory record signature not found",
    });
    expect((await refusal(decodeScore(Buffer.from([0, 0, 0xfe, 0xff]), "x"))).message).toBe(
      "the file is in UTF-32, which is not supported",
    );
  });

  it("applies the limit before and after unpacking", async () => {
    const maxBytes = Buffer.byteLength(SCORE);
    expect((await decodeScore(Buffer.from(SCORE), "x", { maxBytes })).bytes).toHaveLength(maxBytes);
    expect(await refusal(decodeScore(Buffer.from(`${SCORE} `), "x", { maxBytes }))).toEqual({
      code: "too-large",
      message: `the file has ${maxBytes + 1} bytes, more than the limit of ${maxBytes} bytes`,
    });
    const long = zip([container('full-path="s.xml"'), { name: "s.xml", data: SCORE.padEnd(5000) }]);
    expect(await refusal(decodeScore(long, "x", { maxBytes: 4000 }))).toEqual({
      code: "too-large",
      message: '"s.xml" in the archive unpacks to 5002 bytes, more than the limit of 4000 bytes',
    });
  });
});

describe("readScoreFile", () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "muta-source-"));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });

  function file(name: string, content: string | Buffer): string {
    const path = join(folder, name);
    writeFileSync(path, content);
    return path;
  }

  it("reads plain and compressed scores, whatever they are called", async () => {
    const plain = file("plain.mxl", SCORE);
    const compressed = file("Märsche & mehr.xml", COMPRESSED);
    expect(await readScoreFile(plain)).toEqual({ name: plain, bytes: Buffer.from(SCORE) });
    expect(await readScoreFile(compressed)).toEqual({
      name: compressed,
      bytes: Buffer.from(SCORE),
    });
  });

  it("follows links", async () => {
    const link = join(folder, "link.xml");
    symlinkSync(file("target.xml", SCORE), link);
    expect((await readScoreFile(link)).bytes.toString()).toBe(SCORE);
  });

  it.each([
    ["a missing file", "missing.xml"],
    ["a file in a missing folder", "missing/score.xml"],
    ["a file inside a file", "inside.xml/score.xml"],
    ["a name no file can have", "nul\0.xml"],
  ])("refuses %s", async (_, name) => {
    file("inside.xml", SCORE);
    expect(await refusal(readScoreFile(join(folder, name)))).toEqual({
      code: "not-found",
      message: "no such file",
    });
  });

  it("refuses a folder", async () => {
    expect(await refusal(readScoreFile(folder))).toEqual({
      code: "not-a-file",
      message: "this is a folder, not a file",
    });
  });

  it.skipIf(process.platform === "win32")("refuses a pipe without waiting for it", async () => {
    const pipe = join(folder, "pipe");
    execFileSync("mkfifo", [pipe]);
    expect(await refusal(readScoreFile(pipe))).toEqual({
      code: "not-a-file",
      message: "this is a pipe, not a file: give - to read from standard input",
    });
  });

  it.skipIf(process.platform === "win32")("refuses a device", async () => {
    expect(await refusal(readScoreFile("/dev/zero"))).toEqual({
      code: "not-a-file",
      message: "this is a device or socket, not a file",
    });
  });

  // The superuser may read everything, so there is nothing to refuse.
  it.skipIf(process.platform === "win32" || process.getuid?.() === 0)(
    "refuses a file it may not read",
    async () => {
      const path = file("secret.xml", SCORE);
      chmodSync(path, 0);
      expect(await refusal(readScoreFile(path))).toEqual({
        code: "unreadable",
        message: "no permission to read it",
      });
    },
  );

  it.skipIf(process.platform === "win32")("names what else the system refuses", async () => {
    const loop = join(folder, "loop.xml");
    symlinkSync(loop, loop);
    expect(await refusal(readScoreFile(loop))).toEqual({
      code: "unreadable",
      message: "it cannot be read (ELOOP)",
    });
  });

  it("refuses an empty file", async () => {
    expect(await refusal(readScoreFile(file("empty.xml", "")))).toEqual({
      code: "empty",
      message: "the file is empty",
    });
  });

  it("refuses a file over the limit by its size alone", async () => {
    const path = file("huge.xml", "");
    // Sparse: it takes no room on the disk.
    truncateSync(path, DEFAULT_LIMITS.maxBytes + 1024 * 1024);
    const startedAt = performance.now();
    expect(await refusal(readScoreFile(path))).toEqual({
      code: "too-large",
      message: "the file has 257 MiB, more than the limit of 256 MiB",
    });
    expect(performance.now() - startedAt).toBeLessThan(500);
  });
});

describe("readScoreStream", () => {
  it.each([
    ["plain", Buffer.from(SCORE)],
    ["compressed", COMPRESSED],
  ])("reads a score in pieces: %s", async (_, bytes) => {
    const pieces = Array.from(bytes, (byte) => Uint8Array.of(byte));
    const source = await readScoreStream(Readable.from(pieces), "standard input");
    expect(source.name).toBe("standard input");
    expect(source.bytes.toString("utf8")).toBe(SCORE);
  });

  it("refuses an empty stream", async () => {
    expect(await refusal(readScoreStream(Readable.from([]), "-"))).toEqual({
      code: "empty",
      message: "the file is empty",
    });
  });

  it("leaves an endless stream at the limit and closes it", async () => {
    let given = 0;
    let closed = false;
    async function* endless(): AsyncGenerator<Uint8Array> {
      try {
        for (;;) {
          given += 1000;
          yield await Promise.resolve(Buffer.alloc(1000, "<"));
        }
      } finally {
        closed = true;
      }
    }
    expect(await refusal(readScoreStream(endless(), "-", { maxBytes: 5500 }))).toEqual({
      code: "too-large",
      message: "the input is more than the limit of 5500 bytes",
    });
    expect(given).toBe(6000);
    expect(closed).toBe(true);
  });

  it.each([
    ["EISDIR", "not-a-file", "this is a folder, not a file"],
    ["EACCES", "unreadable", "no permission to read it"],
    ["EIO", "unreadable", "it cannot be read (EIO)"],
  ])("says in plain words what the system means by %s", async (system, code, message) => {
    const stream = new Readable({
      read() {
        this.destroy(Object.assign(new Error("read"), { code: system }));
      },
    });
    expect(await refusal(readScoreStream(stream, "-"))).toEqual({ code, message });
  });

  it("turns the system's failure into an input error, and leaves a bug a bug", async () => {
    function failing(error: Error): Readable {
      return new Readable({
        read() {
          this.destroy(error);
        },
      });
    }
    const broken = Object.assign(new Error("read EIO"), { code: "EIO" });
    const read = readScoreStream(failing(broken), "-");
    await expect(read).rejects.toHaveProperty("cause", broken);
    const bug = new Error("bug");
    await expect(readScoreStream(failing(bug), "-")).rejects.toBe(bug);
  });
});

describeCorpus("the corpus", () => {
  it.each(corpusScores())("$name is read whole", async ({ path }) => {
    const { bytes } = await readScoreFile(path);
    const text = bytes.toString("utf8");
    expect(text.startsWith("<?xml")).toBe(true);
    expect(text.trimEnd().endsWith("</score-partwise>")).toBe(true);
  });
});
