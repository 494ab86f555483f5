import stringWidth from "string-width";

/** Columns a text takes on a terminal. */
export function widthOf(text: string): number {
  return stringWidth(text);
}

/** Fills up with spaces on the right. */
export function pad(text: string, width: number): string {
  return text + " ".repeat(Math.max(0, width - widthOf(text)));
}

/** Breaks a text between words; every line after the first is indented. */
export function wrap(text: string, width: number, indent: string): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    const room = width - (lines.length === 0 ? 0 : widthOf(indent));
    if (line !== "" && widthOf(longer) > room) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  lines.push(line);
  return lines.map((each, k) => (k === 0 ? each : indent + each));
}

/** Rows as aligned columns, two spaces apart; the last column is not padded. */
export function columns(rows: readonly (readonly string[])[]): readonly string[] {
  const widths: number[] = [];
  for (const row of rows) {
    row.forEach((cell, k) => {
      widths[k] = Math.max(widths[k] ?? 0, widthOf(cell));
    });
  }
  return rows.map((row) =>
    row
      .map((cell, k) => (k === row.length - 1 ? cell : pad(cell, widths[k] ?? 0)))
      .join("  ")
      .trimEnd(),
  );
}
