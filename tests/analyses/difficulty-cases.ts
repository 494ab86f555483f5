import { analysePart, analysisContext } from "../../src/analyses/index.js";
import { lineOf } from "../../src/analyses/line.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { ChangeoverProfile } from "../../src/model/profile.js";
import type { InstrumentChoice, PartReport } from "../../src/model/report.js";
import type { PerformanceWishes } from "../../src/model/tempo.js";
import { pitchName } from "../../src/theory/pitch.js";
import {
  attributes,
  B_FLAT,
  metronome,
  note,
  scoreXml,
  timelineOf,
  type BarXml,
} from "../support/score-xml.js";

export const SLUR = '<notations><slur type="start"/></notations>';
export const SLUR_END = '<notations><slur type="stop"/></notations>';
export const TIE = '<tie type="start"/>';
export const TIE_END = '<tie type="stop"/>';
export const BREATH = "<notations><articulations><breath-mark/></articulations></notations>";
export const BACK = '<barline location="right"><repeat direction="backward"/></barline>';

export type Transposition = readonly [number, number, number?];

/** The first bar of a part: 4/4, quarters a minute (printed, so that they are likely as they stand). */
export function opening(
  quartersPerMinute = 60,
  given: {
    readonly fifths?: number;
    readonly transpose?: Transposition;
    readonly meter?: string;
  } = {},
): string {
  const { fifths = 0, transpose = B_FLAT, meter = "4/4" } = given;
  return attributes({ meter, fifths, transpose }) + metronome("quarter", String(quartersPerMinute));
}

/** Notes of one length by their names; `inside` goes into each. */
export function run(names: string, quarters: number, inside = ""): string {
  return names
    .split(" ")
    .map((name) => note(name, quarters, inside))
    .join("");
}

/** A small note without a length of its own. */
export function grace(name: string, inside = ""): string {
  return note(name, 1, inside)
    .replace("<note>", "<note><grace/>")
    .replace(/<duration>.*<\/duration>/, "");
}

export const inChord = (xml: string) => xml.replace("<note>", "<note><chord/>");
export const inVoice = (voice: number) => `<voice>${voice}</voice>`;

export function ornament(content: string): string {
  return `<notations><ornaments>${content}</ornaments></notations>`;
}

export function dynamics(sign: string): string {
  return `<direction><direction-type><dynamics><${sign}/></dynamics></direction-type></direction>`;
}

export interface PartSettings {
  readonly name?: string;
  readonly profile?: ChangeoverProfile;
  readonly wishes?: PerformanceWishes;
}

export function reportOf(
  bars: readonly BarXml[],
  { name = "Clarinet", profile = USUAL_PROFILE, wishes = {} }: PartSettings = {},
): PartReport {
  const source = { file: "test.musicxml", title: "", movement: "" };
  return analysePart(timelineOf(scoreXml([{ name, bars }])), profile, source, wishes);
}

/** How the one passage of a part lies on an instrument; the printed one by default. */
export function choiceOf(report: PartReport, id?: InstrumentId): InstrumentChoice {
  const [passage, ...more] = report.passages;
  const found = passage?.choices.find((each) =>
    id === undefined ? each.printed : each.instrument === id,
  );
  if (!found || more.length > 0) throw new Error(`${id ?? "the printed one"} is no choice`);
  return found;
}

/** The line of a part, such as `C5 0.5 s, slurred`; a rest before a note is shown as `| `. */
export function lineShown(bars: readonly string[]): readonly string[] {
  const timeline = timelineOf(scoreXml([{ name: "Clarinet", bars }]));
  const { context } = analysisContext(timeline, USUAL_PROFILE);
  const notes = context.stretches.flatMap((stretch) => stretch.notes);
  return lineOf(context, notes).map(
    ({ written, seconds, slurred, restBefore }) =>
      `${restBefore ? "| " : ""}${pitchName(written)} ${Number(seconds.toFixed(4))}${slurred ? " slurred" : ""}`,
  );
}

/** How long each note of the line sounds, in seconds. */
export function soundingShown(bars: readonly string[]): readonly number[] {
  const timeline = timelineOf(scoreXml([{ name: "Clarinet", bars }]));
  const { context } = analysisContext(timeline, USUAL_PROFILE);
  const notes = context.stretches.flatMap((stretch) => stretch.notes);
  return lineOf(context, notes).map(({ soundingSeconds }) => Number(soundingSeconds.toFixed(4)));
}
