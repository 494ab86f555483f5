const PREDEFINED: ReadonlyMap<string, string> = new Map([
  ["amp", "&"],
  ["lt", "<"],
  ["gt", ">"],
  ["quot", '"'],
  ["apos", "'"],
]);

/**
 * The attributes of one start tag, from the text between its name and its end.
 * Only for the few tags that are looked at before the XML parser reads their content.
 * The text is passed over once from left to right, whatever it holds.
 */
export function tagAttributes(text: string): ReadonlyMap<string, string> {
  const attributes = new Map<string, string>();
  let position = 0;
  for (;;) {
    const equals = text.indexOf("=", position);
    if (equals < 0) return attributes;
    const name = lastWord(text.slice(position, equals));
    const open = nextQuote(text, equals + 1);
    const close = open < 0 ? -1 : text.indexOf(text.charAt(open), open + 1);
    if (close < 0) return attributes;
    attributes.set(name, decodeReferences(text.slice(open + 1, close)));
    position = close + 1;
  }
}

function lastWord(text: string): string {
  let end = text.length;
  while (end > 0 && isWhiteSpace(text.charCodeAt(end - 1))) end--;
  let start = end;
  while (start > 0 && !isWhiteSpace(text.charCodeAt(start - 1))) start--;
  return text.slice(start, end);
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
