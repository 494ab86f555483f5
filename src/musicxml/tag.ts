const PREDEFINED: ReadonlyMap<string, string> = new Map([
  ["amp", "&"],
  ["lt", "<"],
  ["gt", ">"],
  ["quot", '"'],
  ["apos", "'"],
]);

/**
 * An attribute of one start tag, from the text between its name and its end; undefined where it has none.
 * Only for the few tags that are looked at before the XML parser reads their content.
 * The text is passed over once from left to right, whatever it holds.
 */
export function tagAttribute(text: string, name: string): string | undefined {
  let position = 0;
  for (;;) {
    const equals = text.indexOf("=", position);
    const open = equals < 0 ? -1 : nextQuote(text, equals + 1);
    const close = open < 0 ? -1 : text.indexOf(text.charAt(open), open + 1);
    if (close < 0) return undefined;
    if (endsInWord(text, position, equals, name)) {
      return decodeReferences(text.slice(open + 1, close));
    }
    position = close + 1;
  }
}

/** Whether a start tag has any attribute. */
export function hasAttributes(text: string): boolean {
  return text.includes("=");
}

/** Whether the last word of a piece of the text, blanks after it left out, is a certain one. */
function endsInWord(text: string, from: number, to: number, word: string): boolean {
  let end = to;
  while (end > from && isWhiteSpace(text.charCodeAt(end - 1))) end--;
  const start = end - word.length;
  return (
    start >= from &&
    text.startsWith(word, start) &&
    (start === from || isWhiteSpace(text.charCodeAt(start - 1)))
  );
}

function nextQuote(text: string, from: number): number {
  for (let k = from; k < text.length; k++) {
    const character = text.charAt(k);
    if (character === '"' || character === "'") return k;
    if (!isWhiteSpace(text.charCodeAt(k))) return -1;
  }
  return -1;
}

/** Blank, tab and the ends of lines (XML 1.0, production 3); what else is below them is in no document. */
function isWhiteSpace(code: number): boolean {
  return code <= 0x20;
}

/** Replaces the five entities of XML 1.0 and character references; others are left as they stand. */
function decodeReferences(text: string): string {
  if (!text.includes("&")) return text;
  return text.replace(/&(#x[0-9a-fA-F]{1,6}|#\d{1,7}|\w{1,8});/g, (whole, name: string) => {
    if (!name.startsWith("#")) return PREDEFINED.get(name) ?? whole;
    const code = name.startsWith("#x") ? parseInt(name.slice(2), 16) : Number(name.slice(1));
    return code <= 0x10ffff ? String.fromCodePoint(code) : whole;
  });
}
