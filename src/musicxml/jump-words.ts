import type { Jumps } from "../model/score.js";
import { addPrintedJumps, printedIn, UNNAMED, type BarFlow } from "./barlines.js";
import { children, descendants, type XmlElement } from "./elements.js";

// Words of jumps, as they stand in orchestral parts and as notation programs offer them: common
// practice, no source. They are matched as a whole, in small letters, without brackets.

const SEGNO = "𝄋";
const CODA = "𝄌";

/** No instruction is longer. */
const LONGEST = 100;

/** Signs set as text, by fonts of the SMuFL standard (U+E045 to U+E04B) or from other alphabets. */
const SET_AS_TEXT: readonly (readonly [RegExp, string])[] = [
  [/\uE045/g, " D.S. "],
  [/\uE046/g, " D.C. "],
  [/[\uE047\uE04A\uE04B§]/g, ` ${SEGNO} `],
  [/[\uE048\uE049⊕]/g, ` ${CODA} `],
];

const capo = String.raw`(?:d\.\s?c\.?|dc\.?|da\s?capo)`;
const dalSegno = String.raw`(?:d\.\s?s\.?|ds\.?|d\.?\s?${SEGNO}\.?|(?:${capo}\s?)?(?:dal?|del)\s?(?:segno|${SEGNO}))`;
const piece = String.raw`(?:menuett?o?|minuett?o?|men|scherzo|marcia|marsch|march)`;
const coda = String.raw`(?:coda(?:\s?${CODA})?|${CODA}(?:\s?coda)?)`;
const link = String.raw`(?:(?:ed?|&|and|und|poi|then|dann|segue|alla|al|la|à|a|to|the|zur|zum)\s)`;
const repeats = String.raw`(?:le\s|la\s|the\s|die\s)?(?:r[ei]petizion[ei]|replic(?:a|he)|ritornell[oi]|repetitions?|repeats?|rep|wiederholung(?:en)?|reprises?)`;

/** What may follow, in any order; no text can be cut up in two ways, so that no text takes long. */
const TAILS: readonly string[] = [
  String.raw`(?:(?:sino?|fino?|bis)(?:'\s?|\s))?(?:${link}+)?fine`,
  `${link}*(?:coda|${CODA})`,
  String.raw`(?:con|with|mit|avec|play|senza|without|no|ohne|sans)\s${repeats}`,
  String.raw`(?:(?:il|lo|la)\s)?${piece}`,
];
const tail = (own: readonly string[]) => String.raw`(?:[\s.,;-]*(?:${own.join("|")}))*`;

const DA_CAPO = new RegExp(String.raw`^(?:${piece}\.?\s)?${capo}${tail(TAILS)}$`, "u");
const DAL_SEGNO = new RegExp(
  String.raw`^(?:${SEGNO}\s)?${dalSegno}${tail([...TAILS, SEGNO])}$`,
  "u",
);
const AL_CODA = new RegExp(String.raw`^(?:alla|al|à\sla|a\sla)\s${coda}$`, "u");
const TO_CODA = new RegExp(
  String.raw`^(?:${CODA}\s)?(?:go\s|jump\s)?(?:to|to\sthe|zur)\s${coda}$`,
  "u",
);
const CODA_HEADING = new RegExp(`^${coda}$`, "u");
const WITH_REPEATS = new RegExp(String.raw`\b(?:con|with|mit|avec|play)\s${repeats}`, "u");
/** Begins like a jump, whatever follows. */
const LIKE_A_JUMP = /^(?:d\.\s?[cs]\.|(?:da\s?capo|dal\s?segno)(?!\p{L}))/u;
/** Two letters that need dots or capitals to be an instruction. */
const BARE_LETTERS = /^(?:dc|Dc|ds|Ds)$/;

/**
 * What printed words, or a sign set as text, say about where to go on. Names are `UNNAMED`.
 * @example jumpsOfWords("D.S. al Fine") // { dalSegno: "1" }
 * @returns undefined for all other words, and for a coda sign alone, which may mean either end of the jump
 */
