import { crc32, deflateRawSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import {
  container,
  deflatedZeros,
  ENCRYPTED,
  STRONG_ENCRYPTION,
  zip,
  type ZipEntry,
} from "../support/zip.js";
import { SCORE, TO_SCORE, read, refusal, withScore } from "./archive-cases.js";

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
