/**
 * Writes the demo piece: a short score for an invented orchestra, and the part of its second
 * clarinet, who carries three instruments.
 *
 * Clarinet 2 plays the flat keys on the B-flat clarinet and the sharp ones on the A, and takes the
 * bass clarinet for the slow middle. Most rests are long enough; two are tight, and the one over
 * the 5/8 bar is too short for anybody. The repeat of bars 31 to 50 begins on the B-flat and ends
 * on the A, so that going back is a change which stands nowhere on the page. Before bar 122 the
 * copyist wrote "muta in La", gave the key and the notes for the A clarinet, and forgot the new
 * transposition. The page of the part turns inside the rest of change 8, at bar 86.
 *
 * The changes of clarinet 2 in the order of performance. Beats are those the player counts (dotted
 * quarters in bars 31 to 50); "leave" is where the last note ends, so beat 3 of a 2/4 bar is its
 * end; the pass is in brackets. The seconds are at the printed tempo: without the fermata in bar
 * 121, just before the entry of change 10.
 *
 * |  # | from | to   | leave   | enter   | quarters | seconds | worked out as                       |
 * | -: | ---- | ---- | ------- | ------- | -------: | ------: | ----------------------------------- |
 * |  1 | B♭   | A    | 8.4     | 17.1    |     33   |  23.571 | 33 x 60/84                          |
 * |  2 | A    | B♭   | 28.3    | 31.2(1) |      8.5 |   4.639 | 7 x 60/108 + 1.5 x 60/120           |
 * |  3 | B♭   | A    | 35.2(1) | 46.1(1) |     31.5 |  15.750 | 31.5 x 60/120                       |
 * |  4 | A    | B♭   | 50.2(1) | 31.2(2) |      3   |   1.500 | (1.5 + 1.5) x 60/120, by the repeat |
 * |  5 | B♭   | A    | 35.2(2) | 46.1(2) |     31.5 |  15.750 | 31.5 x 60/120                       |
 * |  6 | A    | B♭   | 59.3    | 61.2    |      4.5 |   2.143 | (1 + 2.5 + 1) x 60/126, over 5/8    |
 * |  7 | B♭   | A    | 67.2    | 72.1    |      9   |   4.286 | 9 x 60/126                          |
 * |  8 | A    | bass | 81.3    | 91.1    |     29   |  29.000 | (2 + 7 + 8 + 12) x 60/60            |
 * |  9 | bass | B♭   | 100.3   | 109.1   |     33   |  17.000 | 1 x 60/60 + 32 x 60/120             |
 * | 10 | B♭   | A    | 113.3   | 122.1   |     34   |  17.000 | (2 + 32) x 60/120, misprinted       |
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { ALL_PARTS, CLARINET_2_LAYOUT, CLARINET_2_PART } from "./parts.js";
import { FILE_NAME } from "./plan.js";
import { scoreXml } from "./score-xml.js";

const folder = fileURLToPath(new URL("../../fixtures/demo/", import.meta.url));
mkdirSync(folder, { recursive: true });
const playersPart = "Clarinet 2 (B♭, A, Bass Clarinet)";

writeFileSync(`${folder}${FILE_NAME}.musicxml`, scoreXml(ALL_PARTS));
writeFileSync(
  `${folder}${FILE_NAME}-clarinet-2.musicxml`,
  scoreXml([CLARINET_2_PART], { layout: CLARINET_2_LAYOUT, playersPart }),
);
