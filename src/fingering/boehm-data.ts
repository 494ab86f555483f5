/**
 * Where a fingering comes from, one letter a source:
 * - K: Klosé / Magnani method charts (public domain, 19th c.), by the transcription
 *   reneeverly/digital-clarinet, keychart-generator/boehm-system.js
 * - D: the fingering data set for the B-flat clarinet ThePowerOfSwift/Archive,
 *   rnemi-old/FING_CL_Bflat.js; V: the same but for the vent of a little finger
 * - M: the standard Boehm chart, from memory
 * K and D are the two outside sources. Both merge the linked keys of the two little fingers, so a
 * row that differs from another in the side only is confirmed by what confirms the other.
 */
export type SourceCode = "K" | "D" | "V" | "M";

/** Data-set-only fingerings (A-flat 6 to C7) stand in one outside source and are not reliable. */
export type FingeringKind = "standard" | "alternate" | "dataset-only";

/** Written pitch, keys, kind, what it is used for, sources, how many outside sources have it. */
export type FingeringRow = readonly [
  written: string,
  keys: string,
  kind: FingeringKind,
  use: string,
  sources: string,
  confirmed: number,
];

/**
 * Every note of the standard Boehm clarinet, E3 to C7 written, with its fingerings, the usual first.
 * E3 to F6 is solid but for E-flat 6; E-flat 6 and F-sharp 6 are from memory, for G6 several are
 * in use. Above C6 the little finger's vent (RGs) is optional.
 */
// prettier-ignore
export const FINGERING_ROWS: readonly FingeringRow[] = [
  ["E3", "T L1 L2 L3 R1 R2 R3 LE", "standard", "left little finger", "KVM", 2],
  ["E3", "T L1 L2 L3 R1 R2 R3 RE", "standard", "right little finger", "KVM", 2],
  ["E3", "T L1 L2 L3 R1 R2 R3 LE RF", "alternate", "left E with right F held", "KDM", 2],
  ["F3", "T L1 L2 L3 R1 R2 R3 RF", "standard", "right", "KDM", 2],
  ["F3", "T L1 L2 L3 R1 R2 R3 LF", "standard", "left", "KDM", 2],
  ["F#3", "T L1 L2 L3 R1 R2 R3 RFs", "standard", "right", "KDM", 2],
  ["F#3", "T L1 L2 L3 R1 R2 R3 LFs", "standard", "left", "KDM", 2],
  ["F#3", "T L1 L2 L3 R1 R2 R3 LFs RF", "alternate", "", "KM", 1],
  ["G3", "T L1 L2 L3 R1 R2 R3", "standard", "", "KDM", 2],
  ["Ab3", "T L1 L2 L3 R1 R2 R3 RGs", "standard", "", "DM", 1],
  ["A3", "T L1 L2 L3 R1 R2", "standard", "", "KDM", 2],
  ["Bb3", "T L1 L2 L3 R1", "standard", "", "KDM", 2],
  ["B3", "T L1 L2 L3 R2", "standard", "middle finger", "KDM", 2],
  ["B3", "T L1 L2 L3 R1 RS", "standard", "chromatic, sliver key", "KDM", 2],
  ["B3", "T L1 L2 L3 R3", "alternate", "", "KM", 1],
  ["C4", "T L1 L2 L3", "standard", "", "KDM", 2],
  ["C#4", "T L1 L2 L3 Cs", "standard", "", "KDM", 2],
  ["D4", "T L1 L2", "standard", "", "DM", 1],
  ["Eb4", "T L1 L2 S1", "standard", "side key", "KDM", 2],
  ["Eb4", "T L1 L2 LS", "standard", "left sliver key", "KDM", 2],
  ["Eb4", "T L1 R1", "alternate", "one-and-one", "KM", 1],
  ["Eb4", "T L1 R2", "alternate", "fork with right middle", "KM", 1],
  ["E4", "T L1", "standard", "", "KDM", 2],
  ["F4", "T", "standard", "", "KDM", 2],
  ["F4", "T LS", "alternate", "", "KM", 1],
  ["F4", "T S1", "alternate", "", "KM", 1],
  ["F#4", "L1", "standard", "", "KDM", 2],
  ["F#4", "T S1 S2", "standard", "chromatic with F4", "DM", 1],
  ["G4", "", "standard", "", "KDM", 2],
  ["Ab4", "Gs", "standard", "", "KDM", 2],
  ["A4", "A", "standard", "", "KM", 1],
  ["Bb4", "A R", "standard", "", "KDM", 2],
  ["Bb4", "A S3", "alternate", "side B-flat", "DM", 1],
  ["B4", "T R L1 L2 L3 R1 R2 R3 LE", "standard", "left little finger", "KDM", 2],
  ["B4", "T R L1 L2 L3 R1 R2 R3 RE", "standard", "right little finger", "KDM", 2],
  ["B4", "T R L1 L2 L3 R1 R2 R3 LE RF", "alternate", "left E with right F held", "KDM", 2],
  ["C5", "T R L1 L2 L3 R1 R2 R3 RF", "standard", "right", "KDM", 2],
  ["C5", "T R L1 L2 L3 R1 R2 R3 LF", "standard", "left", "KDM", 2],
  ["C#5", "T R L1 L2 L3 R1 R2 R3 RFs", "standard", "right", "KDM", 2],
  ["C#5", "T R L1 L2 L3 R1 R2 R3 LFs", "standard", "left", "KDM", 2],
  ["C#5", "T R L1 L2 L3 R1 R2 R3 LFs RF", "alternate", "", "KM", 1],
  ["D5", "T R L1 L2 L3 R1 R2 R3", "standard", "", "KM", 1],
  ["Eb5", "T R L1 L2 L3 R1 R2 R3 RGs", "standard", "", "KDM", 2],
  ["E5", "T R L1 L2 L3 R1 R2", "standard", "", "KDM", 2],
  ["F5", "T R L1 L2 L3 R1", "standard", "", "KDM", 2],
  ["F#5", "T R L1 L2 L3 R2", "standard", "middle finger", "M", 0],
  ["F#5", "T R L1 L2 L3 R1 RS", "standard", "chromatic, sliver key", "KDM", 2],
  ["F#5", "T R L1 L2 L3 R3", "alternate", "", "M", 0],
  ["G5", "T R L1 L2 L3", "standard", "", "KDM", 2],
  ["Ab5", "T R L1 L2 L3 Cs", "standard", "", "KDM", 2],
  ["A5", "T R L1 L2", "standard", "", "KDM", 2],
  ["Bb5", "T R L1 L2 S1", "standard", "side key", "KDM", 2],
  ["Bb5", "T R L1 L2 LS", "standard", "left sliver key", "KDM", 2],
  ["Bb5", "T R L1 R1", "alternate", "one-and-one", "KDM", 2],
  ["Bb5", "T R L1 R2", "alternate", "fork with right middle", "DM", 1],
  ["B5", "T R L1", "standard", "", "KDM", 2],
  ["C6", "T R", "standard", "", "KDM", 2],
  ["C6", "T R LS", "alternate", "", "KM", 1],
  ["C6", "T R S1", "alternate", "", "M", 0],
  ["C#6", "T R L2 L3 R1 R2", "standard", "RGs optional", "DM", 1],
  ["C#6", "T R S1 S2", "alternate", "chromatic from C6", "DM", 1],
  ["C#6", "R L1", "alternate", "short", "DM", 1],
  ["D6", "T R L2 L3 R1 RGs", "standard", "", "DM", 1],
  ["D6", "T R L2 L3 R1", "alternate", "without RGs", "DM", 1],
  ["Eb6", "T R L2 L3 R2 RGs", "standard", "both printed in charts; not in the two data sets", "M", 0],
  ["Eb6", "T R L2 L3 R1 RS RGs", "standard", "sliver; the data set gives the same keys for Ab6", "M", 0],
  ["Eb6", "T R L2 L3 R3 RGs", "alternate", "", "DM", 1],
  ["E6", "T R L2 L3 RGs", "standard", "", "VM", 1],
  ["E6", "T R L2 L3", "alternate", "without RGs", "DM", 1],
  ["F6", "T R L2 L3 Cs RGs", "standard", "", "VM", 1],
  ["F6", "T R L2 L3 Cs", "alternate", "without RGs", "DM", 1],
  ["F#6", "T R L2 RGs", "standard", "", "M", 0],
  ["F#6", "T R L2 L3 R1 R2 R3 RGs", "alternate", "long", "DM", 1],
  ["G6", "T R L2 R1 R2 RGs", "standard", "several equally common", "DM", 1],
  ["G6", "R L1 L3", "alternate", "", "DM", 1],
  ["G6", "T R L1 R1 R2 RGs", "alternate", "", "DM", 1],
  ["Ab6", "T R L2 L3 R1 RS RGs", "dataset-only", "unverified", "D", 1],
  ["Ab6", "T R L3 Cs S1 S2", "dataset-only", "unverified", "D", 1],
  ["A6", "T R L2 L3 RFs", "dataset-only", "unverified", "D", 1],
  ["Bb6", "R L2 L3 Gs RFs", "dataset-only", "unverified", "D", 1],
  ["B6", "T R L1 L2 L3 Cs R1 R2 RFs", "dataset-only", "unverified", "D", 1],
  ["C7", "T R L1 Gs R1 RFs", "dataset-only", "unverified", "D", 1],
];

