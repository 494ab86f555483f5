const ATTRIBUTE = /([^\s=/]+)\s*=\s*(?:"([^"]*)"|'([^']*)')/g;
const PREDEFINED: Readonly<Record<string, string>> = {
  amp: "&",
  lt: "<",
  gt: ">",
  quot: '"',
  apos: "'",
};

/**
 * The attributes of one start tag, from the text between its name and its end.
 * Only for the few tags that are looked at before the XML parser reads their content.
 */
export function tagAttributes(text: string): Readonly<Record<string, string>> {
  const attributes: Record<string, string> = Object.create(null) as Record<string, string>;
  for (const [, name = "", double, single] of text.matchAll(ATTRIBUTE)) {
    attributes[name] = decodeReferences(double ?? single ?? "");
  }
  return attributes;
}

/** Replaces the five entities of XML 1.0 and character references; others are left as they stand. */
function decodeReferences(text: string): string {
  return text.replace(/&(#x[0-9a-fA-F]{1,6}|#\d{1,7}|\w+);/g, (whole, name: string) => {
    if (!name.startsWith("#")) return PREDEFINED[name] ?? whole;
    const code = name.startsWith("#x") ? parseInt(name.slice(2), 16) : Number(name.slice(1));
    return code <= 0x10ffff ? String.fromCodePoint(code) : whole;
  });
}
