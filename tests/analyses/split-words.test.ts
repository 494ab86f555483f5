import { describe, expect, it } from "vitest";
import { joinSplitWords } from "../../src/analyses/split-words.js";
import { note, rest, words } from "../support/score-xml.js";
import { IN_BASS, PLAYED, read, SILENT } from "./in-hand-cases.js";

/** A direction for each text, all at one place. */
const pieces = (...texts: readonly string[]) => texts.map(words).join("");
/** One direction with several texts and signs. */
const direction = (...inside: readonly string[]) =>
  `<direction>${inside.map((each) => `<direction-type>${each}</direction-type>`).join("")}</direction>`;
const text = (content: string) => `<words>${content}</words>`;

/** `3: clarinet-bflat > clarinet-a` without the signs that say so. */
const withoutEvidence = (lines: readonly string[]) => lines.map((line) => line.split(" (")[0]);
const onStaff = (staff: number, content: string) =>
  words(content).replace("</direction>", `<staff>${staff}</staff></direction>`);

describe("an instruction in several directions", () => {
  // prettier-ignore
  it.each<[readonly string[], string]>([
    [["muta in", "La"], "clarinet-a"],
    [["muta", "in", "La"], "clarinet-a"],
    [["muta", "in La"], "clarinet-a"],
    [["Muta in", "Cl.", "in A"], "clarinet-a"],
    [["to", "Bass", "Clarinet"], "bass-clarinet-bflat"],
    [["To", "B. Cl."], "bass-clarinet-bflat"],
    [["take", "A clarinet"], "clarinet-a"],
    [["nimmt", "A-Klarinette"], "clarinet-a"],
    [["prenez la", "clarinette", "en la"], "clarinet-a"],
    [["espr.", "muta in", "La"], "clarinet-a"],
    [["muta in", "La", "dolce"], "clarinet-a"],
    [["Solo", "muta in La"], "clarinet-a"],
  ])("%j", (texts, to) => {
    const bars = [PLAYED, pieces(...texts) + SILENT, PLAYED];
    const { changes, disagreements, notices } = read(bars, { name: "Clarinet" });
    expect(withoutEvidence(changes)).toEqual([`3: clarinet-bflat > ${to}`]);
    expect([disagreements, notices]).toEqual([[], []]);
  });

  it("at several places of one bar", () => {
    const bars = [PLAYED, words("muta in") + rest(1) + words("La") + rest(3), PLAYED];
    expect(read(bars).changes).toEqual(["3: clarinet-bflat > clarinet-a (words in 2)"]);
  });

  it("holds from where it begins", () => {
    const over = words("muta in") + note("C5", 2) + words("La") + rest(2);
    expect(read([over, PLAYED]).changes).toEqual(["2: clarinet-bflat > clarinet-a (words in 1)"]);
  });

  it("as a label, which holds at once", () => {
    const bars = [PLAYED, pieces("Clar.", "in A") + PLAYED];
    expect(read(bars).changes).toEqual(["2: clarinet-bflat > clarinet-a (words in 2)"]);
  });

  it("for one player", () => {
    const bars = [PLAYED, pieces("2. muta", "in La") + SILENT, PLAYED];
    expect(read(bars, { name: "Clarinet 2" }).changes).toHaveLength(1);
    expect(read(bars, { name: "Clarinet 1" }).changes).toEqual([]);
  });
});

describe("an instruction in several <words>", () => {
  // prettier-ignore
  it.each<[string, string, string]>([
    ["in one type", direction(text("muta in") + text("La")), "clarinet-a"],
    ["in several types", direction(text("muta"), text("in"), text("La")), "clarinet-a"],
    ["with a flat as a symbol", direction(text("muta in Mi") + "<symbol>accidentalFlat</symbol>"), "clarinet-eflat"],
    ["with a flat of a text font", direction(text("muta in Mi") + text("♭")), "clarinet-eflat"],
    ["over two lines", direction(text("muta in&#10;Clarinetto basso")), "bass-clarinet-bflat"],
    ["the second half in a direction of its own", direction(text("muta") + text("in")) + words("La"), "clarinet-a"],
  ])("%s", (_, sign, to) => {
    expect(read([PLAYED, sign + SILENT, PLAYED]).changes).toEqual([
      `3: clarinet-bflat > ${to} (words in 2)`,
    ]);
  });
});