/** Lower and upper written note, keys held, keys worked, source, and how sure it is. */
export type TrillRow = readonly [
  lower: string,
  upper: string,
  hold: string,
  move: string,
  source: string,
  grade: "from memory" | "published data set",
];

/**
 * Fingerings for quick alternation only: one finger works, the rest hold. Whether the worked keys
 * give the upper or the lower note follows from the keys. Most are from memory.
 */
// prettier-ignore
export const TRILL_ROWS: readonly TrillRow[] = [
  ["A4", "B4", "A", "S3 S4", "from memory (the data set lists B4 with A and side keys)", "from memory"],
  ["Bb4", "C5", "A R", "S3 S4", "from memory (the transcription lists C5 with R, A and the top side key)", "from memory"],
  ["A4", "Bb4", "A", "S3", "from memory; side B-flat confirmed by the data set", "from memory"],
  ["G4", "A4", "", "S3 S4", "from memory", "from memory"],
  ["F4", "F#4", "T", "S1 S2", "from memory; keys confirmed by the data set", "published data set"],
  ["D4", "Eb4", "T L1 L2", "S1", "from memory; keys confirmed by both", "published data set"],
  ["B4", "C#5", "T R L1 L2 L3 R1 R2 R3 RFs", "LE", "from memory: LE closes the lowest pads as well, so lifting it leaves C#5", "from memory"],
  ["C5", "C#5", "T R L1 L2 L3 R1 R2 R3 LFs", "RF", "from memory", "from memory"],
];
