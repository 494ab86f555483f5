/** Names that programs like to take for something else, or to lose. Each once, none with white space at its ends. */
export const NASTY_NAMES: readonly string[] = [
  "=1+1",
  '=HYPERLINK("http://example.invalid","x")',
  "+cmd|' /C calc'!A0",
  "-2",
  "@x",
  "＝1+1",
  "'=1+1",
  "''@x",
  "'tis pity",
  "' quoted'",
  "Ebb, flood; slack",
  'The "Little" One',
  '"',
  ",",
  "two\nlines",
  "00123",
  "12345678901234567890",
  "1e5",
  "1.50",
  "1/2",
  "12:30",
  "TRUE",
  "false",
  "2027-04-10",
  "10.4.2027",
  "5 %",
  "Étude 🎼👩‍🎤 𝄞",
  "ליל כוכבים (א)",
  "ليلة النجوم, ١٢",
  "\u2067שיר\u2069 no. 2",
  "夜の組曲",
  "a\u0301 and \u00e1",
  "<&amp;]]>",
  "_x0041_ and _x000D_",
  "constructor",
  "__proto__",
  "#REF!",
  "{=1}",
];

/** How a text stands in a cell of the workbook, by what DEVELOPERS.md says of cells. */
export function inWorkbook(text: string): string {
  const lines = text.replace(/\r\n|[\r\u0085\u2028\u2029]/g, "\n");
  const plain = lines.replace(/[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202d\u202e]/g, " ");
  const whole = plain.replace(
    /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]|\ufffd|\p{Noncharacter_Code_Point}/gu,
    "?",
  );
  return whole.length > 32_767 ? `${whole.slice(0, 32_766)}…` : whole;
}

/** The text of a cell of the csv, by the way back that the docs describe. */
export function fromCsv(cell: string): string {
  return cell.replace(/^'(?='*[\s=+\-@＝＋－＠])/, "");
}

/** A text as a csv file has it: UTF-8, and spaces for control characters but tabs and ends of lines. */
export function inCsv(text: string): string {
  const plain = text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]/g, " ");
  return Buffer.from(plain).toString();
}
