import type { InstrumentId } from "../model/instrument.js";
import { INSTRUMENTS } from "../instruments/table.js";
import { midiNumber, parsePitch } from "../theory/pitch.js";
import {
  FINGERING_ROWS,
  TRILL_ROWS,
  type FingeringKind,
  type FingeringRow,
  type TrillRow,
} from "./boehm-data.js";
import type { Finger, Register } from "../model/fingering.js";
import { FINGERS, KEYS, parseKeys, type KeyId } from "./boehm-keys.js";

/** One way to finger a written note. */
export interface Fingering {
  /** Its place in the order of all fingerings: unique, and the usual of a note comes first. */
  readonly index: number;
  /** Written MIDI number, E3 being 52. */
  readonly midi: number;
  readonly keys: readonly KeyId[];
  /** The keys of each finger, in the order of `FINGERS`. */
  readonly hands: readonly (readonly KeyId[])[];
  readonly kind: FingeringKind | "trill";
  /** What it is used for, empty for the only usual one. */
  readonly use: string;
  /** Letters of `SourceCode`; empty for what follows from other rows. */
  readonly sources: string;
  /** How many of the two outside sources have it. */
  readonly confirmed: number;
  /** Whether right-hand fingers stay down that the note does not need. */
  readonly handDown: boolean;
}

/** A fingering for quick alternation: one finger works. */
export interface TrillFingering {
  readonly lower: Fingering;
  readonly upper: Fingering;
}

/** The register of a written MIDI number. */
export function registerOf(midi: number): Register {
  if (midi < 66) return "chalumeau";
  if (midi < 71) return "throat";
  if (midi < 85) return "clarion";
  return midi < 92 ? "altissimo" : "extreme";
}

/**
 * F-sharp 3 and C-sharp 5 with the left key and the right F together. The trill row for C5 and
 * C-sharp 5 has the same keys for the lower note, and by the linkage the F key closes what the
 * F-sharp key closes. Kept in the table, but nothing is played with them.
 */
const DOUBTFUL_KEYS = "T L1 L2 L3 R1 R2 R3 LFs RF";

/**
 * Throat notes speak with the right hand down, so players put it down before the break. G4 to B-flat 4,
 * with the three fingers and any one key of the right little finger. Common practice, no source.
 */
const HAND_DOWN_NOTES = [67, 68, 69, 70];
const HAND_DOWN_KEYS = ["R1 R2 R3", "R1 R2 R3 RF", "R1 R2 R3 RE", "R1 R2 R3 RFs", "R1 R2 R3 RGs"];

let count = 0;
function build(
  midi: number,
  keys: readonly KeyId[],
  facts: Pick<Fingering, "kind" | "use" | "sources" | "confirmed" | "handDown">,
): Fingering {
  const hands = FINGERS.map((finger) => keys.filter((key) => KEYS[key].finger === finger));
  return { index: count++, midi, keys, hands, ...facts };
}

function fromRow([written, keys, kind, use, sources, confirmed]: FingeringRow): Fingering {
  const facts = { kind, use, sources, confirmed, handDown: false };
  return build(midiNumber(parsePitch(written)), parseKeys(keys), facts);
}

/** Every row of the table, the doubtful ones too, as printed there. */
export const TABLE: readonly Fingering[] = FINGERING_ROWS.map(fromRow);

const isDoubtful = ({ keys }: Fingering) => {
  const doubtful = parseKeys(DOUBTFUL_KEYS);
  const others: readonly KeyId[] = keys.filter((key) => key !== "R");
  return others.length === doubtful.length && doubtful.every((key) => others.includes(key));
};

const handDown: readonly Fingering[] = TABLE.filter(
  ({ midi, kind }) => HAND_DOWN_NOTES.includes(midi) && kind === "standard",
).flatMap(({ midi, keys }) =>
  HAND_DOWN_KEYS.map((more) =>
    build(midi, [...keys, ...parseKeys(more)], {
      kind: "standard",
      use: "right hand down",
      sources: "",
      confirmed: 0,
      handDown: true,
    }),
  ),
);

const byNote = new Map<number, readonly Fingering[]>();
for (const fingering of [...TABLE.filter((row) => !isDoubtful(row)), ...handDown]) {
  byNote.set(fingering.midi, [...(byNote.get(fingering.midi) ?? []), fingering]);
}

/** How a written note can be played, the usual way first; nothing outside the table. */
export function fingeringsOf(midi: number): readonly Fingering[] {
  return byNote.get(midi) ?? [];
}

/**
 * The side keys open holes, so pressing them raises the note; the keys of the little fingers that
 * trill close holes, so pressing them lowers it.
 */
function trillFromRow([lower, upper, hold, move, source]: TrillRow): TrillFingering {
  const held = parseKeys(hold);
  const worked = parseKeys(move);
  const lowers = worked.some((key) => KEYS[key].finger === "LL" || KEYS[key].finger === "RL");
  const facts = { kind: "trill", use: source, sources: "", confirmed: 0, handDown: false } as const;
  const both = [...held, ...worked];
  return {
    lower: build(midiNumber(parsePitch(lower)), lowers ? both : held, facts),
    upper: build(midiNumber(parsePitch(upper)), lowers ? held : both, facts),
  };
}

/** The fingerings kept for trills. */
export const TRILLS: readonly TrillFingering[] = TRILL_ROWS.map(trillFromRow);

/** The fingers and what they hold: for telling one fingering from another. */
export function keysOf(fingering: Fingering, finger: Finger): readonly KeyId[] {
  return fingering.hands[FINGERS.indexOf(finger)] ?? [];
}

/**
 * Whether an instrument is fingered by this table: all clarinets are, as they are written. That low clarinets
 * have a few keys more and other fingerings above C6 is left aside (assumption).
 */
export function isFingeredHere(id: InstrumentId): boolean {
  return INSTRUMENTS[id].family === "clarinet";
}
