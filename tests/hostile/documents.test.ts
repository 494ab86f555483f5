import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, expect, it } from "vitest";
import { changeBars, runMuta, temporaryFolder } from "../support/run-muta.js";
import { scoreXml, words } from "../support/score-xml.js";
import {
  attempt,
  refusal,
  reportOf,
  BAR,
  SECOND,
  GOOD,
  LIST,
  before,
  instead,
  inBar,
  twice,
} from "./document-cases.js";

describe("a document that is none", () => {
  // prettier-ignore
  it.each<[string, string, string, RegExp, string?, string?]>([
    ["nothing", "", "empty", /empty/],
    ["no root", '<?xml version="1.0"?>', "not-musicxml", /no root element/],
    ["another root", "<html/>", "not-musicxml", /<html>/],
    ["another root, long", `<${"x".repeat(1e6)}/>`, "not-musicxml", /^.{1,99}$/],
    ["only a part list", `<score-partwise>${LIST}</score-partwise>`, "no-parts", /no part/],
    ["tags crossed", inBar("<a><b></a></b>"), "not-well-formed", /<b>.*<\/a>/, "P1", "1"],
    ["tags crossed in the list", instead("</part-list>", "</x>"), "not-well-formed", /<part-list>.*<\/x>/],
    ["a tag never closed", inBar("<a>"), "not-well-formed", /<a>.*<\/measure>/, "P1", "1"],
    ["a closing tag too many", inBar("</a>"), "not-well-formed", /<measure>.*<\/a>/, "P1", "1"],
    ["an attribute twice", inBar('<note a="1" a="2"/>'), "not-well-formed", /duplicate/, "P1", "1"],
    ["an attribute without end", inBar("<note a='"), "truncated", /ends inside/, "P1", "1"],
    ["a bare <", inBar("1 < 2"), "not-well-formed", /</, "P1", "1"],
    ["a bare &", inBar("<words>a & b</words>"), "not-well-formed", /./, "P1", "1"],
    ["an entity of nobody", inBar("<words>&xxe;</words>"), "not-well-formed", /entity/, "P1", "1"],
    ["an entity of HTML", inBar("<words>&nbsp;</words>"), "not-well-formed", /entity/, "P1", "1"],
    ["a control character", inBar("<words>\u0007</words>"), "not-well-formed", /character/, "P1", "1"],
    ["NUL", inBar("<words>\0</words>"), "bad-encoding", /./],
    ["no bars", scoreXml([{ bars: [] }]), "no-parts", /bar/, "P1"],
    // Not the last bar that was read, which has ended long ago.
    ["two parts of one id", twice(GOOD), "not-musicxml", /"P1"/],
    ["two roots", `${GOOD}<score-partwise/>`, "not-well-formed", /second root/],
    ["text after the root", `${GOOD}x`, "not-well-formed", /outside the root/],
    ["an end before the first bar of a part", instead("</score-partwise>", '<part id="P2"><mea'), "truncated", /ends/, "P2"],
  ])("is refused with what and where: %s", async (_, xml, code, message, part, bar) => {
    const error = await refusal(xml);
    expect(error.message).toMatch(message);
    expect([error.code, error.part, error.bar]).toEqual([code, part, bar]);
  });

  it("may be cut anywhere: the error is clean and says so", async () => {
    const bytes = Buffer.from(scoreXml([{ bars: changeBars(2) }]));
    const codes = new Set<string>();
    for (let length = 0; length < bytes.length - 1; length += 50) {
      codes.add((await refusal(bytes.subarray(0, length))).code);
    }
    expect([...codes]).toEqual(["empty", "truncated"]);
    expect((await reportOf(bytes)).changes).toHaveLength(1);
  });
});

