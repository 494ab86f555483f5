import { expect } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { InputError } from "../../src/model/input-error.js";
import type { PartReport } from "../../src/model/report.js";
import { openScore } from "../../src/musicxml/document.js";
import { decodeScore } from "../../src/musicxml/source.js";
import { REPORTERS } from "../../src/reporters/index.js";
import { attributes, B_FLAT, note, scoreXml } from "../support/score-xml.js";

// What is well-formed: XML 1.0 (fifth edition). What is MusicXML: W3C MusicXML 4.0.
// The attacks are those of the OWASP "XML Security Cheat Sheet".

export interface Outcome {
  readonly reports: readonly PartReport[];
  readonly refusals: readonly InputError[];
}

/** Reads a document with all its parts. Anything thrown but an `InputError` goes through. */
export async function attempt(content: string | Uint8Array): Promise<Outcome> {
  const reports: PartReport[] = [];
  const refusals: InputError[] = [];
  const refuse = (error: unknown) => {
    if (!(error instanceof InputError)) throw error;
    expect(error.message).toMatch(/^\S(?:\P{Cc}*\S)?$/u);
    refusals.push(error);
  };
  try {
    const { bytes } = await decodeScore(Buffer.from(content), "any");
    const score = openScore(bytes);
    for (const { id } of score.parts) {
      try {
        const source = { file: "any", title: score.title, movement: score.movement };
        reports.push(analysePart(score.timeline(id), USUAL_PROFILE, source));
      } catch (error) {
        refuse(error);
      }
    }
  } catch (error) {
    refuse(error);
  }
  expect(reports.length + refusals.length).toBeGreaterThan(0);
  // A number that is none would be rated "ample"; as JSON it is null.
  const numbers = REPORTERS.json({ parts: reports, errors: [] });
  expect(numbers).not.toMatch(/"(?:short|likely|long|seconds|bars|beats|beat|quarters)": null/);
  return { reports, refusals };
}

export async function refusal(content: string | Uint8Array): Promise<InputError> {
  const { reports, refusals } = await attempt(content);
  expect(reports).toEqual([]);
  expect(refusals).toHaveLength(1);
  return refusals[0]!;
}

export async function reportOf(content: string | Uint8Array): Promise<PartReport> {
  const { reports, refusals } = await attempt(content);
  expect(refusals).toEqual([]);
  expect(reports).toHaveLength(1);
  return reports[0]!;
}

export const BAR = attributes({ meter: "4/4", transpose: B_FLAT }) + note("C5", 4);
export const SECOND = note("D5", 4);
export const GOOD = scoreXml([{ bars: [BAR, SECOND] }]);
export const LIST = /<part-list>.*<\/part-list>/s.exec(GOOD)![0];
export const FLUTE = '<score-part id="P2"><part-name>Flute</part-name></score-part>';

/** The good score with something before its root, in place of a piece of it, or in its first bar. */
export const before = (declaration: string) => GOOD.replace("<score-partwise", `${declaration}$&`);
export const instead = (piece: string, other: string) => GOOD.replace(piece, () => other);
export const inBar = (content: string) => instead(BAR, BAR + content);
export const noList = GOOD.replace(LIST, "");
export const twice = (parts: string) => parts.replace(/<part .*<\/part>/s, (part) => part + part);
