import { describe, expect, it } from "vitest";
import { InputError } from "../../src/model/input-error.js";
import { toUtf8 } from "../../src/musicxml/encoding.js";

const TEXT = "<score><words>muta in La – «Sol♯» 𝄞</words></score>";

function declared(label: string, body: string | Buffer): Buffer {
  return Buffer.concat([
    Buffer.from(`<?xml version="1.0" encoding="${label}"?>`),
    Buffer.isBuffer(body) ? body : Buffer.from(body, "latin1"),
  ]);
}

function body(converted: Buffer): string {
  return converted.toString("utf8").replace(/^<\?xml[^>]*>/, "");
}

function utf16be(text: string): Buffer {
  return Buffer.from(text, "utf16le").swap16();
}

function refusal(bytes: Uint8Array): { code: string; message: string } {
  try {
    toUtf8(bytes);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { code: error.code, message: error.message };
  }
  throw new Error("was not refused");
}

describe("toUtf8: UTF-8", () => {
  it("returns valid UTF-8 without a copy", () => {
    const bytes = Buffer.from(TEXT);
    const utf8 = toUtf8(bytes);
    expect(utf8.toString()).toBe(TEXT);
    expect(utf8.buffer).toBe(bytes.buffer);
    expect(utf8.byteOffset).toBe(bytes.byteOffset);
  });

  it("takes any Uint8Array, also a view into a larger one", () => {
    const bytes = Uint8Array.from(Buffer.from(`##${TEXT}##`));
    expect(toUtf8(bytes.subarray(2, bytes.length - 2)).toString()).toBe(TEXT);
  });

  it("removes the byte order mark, which outweighs the declaration", () => {
    const bytes = Buffer.concat([
      Buffer.from([0xef, 0xbb, 0xbf]),
      declared("ISO-8859-1", Buffer.from(TEXT)),
    ]);
    expect(body(toUtf8(bytes))).toBe(TEXT);
  });

  it.each(["UTF-8", "utf-8", "utf8", " UTF-8 "])("knows the label %j", (label) => {
    expect(body(toUtf8(declared(label, Buffer.from(TEXT))))).toBe(TEXT);
  });

  it("reads a file saved anew as UTF-8 under its old declaration UTF-16", () => {
    expect(body(toUtf8(declared("UTF-16", Buffer.from(TEXT))))).toBe(TEXT);
  });

  it.each([
    ["a lone Latin-1 letter", [0xe9, 0x20], 2],
    ["a continuation byte alone", [0x80], 2],
    ["an overlong form", [0xc0, 0xaf], 2],
    ["an overlong form of three bytes", [0xe0, 0x9f, 0x80], 2],
    ["a surrogate", [0xed, 0xa0, 0x80], 2],
    ["a character beyond Unicode", [0xf4, 0x90, 0x80, 0x80], 2],
    ["a lead byte beyond Unicode", [0xf5, 0x80, 0x80, 0x80], 2],
    ["a character cut off by the end", [0xf0, 0x9d, 0x84], 2],
    ["a fault after good characters", [0xc3, 0xa9, 0xf0, 0x9d, 0x84, 0x9e, 0xff], 8],
  ])("refuses %s and says where", (_, bytes, offset) => {
    expect(refusal(Buffer.concat([Buffer.from("<a"), Buffer.from(bytes)]))).toEqual({
      code: "bad-encoding",
      message: `not valid UTF-8 at byte offset ${offset}`,
    });
  });

  it("counts the offset from the start of the file, byte order mark included", () => {
    expect(refusal(Buffer.from([0xef, 0xbb, 0xbf, 0x3c, 0xff])).message).toBe(
      "not valid UTF-8 at byte offset 4",
    );
  });

  it("refuses NUL characters", () => {
    expect(refusal(Buffer.from("<a>\0</a>"))).toEqual({
      code: "bad-encoding",
      message: "a NUL character at byte offset 3",
    });
  });
});

describe("toUtf8: UTF-16 and UTF-32", () => {
  const le = Buffer.from(TEXT, "utf16le");
  const be = utf16be(TEXT);

  it.each([
    ["little endian with mark", Buffer.concat([Buffer.from([0xff, 0xfe]), le])],
    ["big endian with mark", Buffer.concat([Buffer.from([0xfe, 0xff]), be])],
    ["little endian without mark", le],
    ["big endian without mark", be],
  ])("reads %s", (_, bytes) => {
    const before = Buffer.from(bytes);
    expect(toUtf8(bytes).toString()).toBe(TEXT);
    expect(bytes.equals(before), "the input is left as it was").toBe(true);
  });

  it("reads it at an odd address, too", () => {
    const odd = Buffer.concat([Buffer.from([0]), le]).subarray(1);
    expect(toUtf8(odd).toString()).toBe(TEXT);
  });

  it.each([
    ["a high half alone", "<\ud834a"],
    ["a low half alone", "<\udd1ea"],
    ["a high half at the end", "<\ud834"],
  ])("refuses %s", (_, text) => {
    const message = "not valid UTF-16 at byte offset 2";
    expect(refusal(Buffer.from(text, "utf16le"))).toEqual({ code: "bad-encoding", message });
    expect(refusal(utf16be(text)).message).toBe(message);
  });

  it("refuses half a character at the end", () => {
    expect(refusal(le.subarray(0, 11))).toEqual({
      code: "bad-encoding",
      message: "the file is in UTF-16 but ends inside a character, at byte offset 10",
    });
  });

  it("refuses NUL characters", () => {
    expect(refusal(Buffer.from("\ufeff<a>\0", "utf16le")).message).toBe(
      "a NUL character at byte offset 8",
    );
  });

  it.each([
    ["little endian with mark", [0xff, 0xfe, 0, 0, 0x3c, 0, 0, 0]],
    ["little endian", [0x3c, 0, 0, 0]],
    ["big endian with mark", [0, 0, 0xfe, 0xff, 0, 0, 0, 0x3c]],
    ["big endian", [0, 0, 0, 0x3c]],
  ])("says that UTF-32 is not supported: %s", (_, bytes) => {
    expect(refusal(Uint8Array.from(bytes))).toEqual({
      code: "bad-encoding",
      message: "the file is in UTF-32, which is not supported",
    });
  });
});

