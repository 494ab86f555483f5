import type { InstrumentId } from "../../src/model/instrument.js";
import { attributes, words } from "../support/score-xml.js";
import { declared, PLAYED, read, SILENT, type Part } from "./in-hand-cases.js";

/** A bar of rest and the entry after it. */
export type Step = readonly [silence: string, entry: string];

/** What stands over the rest: "To Flute". */
export const inRest = (text: string): Step => [words(text) + SILENT, PLAYED];
/** What stands over the entry: "Alto Sax". */
export const atEntry = (text: string): Step => [SILENT, words(text) + PLAYED];
/** A transposition at the entry, and what stands over it. */
export const sounding = (transpose: readonly [number, number, number?], text = ""): Step => [
  SILENT,
  attributes({ transpose }) + (text && words(text)) + PLAYED,
];
/** An encoded change at the entry. */
export const encoded = (content: string): Step => [
  SILENT,
  `<sound><instrument-change ${content}</instrument-change></sound>` + PLAYED,
];

/** What is in hand at every entry: the first, and those after the rests. */
export function handsOf(first: string, steps: readonly Step[], part: Part) {
  const bars = [first + PLAYED, ...steps.flat()];
  const page = read(bars, part);
  const changed = new Map(
    page.changes.map((line): [string, string] => {
      const [bar = "", , , to = ""] = line.split(/: | /);
      return [bar, to];
    }),
  );
  const hands = [page.first as string];
  steps.forEach((_, k) => hands.push(changed.get(String(2 * k + 3)) ?? hands.at(-1)!));
  const { changes, disagreements, notices } = page;
  return { hands, changes, disagreements, notices };
}

/** The sizes of a theatre book, as files declare them. */
const HELD: readonly (readonly [InstrumentId, string, string])[] = [
  ["clarinet-bflat", "Clarinet in Bb", "wind.reed.clarinet.bflat"],
  ["bass-clarinet-bflat", "Bass Clarinet", "wind.reed.clarinet.bass"],
  ["flute", "Flute", "wind.flutes.flute"],
  ["saxophone-alto", "Alto Saxophone", "wind.reed.saxophone.alto"],
  ["saxophone-tenor", "Tenor Saxophone", "wind.reed.saxophone.tenor"],
  ["oboe", "Oboe", "wind.reed.oboe"],
];

/** A book whose score-instruments are named after what they are: `flute`. */
export const REED_2: Part = {
  name: "Reed 2",
  extra: HELD.map(([id, name, sound]) => declared(id, name, sound)).join(""),
};

/** A book of which the file says nothing but the name. */
export const NAME_ALONE: Part = { name: "Reed 2" };

/** Chains of a player's doubles by words alone, as printed parts have them: common practice, no source. */
// prettier-ignore
export const BY_WORDS: readonly (readonly [name: string, steps: readonly Step[], hands: readonly string[]])[] = [
    ["Flute", [inRest("To Picc."), inRest("To Fl."), inRest("To Alto Flute"), inRest("To Picc."), atEntry("Flute (again)")],
      ["flute", "piccolo", "flute", "alto-flute", "piccolo", "flute"]],
    ["Flauto II", [inRest("muta in ottavino"), inRest("muta in flauto grande"), inRest("muta in Sol")],
      ["flute", "piccolo", "flute", "alto-flute"]],
    ["Große Flöte", [inRest("nimmt kl. Fl."), inRest("nimmt gr. Fl."), inRest("nimmt Altflöte in G")],
      ["flute", "piccolo", "flute", "alto-flute"]],
    ["Piccolo", [inRest("prenez la grande flûte"), inRest("prenez la petite flûte")],
      ["piccolo", "flute", "piccolo"]],
    ["Oboe", [inRest("To E. H."), inRest("To Ob."), atEntry("Oboe d'amore"), inRest("muta in Corno inglese"), atEntry("Oboe")],
      ["oboe", "english-horn", "oboe", "oboe-damore", "english-horn", "oboe"]],
    ["Hautbois", [inRest("prend le cor anglais"), inRest("prend le hautbois")], ["oboe", "english-horn", "oboe"]],
    ["English Horn", [inRest("nimmt Oboe"), inRest("nimmt Englischhorn")], ["english-horn", "oboe", "english-horn"]],
    ["Bassoon 2", [inRest("To Contrabassoon"), inRest("To Bsn."), inRest("muta in C.Fag."), inRest("muta in Fag.")],
      ["bassoon", "contrabassoon", "bassoon", "contrabassoon", "bassoon"]],
    ["Alto Sax", [inRest("To Tenor Sax"), inRest("To Soprano Sax"), inRest("To Bari Sax"), inRest("To Alto Sax")],
      ["saxophone-alto", "saxophone-tenor", "saxophone-soprano", "saxophone-baritone", "saxophone-alto"]],
    ["Alto Saxophone", [inRest("To Ten. Sax"), inRest("To A. Sax")], ["saxophone-alto", "saxophone-tenor", "saxophone-alto"]],
    // Whichever saxophone was played last.
    ["Tenor Sax", [inRest("To Clarinet"), inRest("To Sax."), inRest("To Cl.")],
      ["saxophone-tenor", "clarinet-bflat", "saxophone-tenor", "clarinet-bflat"]],
];