describe("a name and its key in two directions", () => {
  // prettier-ignore
  it.each<[readonly string[], string, string]>([
    [["Clarinet", "in A"], "Clarinet in Bb", "clarinet-bflat > clarinet-a"],
    [["To Clarinet", "in A"], "Clarinet in Bb", "clarinet-bflat > clarinet-a"],
  ])("%j: %s", (texts, name, change) => {
    const bars = [PLAYED, pieces(...texts) + SILENT, PLAYED];
    const { changes, disagreements } = read(bars, { name });
    expect(withoutEvidence(changes)).toEqual([`3: ${change}`]);
    expect(disagreements).toEqual([]);
  });

  // A key alone would mean the size in hand, a name alone the instrument in hand.
  it.each<[readonly string[], string, string]>([
    [["Bass Clarinet", "in B♭"], "Clarinet in Bb", "clarinet-bflat > bass-clarinet-bflat"],
    [["Bass Clarinet", "in B♭"], "Clarinet in A", "clarinet-a > bass-clarinet-bflat"],
    [["muta in Clar. basso", "in Si♭"], "Clarinet in Bb", "clarinet-bflat > bass-clarinet-bflat"],
    [["To Clarinet", "in A"], "Bass Clarinet", "bass-clarinet-bflat > clarinet-a"],
    [["Clarinet", "in B♭"], "Bass Clarinet", "bass-clarinet-bflat > clarinet-bflat"],
    [["To E♭", "Clarinet"], "Clarinet in Bb", "clarinet-bflat > clarinet-eflat"],
    [["nimmt A-", "Klarinette"], "Clarinet in Bb", "clarinet-bflat > clarinet-a"],
  ])("%j after %s", (texts, name, change) => {
    const bars = [PLAYED, pieces(...texts) + SILENT, PLAYED];
    expect(withoutEvidence(read(bars, { name }).changes)).toEqual([`3: ${change}`]);
  });

  it("over the last note before the rest", () => {
    const bars = [PLAYED, pieces("To Clarinet", "in A") + PLAYED, SILENT, PLAYED];
    const { changes } = read(bars, { name: "Bass Clarinet" });
    expect(withoutEvidence(changes)).toEqual(["4: bass-clarinet-bflat > clarinet-a"]);
  });
});

describe("what is not put together", () => {
  // prettier-ignore
  it.each<[string, readonly string[]]>([
    ["pieces in two bars", [words("muta in") + SILENT, words("La") + SILENT]],
    ["pieces on two staves", [onStaff(1, "muta in") + onStaff(2, "La") + SILENT, SILENT]],
    ["players and a tempo", [pieces("a 2", "in tempo") + SILENT, SILENT]],
    ["cues one after the other", [pieces("Fl.", "Ob.", "Cl.") + SILENT, SILENT]],
    ["a cue and who plays it", [pieces("Cl.", "I.", "Solo") + SILENT, SILENT]],
    ["a tempo and a mood", [pieces("poco a poco", "animato", "in") + SILENT, SILENT]],
    ["another coda", [pieces("to", "Coda") + SILENT, SILENT]],
    ["a mute", [pieces("muta in", "sordina") + SILENT, SILENT]],
    ["timpani", [pieces("muta in", "Fa, Do") + SILENT, SILENT]],
  ])("%s", (_, silence) => {
    const { changes } = read([IN_BASS + PLAYED, ...silence, PLAYED], { name: "Bass Clarinet" });
    expect(changes).toEqual([]);
  });

  it("whole instructions beside each other stay two", () => {
    const at = { barIndex: 0, offset: undefined as never };
    const two = ["muta in La", "Clarinet in A"].map((each) => ({
      at,
      kind: "words" as const,
      text: each,
    }));
    expect(joinSplitWords(two)).toEqual(two);
  });
});