describe("toUtf8: declared 8-bit encodings", () => {
  it.each([
    ["ISO-8859-1", [0xe9, 0xb0, 0x92], "é°\u0092"],
    ["iso-8859-1", [0xff], "ÿ"],
    ["Latin1", [0xab], "«"],
    ["ISO-8859-15", [0xa4, 0xbd, 0xff], "€œÿ"],
    ["windows-1252", [0x80, 0x92, 0x96, 0x9f, 0xe9, 0xff], "€’–Ÿéÿ"],
    ["CP1252", [0x93, 0x94], "“”"],
    ["windows-1250", [0x8a, 0xe8], "Šč"],
    ["Shift_JIS", [0x83, 0x65], "テ"],
  ])("reads %s", (label, bytes, text) => {
    expect(body(toUtf8(declared(label, Buffer.from(bytes))))).toBe(text);
  });

  it("accepts single quotes, blanks around the sign, and a line before the declaration", () => {
    const bytes = Buffer.from(
      "\n<?xml version='1.0' encoding = 'iso-8859-1' ?><a>\xe9</a>",
      "latin1",
    );
    expect(toUtf8(bytes).toString()).toContain("<a>é</a>");
  });

  it("ignores the word outside the declaration", () => {
    const bytes = Buffer.from('<?xml version="1.0"?><a encoding="iso-8859-1">é</a>');
    expect(toUtf8(bytes).toString()).toContain(">é<");
  });

  it("decodes long texts as short ones, whatever falls on a seam", () => {
    const label = '<?xml version="1.0" encoding="Shift_JIS"?>';
    const pairs = 70_000;
    const letters = Buffer.concat(Array.from({ length: pairs }, () => Buffer.from([0x83, 0x65])));
    for (const shift of ["", " "]) {
      const text = toUtf8(Buffer.concat([Buffer.from(label + shift), letters])).toString();
      expect(text).toBe(label + shift + "テ".repeat(pairs));
    }
  });

  it("checks US-ASCII", () => {
    expect(body(toUtf8(declared("US-ASCII", "<a/>")))).toBe("<a/>");
    const bytes = declared("US-ASCII", "<a>\xe9</a>");
    expect(refusal(bytes)).toEqual({
      code: "bad-encoding",
      message: `the file says it is US-ASCII, but byte offset ${bytes.indexOf(0xe9)} is not ASCII`,
    });
  });

  it("refuses bytes that the declared encoding does not have", () => {
    expect(refusal(declared("Shift_JIS", "\x83"))).toEqual({
      code: "bad-encoding",
      message: "not valid Shift_JIS between byte offsets 0 and 43",
    });
  });

  it.each(["EBCDIC-CP-US", "UTF-7", "", "klingon"])("refuses the label %j", (label) => {
    expect(refusal(declared(label, "<a/>"))).toEqual({
      code: "bad-encoding",
      message: `unknown encoding "${label}"`,
    });
  });

  it("keeps a label of any length and content to one short plain line", () => {
    const { message } = refusal(declared(`\x1b[31m\n${"x".repeat(300)}`, "<a/>"));
    expect(message).toMatch(/^unknown encoding " \[31m x{34}"$/);
  });

  it.each(["ISO-8859-1", "windows-1252", "US-ASCII", "Shift_JIS"])(
    "refuses NUL characters in %s",
    (label) => {
      const bytes = declared(label, "<a>\0\x41</a>");
      expect(refusal(bytes)).toEqual({
        code: "bad-encoding",
        message: `a NUL character at byte offset ${bytes.indexOf(0)}`,
      });
    },
  );
});

describe("InputError", () => {
  it("is one plain line, with the place only where there is one", () => {
    const cause = new Error("below");
    const error = new InputError("truncated", "a\r\nb\u2028c\x1b[1m\u202e ", { bar: "12", cause });
    expect(error.message).toBe("a b c [1m");
    expect(error).toMatchObject({ name: "InputError", code: "truncated", bar: "12", cause });
    expect("part" in error).toBe(false);
    expect("cause" in new InputError("empty", "x")).toBe(false);
  });
});
