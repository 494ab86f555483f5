import type { OrchestraGroup } from "../model/landmark.js";
import type { PartInfo } from "../model/score.js";
import { readInstrumentName } from "./names.js";
import {
  AMBIGUOUS_ROWS,
  ORCHESTRA_ROWS,
  SOUND_GROUPS,
  type OrchestraRow,
} from "./orchestra-data.js";
import { playerNumber } from "./read-name.js";
import { tokenize, type Token } from "./tokens.js";

/** An instrument of the orchestra, as a part name or a label names it. */
export interface OrchestraName {
  /** One word for each: "horn", "violin"; of the woodwinds the kind: "bass-clarinet". */
  readonly instrument: string;
  readonly group: OrchestraGroup;
  /** "Horn 1, 2" is [1, 2]; empty where no number is named. */
  readonly players: readonly number[];
  /** Whether the name may mean something else too: "Bass", "Alto". */
  readonly ambiguous: boolean;
}

const WORDS = phrases(ORCHESTRA_ROWS);
const AMBIGUOUS_WORDS = phrases(AMBIGUOUS_ROWS);
const LONGEST = Math.max(...[...WORDS.keys()].map((name) => name.split(" ").length));

function phrases(rows: readonly OrchestraRow[]): ReadonlyMap<string, OrchestraRow> {
  return new Map(rows.flatMap((row) => row.names.map((name) => [name, row] as const)));
}

/** Reads a part name or a label in English, German, French or Italian; undefined where it names nothing known. */
export function readOrchestraName(text: string): OrchestraName | undefined {
  const woodwind = readInstrumentName(text);
  if (woodwind?.family !== undefined) {
    const { family: instrument, players = [] } = woodwind;
    return { instrument, group: "woodwind", players, ambiguous: false };
  }
  const tokens = tokenize(text);
  const players = [...new Set(tokens.flatMap((token) => playerNumber(token) ?? []))];
  for (const [words, ambiguous] of [
    [WORDS, false],
    [AMBIGUOUS_WORDS, true],
  ] as const) {
    const row = longestIn(tokens, words);
    if (row) return { instrument: row.instrument, group: row.group, players, ambiguous };
  }
  return undefined;
}

/** Of all names in a text the one of most words, and of those the first. */
function longestIn(
  tokens: readonly Token[],
  words: ReadonlyMap<string, OrchestraRow>,
): OrchestraRow | undefined {
  for (let length = LONGEST; length > 0; length--) {
    for (let start = 0; start + length <= tokens.length; start++) {
      const name = tokens
        .slice(start, start + length)
        .map((token) => token.text)
        .join(" ");
      const row = words.get(name);
      if (row) return row;
    }
  }
  return undefined;
}

/** The group of an id of the MusicXML standard sounds list; undefined for one that is not in it. */
export function groupOfSound(sound: string): OrchestraGroup | undefined {
  return SOUND_GROUPS.find(
    ([start]) => `${sound}.`.startsWith(start) || sound.startsWith(start),
  )?.[1];
}

/**
 * The group of a part: by its name where that is plain, because the sounds of a file are often left over from
 * a template; else by its sound; else by what the name mostly means.
 */
export function orchestraGroup({ name, scoreInstruments }: PartInfo): OrchestraGroup {
  const named = readOrchestraName(name);
  if (named && !named.ambiguous) return named.group;
  const bySound = scoreInstruments.flatMap(({ sound }) => (sound && groupOfSound(sound)) || []);
  return bySound[0] ?? named?.group ?? "other";
}