describe("declarations", () => {
  const LAUGHS = Array.from(
    { length: 9 },
    (_, k) => `<!ENTITY l${k + 1} "${`&l${k};`.repeat(10)}">`,
  );

  it.each([
    ["a billion laughs", `<!DOCTYPE x [<!ENTITY l0 "lol">${LAUGHS.join("")}]>`],
    ["an entity outside", '<!DOCTYPE x [<!ENTITY e SYSTEM "file:///etc/passwd">]>'],
    ["a parameter entity", '<!DOCTYPE x [<!ENTITY % p SYSTEM "http://localhost/x.dtd"> %p;]>'],
    ["an element type", "<!DOCTYPE score-partwise [<!ELEMENT note ANY>]>"],
    ["nothing", "<!DOCTYPE score-partwise SYSTEM 'x' [ ]>"],
  ])("of one's own are refused: %s", async (_, declaration) => {
    const xml = before(declaration).replace("Clarinet in Bb", "&l9;&e;");
    expect((await refusal(xml)).code).toBe("entity-declaration");
    const utf16 = Buffer.from(`\ufeff${xml.replace("UTF-8", "UTF-16")}`, "utf16le");
    expect((await refusal(utf16)).code).toBe("entity-declaration");
  });

  it("never lead to another file", async () => {
    const folder = temporaryFolder({ secret: "the-secret-text" });
    const url = pathToFileURL(join(folder, "secret")).href;
    for (const xml of [
      before(`<!DOCTYPE score-partwise SYSTEM "${url}">`),
      before(`<!DOCTYPE x [<!ENTITY e SYSTEM "${url}">]>`).replace("Clarinet", "&e;"),
      before(`<?xml-stylesheet type="text/xsl" href="${url}"?>`),
      inBar(`<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="${url}" parse="text"/>`),
    ]) {
      writeFileSync(join(folder, "part.xml"), xml);
      const { code, stdout, stderr } = await runMuta(["check", "part.xml"], { cwd: folder });
      expect([0, 2]).toContain(code);
      expect(stdout + stderr).not.toContain("the-secret-text");
    }
  });

  it("of MusicXML itself are passed over", async () => {
    const declaration =
      '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">';
    expect((await reportOf(before(declaration))).barCount).toBe(2);
  });
});

describe("what only looks like a tag", () => {
  it.each([
    ["in a comment", "<!-- </measure></part><part id='X'><measure> -->"],
    ["in character data", "<![CDATA[</measure></part><part id='X'>&xxe;]]>"],
    ["in an instruction", "<?x </measure><measure number='9'> ?>"],
    ["in an attribute", `<x a="/> --&gt; ]]>" b='">'/>`],
  ])("changes nothing: %s", async (_, fake) => {
    const plain = await reportOf(GOOD);
    for (const place of [SECOND, "</measure>", "<part ", "<part-list>", "</score-partwise>"]) {
      expect(await reportOf(GOOD.replace(place, `${fake}$&`)), place).toEqual(plain);
    }
  });
});

describe("sizes", () => {
  const many = Array.from({ length: 1e6 }, (_, k) => `a${k}="x"`).join(" ");

  it.each<[string, string]>([
    ["a long attribute", instead('number="2"', `number="${"9".repeat(5e6)}"`)],
    ["a million attributes of a bar", instead('number="2"', `number="2" ${many}`)],
    ["a million attributes of a note", instead("<note>", `<note ${many}>`)],
    ["a long instruction", inBar(words("muta in ".repeat(1e5)))],
    ["a long word", inBar(words("x".repeat(1e6)))],
    ["a long number", instead("<duration>960", `<duration>${"9".repeat(1e6)}`)],
    ["a long name", instead("Clarinet in Bb", `Clarinet in Bb ${"in B ".repeat(1e5)}`)],
  ])("are no trouble: %s", async (_, xml) => {
    expect((await attempt(xml)).reports).toHaveLength(1);
  });

  // In a process of its own, which can be ended: a pattern tried from every letter would take hours.
  it("are no trouble: a long tag without attributes", async () => {
    const stdin = instead('number="2"', `number="2" ${"x".repeat(1e6)}`);
    expect([0, 2]).toContain((await runMuta(["check", "-"], { stdin })).code);
  });

  it.each([
    ["in a bar", inBar("<a>".repeat(1e6)), { part: "P1", bar: "1" }],
    ["in a bar, closed again", inBar("<a>".repeat(1e5) + "</a>".repeat(1e5)), { part: "P1" }],
    ["before the parts", instead("<part-list>", "<a>".repeat(1e5)), {}],
  ])("of nesting are limited: %s", async (_, xml, place) => {
    expect(await refusal(xml)).toMatchObject({ code: "too-deep", ...place });
  });

  it("of a score with thousands of empty bars are those of its meter", async () => {
    const empty = Array.from({ length: 4999 }, () => "");
    const { barCount, durationSeconds } = await reportOf(scoreXml([{ bars: [BAR, ...empty] }]));
    // 5000 bars of four quarters, 100 a minute, where no tempo is given.
    expect(barCount).toBe(5000);
    expect(durationSeconds.likely).toBeCloseTo((5000 * 4 * 60) / 100, 6);
  });

  it("of a score with more bars than can be performed are the reason it is refused for", async () => {
    const bars = [BAR, ...Array.from({ length: 51_000 }, () => "")];
    const { refusals } = await attempt(scoreXml([{ bars }]));
    expect(refusals.map(({ code }) => code).filter((code) => code !== "too-large")).toEqual([]);
  });
});
