import { crc32, deflateRawSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import { isZip, scoreFromArchive, sizeText } from "../../src/musicxml/archive.js";
import {
  container,
  deflatedZeros,
  ENCRYPTED,
  STRONG_ENCRYPTION,
  zip,
  type ZipEntry,
} from "../support/zip.js";

const SCORE = `<score-partwise version="4.0">${"<!-- muta in La -->".repeat(20)}</score-partwise>`;
const TO_SCORE = container('full-path="score.xml"');
const LIMITS = { maxBytes: 1024 * 1024 };

async function read(bytes: Buffer, limits = LIMITS): Promise<string> {
  return (await scoreFromArchive(bytes, limits)).toString("utf8");
}

async function refusal(bytes: Buffer, limits = LIMITS): Promise<{ code: string; message: string }> {
  try {
    await scoreFromArchive(bytes, limits);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { code: error.code, message: error.message };
  }
  throw new Error("was not refused");
}

/** An archive with one score, described by what is odd about it. */
function withScore(odd: Partial<ZipEntry>): Buffer {
  return zip([TO_SCORE, { name: "score.xml", data: SCORE, ...odd }]);
}

function containerText(data: string | Buffer): ZipEntry {
  return { name: "META-INF/container.xml", data };
}

describe("isZip", () => {
  it.each([
    [zip([TO_SCORE]), true],
    [zip([]), true],
    [Buffer.from("PK is not enough"), false],
    [Buffer.from("PK"), false],
    [Buffer.alloc(0), false],
  ])("%#", (bytes, expected) => {
    expect(isZip(bytes)).toBe(expected);
  });
});

describe("scoreFromArchive: where the score is", () => {
  it.each([false, true])("follows the container, stored: %s", async (stored) => {
    const bytes = zip([
      { name: "mimetype", data: "application/vnd.recordare.musicxml", stored: true },
      TO_SCORE,
      { name: "other.xml", data: "<other/>" },
      { name: "score.xml", data: SCORE, stored },
    ]);
    expect(await read(bytes)).toBe(SCORE);
  });

  it.each([
    ["in a folder", "parts/clarinet.musicxml", "parts/clarinet.musicxml"],
    ["with a leading ./", "./score.xml", "score.xml"],
    ["with blanks around", " score.xml ", "score.xml"],
    ["with escaped characters", "Allegro &amp; Adagio.xml", "Allegro & Adagio.xml"],
    ["outside ASCII, without the flag for it", "Trauermärsche № 1.xml", "Trauermärsche № 1.xml"],
    ["with dots that are no step", "op..98...xml", "op..98...xml"],
  ])("finds a score %s", async (_, path, name) => {
    expect(await read(zip([container(`full-path="${path}"`), { name, data: SCORE }]))).toBe(SCORE);
  });

  it("finds a name in the zip format's old character set", async () => {
    const bytes = zip([
      container('full-path="Märsche.xml"'),
      { name: Buffer.from("M\x84rsche.xml", "latin1"), data: SCORE },
    ]);
    expect(await read(bytes)).toBe(SCORE);
  });

  it("takes the first rootfile that is MusicXML", async () => {
    const type = "application/vnd.recordare.musicxml+xml";
    const bytes = zip([
      container(
        'full-path="score.pdf" media-type="application/pdf"',
        `full-path="score.xml" media-type="${type.toUpperCase()}"`,
        `full-path="part.xml" media-type="${type}"`,
        'full-path="third.xml"',
      ),
      { name: "score.pdf", data: "%PDF-1.7" },
      { name: "part.xml", data: "<part/>" },
      { name: "score.xml", data: SCORE },
    ]);
    expect(await read(bytes)).toBe(SCORE);
  });

  it("reads a container in UTF-16 that names a document type kept elsewhere", async () => {
    const text =
      '<?xml version="1.0" encoding="UTF-16"?><!DOCTYPE container PUBLIC ' +
      '"-//Recordare//DTD MusicXML 4.0 Container//EN" "container[4.0].dtd">' +
      '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>';
    const data = Buffer.from(`\ufeff${text}`, "utf16le");
    expect(await read(zip([containerText(data), { name: "score.xml", data: SCORE }]))).toBe(SCORE);
  });

  it("does without a container when there is one score at the top", async () => {
    const bytes = zip([
      { name: "Score.MusicXML", data: SCORE },
      { name: "._Score.MusicXML", data: "system's note" },
      { name: "parts/other.xml", data: "<other/>" },
      { name: "cover.png", data: "picture" },
      { name: "folder.xml/", data: "" },
    ]);
    expect(await read(bytes)).toBe(SCORE);
  });

  it.each<[string, ZipEntry[], string]>([
    [
      "nothing",
      [],
      "the archive has neither META-INF/container.xml nor a MusicXML file at its top",
    ],
    [
      "no container and no score",
      [{ name: "parts/score.xml", data: SCORE }],
      "the archive has neither META-INF/container.xml nor a MusicXML file at its top",
    ],
    [
      "no container and several scores",
      ["a.xml", "b.musicxml", "c.xml", "d.xml"].map((name) => ({ name, data: SCORE })),
      'the archive has no META-INF/container.xml to choose between "a.xml", "b.musicxml", "c.xml" and others',
    ],
    [
      "a container pointing nowhere",
      [TO_SCORE, { name: "Score.xml", data: SCORE }],
      'META-INF/container.xml names "score.xml", which is not in the archive',
    ],
    [
      "a container without rootfiles",
      [container(), { name: "score.xml", data: SCORE }],
      "META-INF/container.xml lists no MusicXML rootfile with a path",
    ],
    [
      "a rootfile without a path",
      [container('media-type="application/vnd.recordare.musicxml+xml"')],
      "META-INF/container.xml lists no MusicXML rootfile with a path",
    ],
    [
      "a container of another trade",
      [container('full-path="book.opf" media-type="application/oebps-package+xml"')],
      'META-INF/container.xml lists no MusicXML rootfile with a path, only "application/oebps-package+xml"',
    ],
  ])("refuses %s", async (_, entries, message) => {
    expect(await refusal(zip(entries))).toEqual({ code: "no-score-in-archive", message });
  });
});

describe("scoreFromArchive: a hostile container file", () => {
  it.each<[string, string | Buffer, string, string]>([
    [
      "an entity of its own",
      '<!DOCTYPE container [<!ENTITY x SYSTEM "file:///etc/passwd">]><container>&x;</container>',
      "entity-declaration",
      "META-INF/container.xml declares its own types or entities, which are refused for safety",
    ],
    [
      "declarations behind a document type",
      `<!DOCTYPE container PUBLIC "a" 'b' [<!ELEMENT container ANY>]><container/>`,
      "entity-declaration",
      "META-INF/container.xml declares its own types or entities, which are refused for safety",
    ],
    [
      "an unknown entity",
      '<container><rootfiles><rootfile full-path="&x;"/></rootfiles></container>',
      "bad-archive",
      "META-INF/container.xml is not well-formed XML: undefined entity",
    ],
    [
      "an unclosed element",
      "<container><rootfiles>",
      "bad-archive",
      "META-INF/container.xml is not well-formed XML: unclosed tag: rootfiles",
    ],
    [
      "nothing",
      "",
      "bad-archive",
      "META-INF/container.xml is not well-formed XML: document must contain a root element",
    ],
    [
      "a bad encoding",
      Buffer.from("<container>\xff</container>", "latin1"),
      "bad-encoding",
      "META-INF/container.xml: not valid UTF-8 at byte offset 11",
    ],
    [
      "a great size",
      `<container>${" ".repeat(300 * 1024)}</container>`,
      "too-large",
      '"META-INF/container.xml" in the archive unpacks to 307223 bytes, more than the limit of 262144 bytes',
    ],
  ])("refuses %s", async (_, data, code, message) => {
    const bytes = zip([containerText(data), { name: "score.xml", data: SCORE }]);
    expect(await refusal(bytes)).toEqual({ code, message });
  });
});

describe("scoreFromArchive: unsafe paths", () => {
  const TRICKS = [
    { path: "../score.xml", trick: "a step out of the archive" },
    { path: "a/../../score.xml", trick: "a step out of the archive" },
    { path: "/etc/score.xml", trick: "an absolute path" },
    { path: "..\\score.xml", trick: "a backslash" },
    { path: "C:score.xml", trick: "a drive letter" },
  ];

  it.each(TRICKS)("refuses an entry with $trick: $path", async ({ path, trick }) => {
    const bytes = zip([TO_SCORE, { name: "score.xml", data: SCORE }, { name: path, data: "" }]);
    expect(await refusal(bytes)).toEqual({
      code: "unsafe-path-in-archive",
      message: `the archive has an entry with ${trick} in its name: "${path}"`,
    });
  });

  it("refuses an entry with a NUL character", async () => {
    expect(await refusal(zip([TO_SCORE, { name: "score.xml\0.pdf", data: "" }]))).toEqual({
      code: "unsafe-path-in-archive",
      message: 'the archive has an entry with a NUL character in its name: "score.xml .pdf"',
    });
  });

  it.each(TRICKS)("refuses a rootfile with $trick: $path", async ({ path, trick }) => {
    const bytes = zip([container(`full-path="${path}"`), { name: "score.xml", data: SCORE }]);
    expect(await refusal(bytes)).toEqual({
      code: "unsafe-path-in-archive",
      message: `META-INF/container.xml names a file with ${trick} in its name: "${path}"`,
    });
  });

  it("sees through a second name in an extra field", async () => {
    // Info-ZIP's Unicode path: version, checksum of the plain name, the other name.
    const name = Buffer.from("../score.xml");
    const data = Buffer.concat([Buffer.from([1, 0, 0, 0, 0]), name]);
    data.writeUInt32LE(crc32("score.xml"), 1);
    const extra = Buffer.concat([Buffer.from([0x75, 0x70, data.length, 0]), data]);
    expect(await refusal(withScore({ extra }))).toEqual({
      code: "unsafe-path-in-archive",
      message:
        'the archive has an entry with a step out of the archive in its name: "../score.xml"',
    });
  });
});

describe("scoreFromArchive: locked, damaged and lying archives", () => {
  it.each([
    ["the score", withScore({ flags: ENCRYPTED }), '"score.xml"'],
    ["AES", withScore({ flags: ENCRYPTED, method: 99 }), '"score.xml"'],
    ["the container", zip([{ ...TO_SCORE, flags: ENCRYPTED }]), '"META-INF/container.xml"'],
  ])("refuses a password: %s", async (_, bytes, name) => {
    expect(await refusal(bytes)).toEqual({
      code: "encrypted-archive",
      message: `${name} in the archive is encrypted: save it again without a password`,
    });
  });

  it("refuses strong encryption", async () => {
    expect(await refusal(withScore({ flags: ENCRYPTED | STRONG_ENCRYPTION }))).toEqual({
      code: "encrypted-archive",
      message: "the archive is encrypted after entry 1: save it again without a password",
    });
  });

  const size = Buffer.byteLength(SCORE);
  const packed = deflateRawSync(SCORE);
  const inArchive = '"score.xml" in the archive';

  it.each<[string, Partial<ZipEntry>, string]>([
    ["a wrong checksum", { crc: 1 }, "is damaged: its checksum does not match"],
    [
      "a wrong checksum, stored",
      { crc: 1, stored: true },
      "is damaged: its checksum does not match",
    ],
    ["garbage for data", { deflated: Buffer.alloc(200, 0xff) }, "is damaged: invalid block type"],
    [
      "data that end too soon",
      { deflated: packed.subarray(0, packed.length - 4) },
      "is damaged: unexpected end of file",
    ],
    [
      "no data",
      { deflated: Buffer.alloc(0) },
      `declares ${size} bytes, which its 0 bytes cannot hold`,
    ],
    [
      "a size declared too small",
      { uncompressedSize: size - 1 },
      `unpacks to more than the ${size - 1} bytes it declares`,
    ],
    [
      "a size declared as nothing",
      { uncompressedSize: 0 },
      "unpacks to more than the 0 bytes it declares",
    ],
    [
      "a size declared too large",
      { uncompressedSize: size + 1 },
      `unpacks to ${size} bytes, not the ${size + 1} it declares`,
    ],
    [
      "a size no deflate can reach",
      { uncompressedSize: packed.length * 1032 + 1 },
      `declares ${packed.length * 1032 + 1} bytes, which its ${packed.length} bytes cannot hold`,
    ],
    [
      "a 64-bit size without the field for it",
      { uncompressedSize: 0xffffffff },
      `declares 4294967295 bytes, which its ${packed.length} bytes cannot hold`,
    ],
    [
      "two sizes of stored data",
      { stored: true, uncompressedSize: size - 1 },
      `declares ${size - 1} bytes, which its ${size} bytes cannot hold`,
    ],
    ["another compression", { method: 12 }, "is compressed by method 12, MusicXML wants deflate"],
    [
      "another name where the data are",
      { localName: "other.xml" },
      'is called "other.xml" where its data are',
    ],
    [
      "data at a place with something else",
      { localOffset: 7 },
      "cannot be found: invalid local file header signature: 0x800",
    ],
    ["data outside the file", { localOffset: 0x7fffffff }, "cannot be found: unexpected EOF"],
  ])("refuses %s", async (_, odd, reason) => {
    expect(await refusal(withScore(odd))).toEqual({
      code: "bad-archive",
      message: `${inArchive} ${reason}`,
    });
  });

  it("refuses data longer than the file", async () => {
    const answer = await refusal(withScore({ compressedSize: 0x7fffffff }));
    expect(answer.code).toBe("bad-archive");
    expect(answer.message).toMatch(
      /^"score\.xml" in the archive cannot be found: file data overflows file bounds: /,
    );
  });

  it("refuses a 64-bit field that promises more than there is", async () => {
    const extra = Buffer.alloc(20);
    extra.writeUInt16LE(1, 0);
    extra.writeUInt16LE(16, 2);
    extra.writeBigUInt64LE(0xffff_ffff_ffffn, 4);
    extra.writeBigUInt64LE(0xffff_ffff_ffffn, 12);
    const bytes = withScore({ compressedSize: 0xffffffff, uncompressedSize: 0xffffffff, extra });
    const answer = await refusal(bytes);
    expect(answer.code).toBe("bad-archive");
    expect(answer.message).toMatch(
      /^"score\.xml" in the archive cannot be found: file data overflows/,
    );
  });

  it.each<[string, ZipEntry[]]>([
    ["score.xml", [TO_SCORE, { name: "score.xml", data: SCORE }, { name: "score.xml", data: "" }]],
    ["META-INF/container.xml", [TO_SCORE, TO_SCORE, { name: "score.xml", data: SCORE }]],
  ])("refuses two entries called %s", async (name, entries) => {
    expect(await refusal(zip(entries))).toEqual({
      code: "bad-archive",
      message: `"${name}" in the archive is there twice`,
    });
  });

  it("refuses more entries than it says, and fewer", async () => {
    const entries = [TO_SCORE, { name: "score.xml", data: SCORE }];
    expect(await refusal(zip(entries, { entryCount: 3 }))).toEqual({
      code: "bad-archive",
      message: "the archive is damaged after entry 2: unexpected EOF",
    });
    expect((await refusal(zip(entries, { entryCount: 1 }))).message).toBe(
      'META-INF/container.xml names "score.xml", which is not in the archive',
    );
  });

  it("refuses very many entries, before reading them", async () => {
    expect(await refusal(zip([TO_SCORE], { entryCount: 10_001 }))).toEqual({
      code: "bad-archive",
      message: "the archive has 10001 entries, more than the 10000 allowed",
    });
  });

  it("reads an archive with as many as allowed", async () => {
    const others = Array.from({ length: 9998 }, (_, k) => ({
      name: `${k}`,
      data: "",
      stored: true,
    }));
    expect(await read(zip([...others, TO_SCORE, { name: "score.xml", data: SCORE }]))).toBe(SCORE);
  });

  it("refuses a directory in 64-bit form that lies", async () => {
    // The locator stands between the directory and the end record and names a place far away.
    const locator = Buffer.alloc(20);
    locator.write("PK\x06\x07", 0, "latin1");
    locator.writeBigUInt64LE(0xffff_ffff_ffff_ffffn, 8);
    expect(await refusal(zip([TO_SCORE], { before: locator }))).toEqual({
      code: "bad-archive",
      message: "the archive is damaged: unexpected EOF",
    });
  });
});

describe("scoreFromArchive: bombs", () => {
  const GIB = 1024;
  const bomb = deflatedZeros(GIB);
  const honestSize = GIB * 1024 * 1024;

  it.each<[string, Partial<ZipEntry>, number, string, string]>([
    [
      "an honest one",
      { uncompressedSize: honestSize },
      256,
      "too-large",
      '"score.xml" in the archive unpacks to 1024 MiB, more than the limit of 256 MiB',
    ],
    [
      "one that says it is small",
      { uncompressedSize: 1000 },
      256,
      "bad-archive",
      '"score.xml" in the archive unpacks to more than the 1000 bytes it declares',
    ],
    [
      "one that says it is just within the limit",
      { uncompressedSize: 4 * 1024 * 1024 },
      4,
      "bad-archive",
      '"score.xml" in the archive unpacks to more than the 4194304 bytes it declares',
    ],
  ])("defuses %s with bounded work", async (_, odd, limitMiB, code, message) => {
    expect(bomb.length).toBeLessThan(2 * 1024 * 1024);
    const bytes = withScore({ data: "", deflated: bomb, ...odd });
    const memoryBefore = process.memoryUsage().arrayBuffers;
    const startedAt = performance.now();
    expect(await refusal(bytes, { maxBytes: limitMiB * 1024 * 1024 })).toEqual({ code, message });
    expect(performance.now() - startedAt).toBeLessThan(1000);
    const grown = process.memoryUsage().arrayBuffers - memoryBefore;
    expect(grown).toBeLessThan(32 * 1024 * 1024);
  });

  it("accepts a score of exactly the limit and refuses one byte more", async () => {
    const size = Buffer.byteLength(SCORE);
    expect(await read(withScore({}), { maxBytes: size })).toBe(SCORE);
    expect(await refusal(withScore({}), { maxBytes: size - 1 })).toEqual({
      code: "too-large",
      message: `"score.xml" in the archive unpacks to ${size} bytes, more than the limit of ${size - 1} bytes`,
    });
  });

  it("does not care how large the entries are that nobody reads", async () => {
    const bytes = zip([
      TO_SCORE,
      { name: "score.xml", data: SCORE },
      { name: "bomb", data: "", deflated: bomb, uncompressedSize: honestSize },
    ]);
    expect(await read(bytes)).toBe(SCORE);
  });
});

describe("scoreFromArchive: any damage", () => {
  const good = withScore({});

  it("refuses the archive cut off anywhere", async () => {
    for (let length = 0; length < good.length; length++) {
      expect((await refusal(good.subarray(0, length))).code, `cut at ${length}`).toBe(
        "bad-archive",
      );
    }
    expect((await refusal(good.subarray(0, 100))).message).toBe(
      "the archive is damaged: End of central directory record signature not found",
    );
  });

  it("reads the right score or none, whichever byte is changed", async () => {
    for (let at = 0; at < good.length; at++) {
      for (const value of [0x00, 0xff, (good[at] ?? 0) ^ 0x01]) {
        const bytes = Buffer.from(good);
        bytes[at] = value;
        try {
          expect(await read(bytes), `byte ${at} set to ${value}`).toBe(SCORE);
        } catch (error) {
          if (!(error instanceof InputError)) throw error;
          expect(error.message).not.toMatch(/[\n\0]/);
        }
      }
    }
  });
});

describe("sizeText", () => {
  it.each([
    [256 * 1024 * 1024, "256 MiB"],
    [1000, "1000 bytes"],
  ])("%d", (bytes, text) => {
    expect(sizeText(bytes)).toBe(text);
  });
});
