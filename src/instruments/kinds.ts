import type { InstrumentId } from "../model/instrument.js";

/** What a printed name says of an instrument before its key is known. */
export const INSTRUMENT_KINDS = [
  "clarinet",
  "small-clarinet",
  "bass-clarinet",
  "alto-clarinet",
  "basset-clarinet",
  "basset-horn",
  "contra-alto-clarinet",
  "contrabass-clarinet",
  "flute",
  "piccolo",
  "alto-flute",
  "oboe",
  "oboe-damore",
  "english-horn",
  "bassoon",
  "contrabassoon",
  "saxophone",
  "saxophone-soprano",
  "saxophone-alto",
  "saxophone-tenor",
  "saxophone-baritone",
] as const;
export type InstrumentKind = (typeof INSTRUMENT_KINDS)[number];

/** The instruments a kind may mean when no key is printed, the most usual first. */
export const KIND_INSTRUMENTS = {
  clarinet: [
    "clarinet-bflat",
    "clarinet-a",
    "clarinet-c",
    "clarinet-eflat",
    "clarinet-d",
    "clarinet-aflat",
  ],
  "small-clarinet": ["clarinet-eflat", "clarinet-d", "clarinet-aflat"],
  "bass-clarinet": ["bass-clarinet-bflat", "bass-clarinet-a"],
  "alto-clarinet": ["alto-clarinet-eflat"],
  "basset-clarinet": ["basset-clarinet-a"],
  "basset-horn": ["basset-horn-f"],
  "contra-alto-clarinet": ["contra-alto-clarinet-eflat"],
  "contrabass-clarinet": ["contrabass-clarinet-bflat"],
  flute: ["flute"],
  piccolo: ["piccolo"],
  "alto-flute": ["alto-flute"],
  oboe: ["oboe"],
  "oboe-damore": ["oboe-damore"],
  "english-horn": ["english-horn"],
  bassoon: ["bassoon"],
  contrabassoon: ["contrabassoon"],
  saxophone: ["saxophone-alto", "saxophone-tenor", "saxophone-soprano", "saxophone-baritone"],
  "saxophone-soprano": ["saxophone-soprano"],
  "saxophone-alto": ["saxophone-alto"],
  "saxophone-tenor": ["saxophone-tenor"],
  "saxophone-baritone": ["saxophone-baritone"],
} as const satisfies Record<InstrumentKind, readonly InstrumentId[]>;

/**
 * Kinds that a key turns into another one: a flute in G is the alto flute, an oboe in A the oboe
 * d'amore, and the E-flat contrabass clarinet is the contra-alto (common practice, no source).
 */
export const KIND_BY_KEY: readonly (readonly [
  kind: InstrumentKind,
  fifths: number,
  meant: InstrumentKind,
])[] = [
  ["flute", 1, "alto-flute"],
  ["oboe", 3, "oboe-damore"],
  ["contrabass-clarinet", -3, "contra-alto-clarinet"],
];
