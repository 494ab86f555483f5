import { expect, it } from "vitest";
import type { OtherPart } from "../../src/model/other-part.js";
import { corpusScores, describeCorpus } from "../support/corpus.js";
import { otherSounds, type OtherSound } from "./other-sounds.js";
import {
  clarinetParts,
  hasColumn,
  isLostNote,
  pitchAt,
  pitchesNear,
  soundingRows,
  TOLERANCE_QUARTERS,
  unshifted,
  type SoundingRow,
} from "./sounding-table.js";

/**
 * Rows of the tables that are not what the score has, found by comparing the two; numbers of rows of all
 * other parts together. The bars were looked at in the scores.
 *
 * - `lost`: see sounding.test.ts; also inside notes that begin on a fifth of a quarter.
 * - `oneVoice`: on a staff of two voices the table follows one and loses what the other holds or begins
 *   (brahms-op98-1, cellos, bars 194-198: a tied C2 under a moving voice; boulanger-matin, fourth horn, bar
 *   172: a whole bar's note over three short ones). Ours is then the upper of the notes that sound.
 * - `firstPlayer`: the table gives the second player what the first has, under "1." (brahms-op98-1, bars 166-168
 *   and 348-351, where the second has a bar's rest).
 * - `cue`: cue notes that the table takes for played (boulanger-matin, cymbal, bars 21 and 27).
 * - `sameName`: parts of one name share a column (boulanger-matin, three called "Violin"): the row is what another
 *   one of that name plays.
 */
interface Faults {
  readonly lost: number;
  readonly oneVoice: number;
  readonly firstPlayer: number;
  readonly cue: number;
  readonly sameName: number;
}
const NO_FAULTS: Faults = { lost: 0, oneVoice: 0, firstPlayer: 0, cue: 0, sameName: 0 };

const FAULTS: Readonly<Record<string, Partial<Faults>>> = {
  "boulanger-matin": { lost: 39, oneVoice: 120, cue: 2, sameName: 6445 },
  "brahms-op98-1": { lost: 282, oneVoice: 29, firstPlayer: 54 },
  "brahms-op98-2": { oneVoice: 11 },
  "brahms-op98-4": { oneVoice: 2 },
};

// Source of the tables: OpenScore Orchestra corpus (MarkGotham/Hauptstimme, 2025-26), derived by other software.
describeCorpus("the other parts as they sound", () => {
  it.each(corpusScores())("$name: sounding.csv, all parts", async ({ name: folder }) => {
    const { score, parts } = await clarinetParts(folder);
    const [own] = parts;
    if (!own) throw new Error("no clarinet");
    const others = score.otherParts(own.id);
    expect(others.length).toBe(score.parts.length - 1);
    const [anyOther] = others;
    const ownAsHeard = score
      .otherParts(anyOther?.part.id ?? "")
      .find(({ part }) => part.id === own.id);
    const all = ownAsHeard ? [ownAsHeard, ...others] : others;
    const soundsOf = otherSounds(score, own.id);
    const count = { ...NO_FAULTS };
    const unexplained: unknown[] = [];
    let compared = 0;
    for (const other of others) {
      expect(hasColumn(folder, other.part.name)).toBe(true);
      const sounds = soundsOf(other);
      const rows = unshifted(folder, soundingRows(folder, other.part.name));
      compared += rows.length;
      const namesakes = others.filter((each) => isNamesake(each, other)).map(soundsOf);
      const differing = rows.filter((row) => !isAsInTable(row, sounds));
      for (const row of differing) {
        const fault = faultOf(row, sounds, namesakes, soundsOf, all, other);
        if (fault === undefined) unexplained.push({ part: other.part.name, ...row });
        else count[fault]++;
      }
      expect(other.unreadableBars()).toEqual([]);
    }
    expect(unexplained).toEqual([]);
    expect(compared).toBeGreaterThan(20_000);
    expect(count).toEqual({ ...NO_FAULTS, ...FAULTS[folder] });
  });
});

/** A drum has no pitch of its own in the score; the table gives it one. */
function isAsInTable(row: SoundingRow, sounds: readonly OtherSound[]): boolean {
  const near = pitchesNear(sounds, row.quarters);
  return near.some((pitch) => pitch === row.pitch || (Number.isNaN(pitch) && row.pitch !== null));
}

function isNamesake(a: OtherPart, b: OtherPart): boolean {
  return a !== b && a.part.name === b.part.name;
}

function faultOf(
  row: SoundingRow,
  sounds: readonly OtherSound[],
  namesakes: readonly (readonly OtherSound[])[],
  soundsOf: (part: OtherPart) => readonly OtherSound[],
  all: readonly OtherPart[],
  own: OtherPart,
): keyof Faults | undefined {
  if (isLost(row, sounds)) return "lost";
  const isOfNamesake = namesakes.some(
    (each) => isAsInTable(row, each) || isLost(row, each) || isOneVoice(row, each),
  );
  if (isOfNamesake) return "sameName";
  if (isOneVoice(row, sounds)) return "oneVoice";
  if (pitchAt(sounds, row.quarters + TOLERANCE_QUARTERS) !== null || row.pitch === null) return;
  const first = all.find(({ part }) => part.name === own.part.name.replace(/2$/, "1"));
  if (first && first !== own && isAsInTable(row, soundsOf(first))) return "firstPlayer";
  return CUES[own.part.name]?.includes(row.bar) ? "cue" : undefined;
}

/** Inside a note that begins on a fraction which a computer rounds: thirds, fifths, sevenths. */
function isLost(row: SoundingRow, sounds: readonly OtherSound[]): boolean {
  const isRounded = ({ start, end }: OtherSound) =>
    start < row.quarters && row.quarters < end && !Number.isInteger(start * 64);
  return isLostNote(row, sounds) || (row.pitch === null && sounds.some(isRounded));
}

/** Two voices in the bar, of which the table has the lower, or takes the rest of one for that of both. */
function isOneVoice(row: SoundingRow, sounds: readonly OtherSound[]): boolean {
  const inBar = sounds.filter(({ bar }) => bar === row.bar);
  const voices = [...new Set(inBar.map(({ voice }) => voice))];
  if (pitchAt(sounds, row.quarters + TOLERANCE_QUARTERS) === null) return false;
  if (row.pitch === null) return voices.length > 1;
  return voices.some((voice) => {
    const ofVoice = inBar.filter((each) => each.voice === voice);
    return pitchesNear(ofVoice, row.quarters).includes(row.pitch);
  });
}

/** Bars with cue notes and nothing else, in boulanger-matin. */
const CUES: Readonly<Record<string, readonly string[]>> = { Cymbal: ["21", "27"] };
