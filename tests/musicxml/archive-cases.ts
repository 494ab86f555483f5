import { InputError } from "../../src/model/input-error.js";
import { scoreFromArchive } from "../../src/musicxml/archive.js";
import { container, zip, type ZipEntry } from "../support/zip.js";

export const SCORE = `<score-partwise version="4.0">${"<!-- muta in La -->".repeat(20)}</score-partwise>`;
export const TO_SCORE = container('full-path="score.xml"');
export const LIMITS = { maxBytes: 1024 * 1024 };

export async function read(bytes: Buffer, limits = LIMITS): Promise<string> {
  return (await scoreFromArchive(bytes, limits)).toString("utf8");
}

export async function refusal(
  bytes: Buffer,
  limits = LIMITS,
): Promise<{ code: string; message: string }> {
  try {
    await scoreFromArchive(bytes, limits);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return { code: error.code, message: error.message };
  }
  throw new Error("was not refused");
}

/** An archive with one score, described by what is odd about it. */
export function withScore(odd: Partial<ZipEntry>): Buffer {
  return zip([TO_SCORE, { name: "score.xml", data: SCORE, ...odd }]);
}

export function containerText(data: string | Buffer): ZipEntry {
  return { name: "META-INF/container.xml", data };
}
