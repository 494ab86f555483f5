import stringWidth from "string-width";

/** Columns a text takes on a terminal. */
export function widthOf(text: string): number {
  return stringWidth(text);
}

/** Fills up with spaces on the right. */
export function pad(text: string, width: number): string {
  return text + " ".repeat(Math.max(0, width - widthOf(text)));
}

/** Breaks a text between words; every line after the first is indented. Spaces at its head are kept. */
export function wrap(text: string, width: number, indent: string): readonly string[] {
  const lines: string[] = [];
  const words = text.trimStart();
  let line = text.slice(0, text.length - words.length);
  let isEmpty = true;
  for (const word of words.split(" ")) {
    const longer = isEmpty ? line + word : `${line} ${word}`;
    if (!isEmpty && widthOf(longer) > width) {
      lines.push(line);
      line = indent + word;
    } else line = longer;
    isEmpty = false;
  }
  return [...lines, line].map((each) => each.trimEnd());
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
