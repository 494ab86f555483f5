/** What the format allows (ECMA-376; the limits of the usual program that reads it). */
const LONGEST_CELL = 32_767;
const LONGEST_SHEET_NAME = 31;

/** Control characters but tab and line feed, and the two marks that turn the letters that follow them round. */
const UNSAFE = /[^\P{Cc}\t\n]|[\u202d\u202e]/gu;

/**
 * Text out of a file for a cell. What can be read comes back to the letter, marks of right-to-left text among
 * it; ends of lines come back as line feeds, other control characters as spaces, what no file can hold (halves
 * of surrogate pairs, code points that are no characters) as "?", and so does U+FFFD, which the writer of the
 * format would drop without a word. What is past the limit comes back as "…".
 *
 * "_x0041_" stands for "A" in the format (ECMA-376 part 1, 22.9.2.19), so a text that reads like that has its
 * first character written so.
 */
export function cellText(text: string): string {
  const plain = text
    .replace(/\r\n?|[\u2028\u2029\u0085]/g, "\n")
    .replace(UNSAFE, " ")
    .replace(/[\p{Surrogate}\p{Noncharacter_Code_Point}\ufffd]/gu, "?");
  const held = plain.length > LONGEST_CELL ? `${wholeStart(plain, LONGEST_CELL - 1)}…` : plain;
  // After the cut, which could part an escape.
  return held.replace(/_(?=x[0-9a-f]{4}_)/gi, "_x005F_");
}

/**
 * A name for a sheet as the format allows it (at most 31 characters, none of []:*?/\, no apostrophe at
 * its ends, not "History"), and as no other sheet has it; case does not tell names apart.
 * @param taken the names there are, in lower case
 */
export function sheetName(wanted: string, taken: ReadonlySet<string>): string {
  const plain = cellText(wanted)
    .replace(/[[\]:*?/\\\n\t]/g, " ")
    .replace(/ {2,}/g, " ")
    .replace(/^[' ]+|[' ]+$/g, "");
  const free = plain === "" || plain.toLowerCase() === "history" ? `Sheet ${plain}`.trim() : plain;
  for (let number = 1; ; number += 1) {
    const tail = number === 1 ? "" : ` (${number})`;
    const name = `${wholeStart(free, LONGEST_SHEET_NAME - tail.length).replace(/[' ]+$/, "")}${tail}`;
    if (!taken.has(name.toLowerCase())) return name;
  }
}

/** At most so many UTF-16 units, and no half of a pair. */
function wholeStart(text: string, units: number): string {
  return text.slice(0, units).replace(/[\ud800-\udbff]$/, "");
}
