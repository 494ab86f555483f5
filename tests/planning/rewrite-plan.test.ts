import { describe, expect, it } from "vitest";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PlanWishes } from "../../src/model/plan.js";
import { openScore } from "../../src/musicxml/document.js";
import { rewritePlan } from "../../src/planning/rewrite-plan.js";
import {
  A,
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  words,
} from "../support/score-xml.js";
import { checkWritten } from "./written-plan.js";

const START =
  attributes({ meter: "4/4", fifths: 0, transpose: B_FLAT }) + metronome("quarter", "60");
const toA = `<direction placement="above"><direction-type><words>to A clarinet</words></direction-type></direction>`;
const toBFlat = toA.replace("A clarinet", "B-flat clarinet");
const sign = (fifths: number, [diatonic, chromatic]: readonly [number, number]) =>
  `<attributes><key><fifths>${fifths}</fifths></key><transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic></transpose></attributes>`;

/** The bars of a part with some passages fixed, as they are written out. */
function write(bars: readonly string[], wishes: Partial<PlanWishes>, edit = (xml: string) => xml) {
  const bytes = Buffer.from(edit(scoreXml([{ bars }])));
  const request = { partId: "P1", profile: USUAL_PROFILE, wishes };
  const result = rewritePlan(bytes, openScore(bytes), request);
  const xml = result.bytes.toString();
  const written = [...xml.matchAll(/<measure number="\d+">(.*)<\/measure>/g)].map(([, bar]) => bar);
  return { ...result, xml, written };
}

/** Passages by a bar of theirs, the later one where two have that bar. */
const fix = (...passages: readonly (readonly [bar: string, key: "a" | "bflat"])[]) => ({
  fixed: passages.map(([bar, key]) => ({
    fromBar: bar,
    toBar: bar,
    instrument: `clarinet-${key}` as const,
  })),
});
/** At quarter = 60 the rest of four quarters is long enough for the hands, which need 3.5 s. */
const restBar = rest(4);

