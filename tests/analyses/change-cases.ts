import { expect } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { ChangeoverProfile } from "../../src/model/profile.js";
import type { InstrumentChange } from "../../src/model/report.js";
import {
  A,
  attributes,
  B_FLAT,
  DIVISIONS,
  metronome,
  scoreXml,
  timelineOf,
  type PartXml,
} from "../support/score-xml.js";

export const IN_A = attributes({ transpose: A });
export const IN_B_FLAT = attributes({ transpose: B_FLAT });
/** A printed range, whose upper end is the fast tempo as it stands: a quarter is a second. */
export const FAST_60 = metronome("quarter", "50-60");
export const FERMATA = "<notations><fermata/></notations>";
export const NEW_PAGE = '<print new-page="yes"/>';
export const VOICE_2 = "<voice>2</voice>";
export const REPEAT = '<barline location="right"><repeat direction="backward"/></barline>';

/** The first bar of a part that begins on the B-flat clarinet. */
export function start(content: string, tempo = FAST_60, meter = "4/4"): string {
  return attributes({ meter, transpose: B_FLAT }) + tempo + content;
}

export function meter(meter: string): string {
  return attributes({ meter });
}

export function back(quarters: number): string {
  return `<backup><duration>${quarters * DIVISIONS}</duration></backup>`;
}

/** The usual figures, but so many seconds from the B-flat clarinet to the A. */
export function taking(seconds: number): ChangeoverProfile {
  return { ...USUAL_PROFILE, own: { pairSeconds: { "clarinet-bflat>clarinet-a": seconds } } };
}

export function changesOf(
  bars: readonly string[],
  profile: ChangeoverProfile = USUAL_PROFILE,
  others: readonly (readonly string[])[] = [],
  part: Partial<PartXml> = {},
): readonly InstrumentChange[] {
  const parts = [bars, ...others].map((each) => ({ ...part, bars: each }));
  const source = { file: "test.musicxml", title: "", movement: "" };
  return analysePart(timelineOf(scoreXml(parts)), profile, source).changes;
}

export function onlyChange(...args: Parameters<typeof changesOf>): InstrumentChange {
  const [change, ...more] = changesOf(...args);
  expect(more).toEqual([]);
  return change!;
}

/** Such as `words in 5, transpose in 11`. */
export function evidenceOf({ evidence }: InstrumentChange): string {
  return evidence.map(({ kind, barLabel }) => `${kind} in ${barLabel}`).join(", ");
}
