import { Document, isMap, isSeq } from "yaml";

/** A line of a tempo sheet that the player is to check and to fill in. */
export interface StarterRow {
  readonly barLabel: string;
  readonly beat: number;
  readonly unit: string;
  readonly tempo: string;
  readonly note: string;
  /** A remark on the line before: where the number comes from. */
  readonly comment?: string;
}

const HEADER = `
The tempi as you expect them, or as you noted them down in rehearsal. Those below are what the file
says, each behind a #: take the # away from the lines whose tempo you know, and put your own number
in. Add lines of your own. A tempo holds until the next one.
Use it with: muta check PART --tempo THIS-FILE

bar: the printed number of the bar.
beat: in the beats you count, from 1. Left out it is 1.
unit: the note the number is for, such as half, dotted quarter or eighth. Left out it is quarter.
tempo: beats a minute. 126 is taken with 4 % to both sides, ca. 126 with 10 %, 126-132 as it stands.
pass: 2 when it is only for the second time through the bar. Left out it is for every time.
note: words of your own that are shown with the tempo, such as Vivace.`;

/**
 * A tempo sheet to start from, as YAML. `parseTempoSheet` reads it back with the same bars, beats
 * and tempi, whatever the texts hold.
 */
export function starterSheet(rows: readonly StarterRow[], title: string): string {
  const document = new Document({
    tempi: rows.map(({ barLabel, beat, unit, tempo, note }) => ({
      bar: plainest(barLabel),
      beat,
      unit,
      tempo: plainest(tempo),
      ...(oneLine(note) !== "" && { note: oneLine(note) }),
    })),
  });
  document.commentBefore = `${remark(`Tempo sheet: ${title}`)}${HEADER.replace(/^(?=.)/gm, " ")}`;
  const tempi = document.get("tempi");
  rows.forEach(({ comment = "" }, k) => {
    const item = isSeq(tempi) ? tempi.items[k] : undefined;
    // A tempo on one line can be woken, or put to sleep, by one #.
    if (isMap(item)) item.flow = true;
    if (comment !== "") (item as { commentBefore?: string }).commentBefore = remark(comment);
  });
  // Folded at no width: a text stays on its line.
  return document.toString({ lineWidth: 0 });
}

/** The same with every tempo behind a `#`, so that nothing is taken for the player's that is not. */
export function sleepingSheet(rows: readonly StarterRow[], title: string): string {
  const [header = "", tempi = ""] = starterSheet(rows, title).split(/^tempi:\n/m);
  return `${header}tempi:\n${tempi.replace(/^(?=.)/gm, "# ")}`;
}

/** A number without quotes where it reads back as the same text. */
function plainest(text: string): string | number {
  return /^(?:0|[1-9]\d{0,8})$/.test(text) ? Number(text) : text;
}

/** A text as one line behind a `#`. */
function remark(text: string): string {
  return ` ${oneLine(text)}`;
}

/** Without what could end a line or turn the direction of writing. */
function oneLine(text: string): string {
  return text.replace(/[\s\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]+/gu, " ").trim();
}
