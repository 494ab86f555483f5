import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import { openScore } from "../../src/musicxml/document.js";
import { parseContent } from "../../src/musicxml/elements.js";
import { markPart } from "../../src/planning/mark-part.js";
import { renderJson } from "../../src/reporters/json.js";
import { markText } from "../../src/reporters/wording/marks.js";

/** A document with the usual marks in one of its parts. */
export function mark(bytes: Buffer, partId = "P1", player?: number) {
  return markPart(bytes, openScore(bytes), {
    partId,
    ...(player !== undefined && { player }),
    profile: USUAL_PROFILE,
    wording: markText,
  });
}

/** What `muta check` has to say of a part, as JSON. */
export function checked(bytes: Buffer, partId = "P1"): string {
  const score = openScore(bytes);
  const report = analysePart(score.timeline(partId), USUAL_PROFILE, { ...score, file: "" });
  return renderJson({ parts: [report], errors: [] });
}

const MARK =
  /\s*<direction placement="above">(?:<direction-type><eyeglasses\/><\/direction-type>)?<direction-type><words>» ([^<]*)<\/words><\/direction-type>(?:<offset>([^<]*)<\/offset>)?(?:<staff>\d+<\/staff>)?<\/direction>/g;

/** The words of the marks in a document, read without the code that writes them. */
export function marksIn(bytes: Buffer): readonly string[] {
  return [...bytes.toString().matchAll(MARK)].map(([, words = ""]) => words);
}

export function withoutMarks(bytes: Buffer): string {
  return bytes.toString().replace(MARK, "");
}

/** A pair of eyeglasses on the page: quarters from the start of its bar, and of one division. */
export interface Eyeglasses {
  readonly barIndex: number;
  readonly quarters: number;
  readonly division: number;
}

/** Where the eyeglasses of a part stand, by a reading of its own: cursor and offset in floating point. */
export function eyeglassesIn(bytes: Buffer, partId = "P1"): readonly Eyeglasses[] {
  const found: Eyeglasses[] = [];
  let divisions = 1;
  openScore(bytes)
    .barSlices(partId)
    .forEach(({ start, end }, barIndex) => {
      let cursor = 0;
      for (const element of parseContent(bytes.toString("utf8", start, end))) {
        const text = (name: string) => element.children.find((each) => each.name === name)?.text;
        const has = (name: string) => element.children.some((each) => each.name === name);
        if (element.name === "attributes") divisions = Number(text("divisions") ?? divisions);
        if (element.name === "backup") cursor -= Number(text("duration"));
        if (element.name === "forward") cursor += Number(text("duration"));
        if (element.name === "note" && !has("chord") && !has("grace")) {
          cursor += Number(text("duration"));
        }
        const types = element.children.filter(({ name }) => name === "direction-type");
        if (types.some(({ children }) => children.some(({ name }) => name === "eyeglasses"))) {
          const at = cursor + Number(text("offset") ?? 0);
          found.push({ barIndex, quarters: at / divisions, division: 1 / divisions });
        }
      }
    });
  return found;
}
