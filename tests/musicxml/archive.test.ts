import { describe, expect, it } from "vitest";
import { isZip, sizeText } from "../../src/musicxml/archive.js";
import { container, zip, type ZipEntry } from "../support/zip.js";
import { SCORE, TO_SCORE, read, refusal, containerText } from "./archive-cases.js";

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

describe("sizeText", () => {
  it.each([
    [256 * 1024 * 1024, "256 MiB"],
    [1000, "1000 bytes"],
  ])("%d", (bytes, text) => {
    expect(sizeText(bytes)).toBe(text);
  });
});
