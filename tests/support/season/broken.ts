import { mkdirSync, writeFileSync } from "node:fs";
import Fraction from "fraction.js";
import { A, attributes, metronome, note, scoreXml } from "../score-xml.js";
import type { PlannedMusic } from "./music.js";

/** A file that cannot be read, and how its row must explain that. */
export interface BrokenFile {
  readonly name: string;
  /** Undefined: there is none. A folder where `isFolder` says so. */
  readonly content?: string | Buffer;
  readonly isFolder?: true;
  readonly error: RegExp;
  /** Of a file that can be read, but in which nobody plays: it lasts its time, and what is around it follows on. */
  readonly music?: PlannedMusic;
}

const GOOD = scoreXml([
  {
    name: "Clarinet 1 in A",
    bars: [
      attributes({ meter: "4/4", transpose: A }) + metronome("quarter", "96") + note("E5", 4),
      note("C5", 4),
    ],
  },
]);

const STRINGS = attributes({ meter: "4/4" }) + metronome("quarter", "96") + note("E5", 4);
const STRINGS_MUSIC: PlannedMusic = {
  ...{ kind: "tacet", seats: [], goesOn: false },
  bars: [0, 4].map((start, k) => ({
    ...{ label: String(k + 1), beats: 4, beatType: 4, start: new Fraction(start) },
    ...{ quarters: new Fraction(4), missing: new Fraction(0) },
  })),
  tempi: [{ at: new Fraction(0), kind: "printed", unit: "quarter", dots: 0, perMinute: 96 }],
};

/** Each broken in its own way; in the order in which a plan meets its broken movements. */
export const BROKEN_FILES: readonly BrokenFile[] = [
  {
    name: "cut.musicxml",
    content: GOOD.slice(0, GOOD.lastIndexOf("<note>") + 9),
    error: /ends inside/,
  },
  {
    name: "notes.xml",
    content: "bring both clarinets on Thursday\n",
    error: /text, but not MusicXML/,
  },
  { name: "nothing.musicxml", content: "", error: /is empty/ },
  {
    name: "torn.mxl",
    content: Buffer.from("PK\x03\x04 and then no archive at all"),
    error: /archive/,
  },
  {
    name: "laughs.musicxml",
    content: GOOD.replace("<score-partwise", `${laughs()}$&`).replace("Clarinet", "&l9;"),
    error: /entit/i,
  },
  { name: "page.xml", content: "<html><body>404</body></html>", error: /html/ },
  { name: "folder.musicxml", isFolder: true, error: /folder/ },
  { name: "missing.musicxml", error: /no such file/ },
  {
    name: "latin.musicxml",
    content: Buffer.from(GOOD.replace("E</step>", "\xe9</step>"), "latin1"),
    error: /UTF-8/,
  },
  {
    name: "strings.musicxml",
    content: scoreXml([{ name: "Viola", bars: [STRINGS, note("C5", 4)] }]),
    error: /^none of the players has a part in it; there are: Viola$/,
    music: STRINGS_MUSIC,
  },
];

/** A billion of them, nine levels deep (OWASP "XML Security Cheat Sheet"). */
function laughs(): string {
  const levels = Array.from(
    { length: 9 },
    (_, k) => `<!ENTITY l${k + 1} "${`&l${k};`.repeat(10)}">`,
  );
  return `<!DOCTYPE x [<!ENTITY l0 "ha">${levels.join("")}]>`;
}

/** Puts it where the season looks for it. */
export function writeBroken(path: string, { content, isFolder }: BrokenFile): void {
  if (isFolder) mkdirSync(path);
  else if (content !== undefined) writeFileSync(path, content);
}
