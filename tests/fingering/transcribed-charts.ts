/**
 * What one of the two outside sources has, note for note, in the key ids of this project: the Klosé and
 * Magnani method charts as transcribed in reneeverly/digital-clarinet, keychart-generator/boehm-system.js
 * (E3 to C6). Read for these tests, not by way of the reference list. It writes each linked key of the
 * little fingers as the left one, and numbers the side keys from the top. Two labels are its slips and
 * stand here as it has them: the keys of G-sharp 3 under G3, those of D4 under C4. Four rows name keys
 * that it does not define and are left out.
 */
// prettier-ignore
export const TRANSCRIBED: readonly (readonly [written: string, keys: readonly string[]])[] = [
  ["E3", ["T L1 L2 L3 LE R1 R2 R3 LF", "T L1 L2 L3 LE R1 R2 R3"]],
  ["F3", ["T L1 L2 L3 LF R1 R2 R3"]],
  ["F#3", ["T L1 L2 L3 LFs R1 R2 R3", "T L1 L2 L3 LFs R1 R2 R3 LF"]],
  ["G3", ["T L1 L2 L3 R1 R2 R3", "T L1 L2 L3 R1 R2 R3 RGs"]],
  ["A3", ["T L1 L2 L3 R1 R2"]],
  ["A#3", ["T L1 L2 L3 R1"]],
  ["B3", ["T L1 L2 L3 R2", "T L1 L2 L3 R1 RS", "T L1 L2 L3 R3"]],
  ["C4", ["T L1 L2 L3", "T L1 L2"]],
  ["C#4", ["T L1 L2 L3 Cs"]],
  ["D#4", ["T L1 L2 S1", "T L1 L2 LS", "T L1 R1", "T L1 R2"]],
  ["E4", ["T L1"]],
  ["F4", ["T", "T LS", "T S1", "T L1 L2 LS S2"]],
  ["F#4", ["L1", "T S2"]],
  ["G4", ["", "L3", "Gs T"]],
  ["G#4", ["Gs", "Gs T S2"]],
  ["A4", ["A", "L3 S3", "A L3"]],
  ["A#4", ["A R", "A L3 S3"]],
  ["B4", ["R T L1 L2 L3 LE R1 R2 R3 LF", "R T L1 L2 L3 LE R1 R2 R3", "A L3 S4", "R A L3 S3"]],
  ["C5", ["R T L1 L2 L3 R1 R2 R3 LF", "R A L3 S4"]],
  ["C#5", ["R T L1 L2 L3 LFs R1 R2 R3", "R T L1 L2 L3 LFs R1 R2 R3 LF"]],
  ["D5", ["R T L1 L2 L3 R1 R2 R3"]],
  ["D#5", ["R T L1 L2 L3 R1 R2 R3 RGs"]],
  ["E5", ["R T L1 L2 L3 R1 R2"]],
  ["F5", ["R T L1 L2 L3 R1"]],
  ["F#5", ["R T L1 L2 L3 R1 RS"]],
  ["G5", ["R T L1 L2 L3", "R T L1 L2 L3 Cs R1"]],
  ["G#5", ["R T L1 L2 L3 Cs"]],
  ["A5", ["R T L1 L2", "R T L1 L2 L3 S1"]],
  ["A#5", ["R T L1 L2 LS", "R T L1 L2 S1", "R T L1 R1", "R T L1 L2", "R T L2 L3 Cs"]],
  ["B5", ["R T L1", "R T L2"]],
  ["C6", ["R T", "R T LS"]],
];