describe("rewritePlan", () => {
  it("writes a passage for the other instrument and says so where the rests begin", () => {
    const bars = [START + note("C5", 4), restBar, note("E5", 4), restBar, note("G5", 4)];
    const { written, warnings } = write(bars, fix(["1", "bflat"], ["3", "a"], ["5", "bflat"]));
    // C major on B-flat sounds B-flat major, which is D-flat major on A.
    expect(written).toEqual([
      bars[0],
      toA + restBar,
      sign(-5, A) + note("F5", 4),
      toBFlat + restBar,
      sign(0, B_FLAT) + note("G5", 4),
    ]);
    expect(warnings).toEqual([]);
  });

  it("changes the signs in the middle of a bar, at the rest, and once only", () => {
    const bars = [
      START + note("C5", 4),
      note("E5", 1) + rest(3),
      rest(3) + note("G#5", 1, "<accidental>sharp</accidental>"),
      note("G5", 1) + rest(3),
      rest(2) + note("C5", 2),
    ];
    const { written } = write(bars, fix(["1", "bflat"], ["3", "a"], ["5", "bflat"]));
    expect(written).toEqual([
      bars[0],
      note("E5", 1) + toA + rest(3),
      sign(-5, A) + rest(3) + note("A5", 1, "<accidental>natural</accidental>"),
      note("Ab5", 1, '<accidental cautionary="yes">flat</accidental>') + toBFlat + rest(3),
      sign(0, B_FLAT) + rest(2) + note("C5", 2),
    ]);
  });

  /** A bar of eight quarters: a rest inside it is long enough. */
  const LONG =
    attributes({ meter: "8/4", fifths: 0, transpose: B_FLAT }) + metronome("quarter", "60");

  it("has two instruments in one bar, with the accidentals that a reader of either signature needs", () => {
    const bars = [
      LONG + note("F5", 8),
      note("D#5", 1, "<accidental>sharp</accidental>") +
        rest(5) +
        note("C#5", 2, "<accidental>sharp</accidental>"),
    ];
    const { written } = write(bars, fix(["2", "bflat"], ["1", "a"]));
    // Bar 1 and the first note are one passage; the C-sharp stays.
    expect(written[1]).toBe(
      note("E5", 1, "<accidental>natural</accidental>") +
        sign(0, B_FLAT) +
        toBFlat +
        rest(5) +
        note("C#5", 2, "<accidental>sharp</accidental>"),
    );
  });

  it("goes by time, not by the order of the document, where a bar has two voices", () => {
    const voice = (text: string) => `<voice>${text}</voice>`;
    const backup = `<backup><duration>${8 * 240}</duration></backup>`;
    const bars = [
      LONG + note("C5", 8),
      note("E5", 1, voice("1")) +
        rest(5, voice("1")) +
        note("G5", 2, voice("1")) +
        backup +
        note("C4", 1, voice("2")) +
        rest(5, voice("2")) +
        note("E4", 2, voice("2")),
      note("C5", 8),
    ];
    const { written } = write(bars, fix(["3", "a"], ["1", "bflat"]));
    expect(written[1]).toBe(
      note("E5", 1, voice("1")) +
        sign(-5, A) +
        toA +
        rest(5, voice("1")) +
        note("Ab5", 2, voice("1")) +
        backup +
        note("C4", 1, voice("2")) +
        rest(5, voice("2")) +
        note("F4", 2, voice("2")),
    );
    expect(written[2]).toBe(note("Db5", 8));
  });

  it("refuses a change inside a bar of several staves, and names the bar", () => {
    const staff = (number: number) => `<staff>${number}</staff>`;
    const backup = `<backup><duration>${8 * 240}</duration></backup>`;
    const bars = [
      LONG + note("C5", 8, staff(1)),
      note("E5", 1, staff(1)) +
        rest(5, staff(1)) +
        note("G5", 2, staff(1)) +
        backup +
        rest(8, staff(2)),
      note("C5", 8, staff(1)),
    ];
    expect(() => write(bars, fix(["3", "a"], ["1", "bflat"]))).toThrow("a bar of several staves");
  });

  it("takes away words, names and encoded changes that are none any more, and keeps other players' words", () => {
    const change = (id: string, sound: string) =>
      `<sound><instrument-change id="${id}"><instrument-sound>${sound}</instrument-sound></instrument-change></sound>`;
    const prepared = `<direction><direction-type><words>muta in La</words></direction-type>${change("I2", "wind.reed.clarinet.a")}</direction>`;
    const bars = [
      START + note("C5", 3) + prepared + rest(1),
      words("2. muta in Es") + restBar,
      `<print><part-name-display><display-text>Clarinet in A</display-text></part-name-display></print>` +
        attributes({ fifths: -5, transpose: A }) +
        change("I2", "wind.reed.clarinet.a") +
        note("Db5", 4),
      words("muta in Si♭") + restBar,
      attributes({ fifths: 0, transpose: B_FLAT }) + note("C5", 4),
    ];
    const one = (xml: string) => xml.replace("Clarinet in Bb", "Clarinet 1 in Bb");
    const { written, warnings } = write(
      bars,
      fix(["1", "bflat"], ["3", "bflat"], ["5", "bflat"]),
      one,
    );
    expect(written).toEqual([
      START + note("C5", 3) + rest(1),
      bars[1],
      attributes({}) + note("C5", 4),
      restBar,
      attributes({}) + note("C5", 4),
    ]);
    expect(warnings).toEqual([]);
  });

  it("prints words that came late where the rest begins instead", () => {
    const bars = [
      START + note("C5", 4),
      restBar,
      attributes({ fifths: -5, transpose: A }) + words("in A") + note("Db5", 4),
      restBar,
      attributes({ fifths: 0, transpose: B_FLAT }) + note("C5", 4),
    ];
    const { written } = write(bars, fix(["1", "a"], ["3", "bflat"], ["5", "bflat"]));
    expect(written[1]).toBe(toBFlat + restBar);
    expect(written[2]).toBe(attributes({ fifths: 0, transpose: B_FLAT }) + note("C5", 4));
  });

  it("writes by the words where they and the transposition disagree, and says so", () => {
    const bars = [
      START + note("C5", 4),
      words("muta in La") + restBar,
      note("F5", 4),
      restBar,
      note("F5", 4),
    ];
    const moved = write(bars, fix(["1", "bflat"], ["3", "bflat"], ["5", "bflat"]));
    // On A the F sounds D, which is an E on B-flat.
    expect(moved.written[1]).toBe(restBar);
    expect(moved.written[2]).toContain("<step>E</step><octave>5</octave>");
    expect(moved.warnings).toContainEqual({ kind: "words-followed", from: "3", to: "3" });
    // With the passage before it on A as well, only the transposition is put right.
    const stays = write(bars, fix(["1", "a"], ["3", "a"], ["5", "a"]));
    expect(stays.written.slice(1)).toEqual([
      restBar,
      `<attributes><key><fifths>0</fifths></key></attributes>${bars[2]}`,
      restBar,
      bars[4],
    ]);
    expect(stays.xml.match(/<transpose>/g)).toHaveLength(1);
    expect(stays.xml).toContain("<chromatic>-3</chromatic>");
  });

  it("leaves a part as it is, byte for byte, where the print is the best", () => {
    const bars = [START + note("C5", 4), restBar, note("E5", 4)];
    const { xml, warnings, plan } = write(bars, {});
    expect(xml).toBe(scoreXml([{ bars }]));
    expect(warnings).toEqual([{ kind: "already-so" }]);
    expect(plan.best.instruments).toEqual(plan.printed.instruments);
  });

  it("announces the way into a later ending from the bar before the endings", () => {
    const ending = (number: string, type: string, repeat = "") =>
      `<barline location="${type === "start" ? "left" : "right"}"><ending number="${number}" type="${type}"/>${repeat}</barline>`;
    const bars = [
      START + note("C5", 4),
      restBar,
      ending("1", "start") + restBar,
      note("E5", 4) + rest(0),
      restBar + ending("1", "stop", '<repeat direction="backward"/>'),
      ending("2", "start") + restBar,
      note("G5", 4) + ending("2", "stop"),
    ];
    const bytes = Buffer.from(scoreXml([{ bars }]));
    checkWritten(bytes, "P1", "balanced", "endings", fix(["1", "bflat"], ["4", "a"], ["7", "a"]));
    checkWritten(
      bytes,
      "P1",
      "balanced",
      "endings",
      fix(["1", "bflat"], ["4", "a"], ["7", "bflat"]),
    );
    checkWritten(
      bytes,
      "P1",
      "balanced",
      "endings",
      fix(["1", "bflat"], ["4", "bflat"], ["7", "a"]),
    );
  });

  it("prints the signs of a passage that stays where the page has them, and none that they take back", () => {
    const bars = [
      START + note("C5", 4),
      words("muta in La") + restBar,
      sign(-1, A) + note("E5", 4),
      // The rest before the change begins with the bar, or inside it.
      rest(2) + words("muta in Si♭") + rest(1) + sign(0, B_FLAT) + note("G5", 1),
      restBar,
      words("muta in La") + restBar,
      "<attributes><key><fifths>0</fifths></key></attributes>" + sign(-1, A) + note("F5", 4),
      note("F5", 1) + words("muta in Si♭") + rest(2) + sign(0, B_FLAT) + note("G5", 1),
    ];
    const { written, warnings } = write(
      bars,
      fix(["1", "bflat"], ["3", "bflat"], ["4", "bflat"], ["7", "bflat"], ["8", "bflat"]),
    );
    expect(warnings).toEqual([]);
    expect(written.join("")).not.toContain("<chromatic>-3</chromatic>");
    // From D major, which F major on A sounds, to B-flat major.
    expect(written[3]).toBe(
      `${rest(2)}${rest(1)}<attributes><key><fifths>0</fifths></key></attributes>${note("G5", 1)}`,
    );
    expect(written[7]).toBe(
      `${note("E5", 1)}${rest(2)}<attributes><key><fifths>0</fifths></key></attributes>${note("G5", 1)}`,
    );
    // Of two signs at the beginning of a bar the second counts.
    const key = "<attributes><key><fifths>0</fifths></key></attributes>";
    const twice = [START + note("C5", 4), restBar, key + sign(-1, A) + note("F5", 4)];
    const stays = write(twice, fix(["1", "a"], ["3", "a"]));
    expect(stays.xml.match(/<chromatic>-2<\/chromatic>/g)).toBeNull();
  });

  it.each([
    ["a voice", "<words>muta in La</words></direction-type><voice>1</voice>"],
    ["a place of their own", "<words>muta in La</words></direction-type><offset>240</offset>"],
    [
      "several pieces",
      "<words>muta in </words></direction-type><direction-type><words>La</words></direction-type>",
    ],
    ["blanks", "<words>  muta   in La </words></direction-type>"],
  ])("takes away words that have %s", (_, inside) => {
    const toBeGone = `<direction><direction-type>${inside}</direction>`;
    const bars = [START + note("C5", 4), toBeGone + restBar, sign(-1, A) + note("E5", 4)];
    const { written, warnings } = write(bars, fix(["1", "bflat"], ["3", "bflat"]));
    expect(written[1]).toBe(restBar);
    expect(warnings).toEqual([]);
  });

  it("leaves words that say more than the change, and tells of them", () => {
    const more =
      "<direction><direction-type><words>muta in La</words></direction-type><direction-type><words>Allegro</words></direction-type></direction>";
    const bars = [START + note("C5", 4), more + restBar, sign(-1, A) + note("E5", 4)];
    const { written, warnings } = write(bars, fix(["1", "bflat"], ["3", "bflat"]));
    expect(written[1]).toBe(more + restBar);
    expect(warnings).toEqual([{ kind: "words-left", text: "muta in La Allegro", bar: "2" }]);
  });

  it("tells of a staff that several players read", () => {
    const bars = [START + note("C5", 4), restBar, sign(-1, A) + note("E5", 4)];
    const named = (xml: string) => xml.replace("Clarinet in Bb", "Clarinets 1 2");
    const { warnings } = write(bars, fix(["1", "bflat"], ["3", "bflat"]), named);
    expect(warnings).toContainEqual({ kind: "shared-staff" });
  });

  it("refuses a score at sounding pitch", () => {
    const bars = [attributes({ meter: "4/4", fifths: 0 }) + note("C5", 4)];
    const concert = (xml: string) =>
      xml.replace("<part-list>", "<defaults><concert-score/></defaults><part-list>");
    expect(() => write(bars, {}, concert)).toThrow("the notes stand as they sound");
  });
});