export function jumpsOfWords(text: string): Partial<Jumps> | undefined {
  const plain = plainText(text);
  const words = plain.toLowerCase();
  if (/^F(?:ine|INE)$/.test(plain)) return { fine: true };
  if (words === SEGNO || words === `${SEGNO} segno`) return { segno: UNNAMED };
  if (words === CODA) return undefined;
  if (CODA_HEADING.test(words)) return { coda: UNNAMED };
  if (AL_CODA.test(words) || TO_CODA.test(words)) return { toCoda: UNNAMED };
  if (BARE_LETTERS.test(plain)) return undefined;
  const withRepeats = WITH_REPEATS.test(words) && { withRepeats: true };
  if (DA_CAPO.test(words)) return { daCapo: true, ...withRepeats };
  if (DAL_SEGNO.test(words)) return { dalSegno: UNNAMED, ...withRepeats };
  return undefined;
}

/**
 * In one line, with the signs in place, without brackets, quotes and what closes a sentence;
 * empty when it is too long for an instruction.
 */
function plainText(text: string): string {
  if (text.length > LONGEST) return "";
  return SET_AS_TEXT.reduce((plain, [pattern, sign]) => plain.replace(pattern, sign), text)
    .replace(/’/g, "'")
    .replace(/[–—]/g, "-")
    .replace(/[()[\]{}"“”„]/g, " ")
    .replace(/\s+/g, " ")
    .replace(/^[\s.,:;-]+|[\s.,:;-]+$/g, "");
}

/**
 * Notes the words and signs of a `<direction>` that say where to go on. Whether they count is
 * settled once all bars are read (`settleBareSigns`): a `<sound>` may say it better.
 */
export function readJumpWords(direction: XmlElement, flow: BarFlow): void {
  const directionTypes = children(direction, "direction-type");
  // Most directions are dynamics and wedges.
  if (!directionTypes.some((type) => type.children.some(({ name }) => SPEAKING.has(name)))) return;
  const types = directionTypes.map((type) =>
    type.children.map(printedText).filter((text) => text !== ""),
  );
  const whole = types.flat().join(" ");
  // One instruction may be set in several pieces, or stand beside something else.
  const divisions = [[whole], types.map((texts) => texts.join(" ")), types.flat()];
  const texts = divisions.find((each) => each.some(isJump)) ?? [];
  for (const text of texts.filter(isJump)) addText(text, flow);
  for (const { text } of descendants(direction, "rehearsal")) {
    // A rehearsal mark is a name; of these only the coda has one.
    if (jumpsOfWords(text)?.coda !== undefined) addPrintedJumps(flow, { coda: UNNAMED });
  }
  if (texts.length === 0 && LIKE_A_JUMP.test(plainText(whole).toLowerCase())) {
    printedIn(flow).unread ??= whole;
  }
}

/** What may say where to go on. */
const SPEAKING: ReadonlySet<string> = new Set(["words", "symbol", "segno", "coda", "rehearsal"]);

function isJump(text: string): boolean {
  return isCodaSign(text) || jumpsOfWords(text) !== undefined;
}

function isCodaSign(text: string): boolean {
  return plainText(text) === CODA;
}

function addText(text: string, flow: BarFlow): void {
  const jumps = jumpsOfWords(text);
  if (!jumps) {
    printedIn(flow).codaSign = true;
    return;
  }
  const before = flow.printed?.jumps;
  const goesOn = before?.daCapo === true || before?.dalSegno !== undefined;
  // "al Coda" in a line of its own under "D.S." is no sign to leave at.
  if (goesOn && AL_CODA.test(plainText(text).toLowerCase())) return;
  addPrintedJumps(flow, jumps);
}

/** What an element of a `<direction-type>` shows, as far as jumps may be written with it. */
function printedText({ name, text }: XmlElement): string {
  switch (name) {
    case "segno":
      return SEGNO;
    case "coda":
      return CODA;
    case "words":
      return text.trim();
    case "symbol":
      // Glyph names of SMuFL: segno, segnoSerpent1, coda, codaSquare.
      if (/^segno/.test(text.trim())) return SEGNO;
      return /^coda/.test(text.trim()) ? CODA : "";
    default:
      return "";
  }
}
