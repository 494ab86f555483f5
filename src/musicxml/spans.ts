/** An element by where it stands in a text; offsets are UTF-16 units from the start of the text. */
export interface Span {
  readonly name: string;
  /** From its `<` to after the `>` that ends it. */
  readonly start: number;
  readonly end: number;
  /** What is between its tags; both are `end` for an element of one tag. */
  readonly contentStart: number;
  readonly contentEnd: number;
  readonly children: readonly Span[];
}

/** A piece of a text to be replaced; an insertion where both ends are the same. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Comments, character data, instructions, and tags with their attributes, in which a `>` may stand. */
const TOKEN =
  /<!--[^]*?-->|<!\[CDATA\[[^]*?\]\]>|<\?[^]*?\?>|<(\/?)([^\s/>]+)(?:"[^"]*"|'[^']*'|[^"'>])*>/g;

/**
 * The elements of a piece of a document by their places, so that some can be replaced and all else
 * stays as it is, byte for byte.
 * @param text the content of one bar, its tags known to nest (see `scanDocument`)
 */
export function readSpans(text: string): readonly Span[] {
  const roots: Span[] = [];
  const open: { name: string; start: number; contentStart: number; children: Span[] }[] = [];
  for (const match of text.matchAll(TOKEN)) {
    const [token, slash, name] = match;
    if (name === undefined) continue;
    const end = match.index + token.length;
    if (slash === "/") {
      const opened = open.pop();
      if (!opened) continue;
      (open.at(-1)?.children ?? roots).push({ ...opened, contentEnd: match.index, end });
    } else if (token.endsWith("/>")) {
      (open.at(-1)?.children ?? roots).push({
        name,
        start: match.index,
        end,
        contentStart: end,
        contentEnd: end,
        children: [],
      });
    } else {
      open.push({ name, start: match.index, contentStart: end, children: [] });
    }
  }
  return roots;
}

/** The text with its edits; those at one place go in the order given. */
export function applyEdits(text: string, edits: readonly Edit[]): string {
  const pieces: string[] = [];
  let position = 0;
  for (const edit of [...edits].sort((a, b) => a.start - b.start)) {
    pieces.push(text.slice(position, edit.start), edit.text);
    position = Math.max(position, edit.end);
  }
  return pieces.join("") + text.slice(position);
}

/** The first child of that name. */
export function childSpan(span: Span, name: string): Span | undefined {
  return span.children.find((each) => each.name === name);
}

/** The trimmed text of an element that holds nothing else; "" for a missing one. */
export function spanText(text: string, span: Span | undefined): string {
  return span ? text.slice(span.contentStart, span.contentEnd).trim() : "";
}

/** The blanks before an element: the line end and indentation that its neighbours have as well. */
export function blanksBefore(text: string, { start }: Span): string {
  let from = start;
  while (from > 0 && /\s/.test(text.charAt(from - 1))) from--;
  return text.slice(from, start);
}

/** Takes an element out with the blanks before it. */
export function removal(text: string, span: Span): Edit {
  return { start: span.start - blanksBefore(text, span).length, end: span.end, text: "" };
}

/** Puts an element after another, on a line of its own where that is. */
export function insertAfter(text: string, span: Span, xml: string): Edit {
  return { start: span.end, end: span.end, text: blanksBefore(text, span) + xml };
}

/** Puts an element before another, on a line of its own where that is. */
export function insertBefore(text: string, span: Span, xml: string): Edit {
  return { start: span.start, end: span.start, text: xml + blanksBefore(text, span) };
}

/** Replaces what an element holds; nothing where it holds that already. */
export function newContent(text: string, span: Span, content: string): readonly Edit[] {
  if (spanText(text, span) === content) return [];
  return [{ start: span.contentStart, end: span.contentEnd, text: content }];
}

/** Puts an element where the order of the schema wants it: after the last of those that go before it. */
export function insertInOrder(
  text: string,
  parent: Span,
  before: ReadonlySet<string>,
  xml: string,
): Edit {
  const previous = parent.children.findLast(({ name }) => before.has(name));
  if (previous) return insertAfter(text, previous, xml);
  const [first] = parent.children;
  if (first) return insertBefore(text, first, xml);
  return { start: parent.contentStart, end: parent.contentStart, text: xml };
}
