import { SaxesParser } from "saxes";
import { InputError } from "../model/input-error.js";

/** An element as read: its text is that directly inside it. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlElement[];
  readonly text: string;
}

interface OpenElement {
  name: string;
  attributes: Readonly<Record<string, string>>;
  children: OpenElement[];
  text: string;
}

const NO_ATTRIBUTES: Readonly<Record<string, string>> = Object.freeze({});

/**
 * Parses a piece of a document: the content of one element, without document type, so that no
 * entity but the five of XML itself is known.
 * @throws InputError `not-well-formed`
 */
export function parseContent(
  xml: string,
  where: { part?: string; bar?: string } = {},
): readonly XmlElement[] {
  idle ??= new ContentReader();
  const reader = idle;
  // One that fails in the middle of a piece is not used again.
  idle = undefined;
  const content = reader.read(xml, where);
  idle = reader;
  return content;
}

/** Kept from piece to piece: a bar is small, and making a parser takes as long as reading some notes. */
let idle: ContentReader | undefined;

class ContentReader {
  private readonly parser = new SaxesParser({
    fragment: true,
    position: false,
    xmlns: false,
  } as const);
  private readonly stack: OpenElement[] = [];
  private current: OpenElement = emptyRoot();
  private where: { part?: string; bar?: string } = {};

  constructor() {
    const { parser, stack } = this;
    parser.on("opentag", ({ name, attributes }) => {
      const element: OpenElement = { name, attributes, children: [], text: "" };
      this.current.children.push(element);
      stack.push(this.current);
      this.current = element;
    });
    parser.on("closetag", () => {
      this.current = stack.pop() ?? this.current;
    });
    const addText = (text: string) => {
      this.current.text += text;
    };
    parser.on("text", addText);
    parser.on("cdata", addText);
    parser.on("error", (error) => {
      throw new InputError("not-well-formed", plainMessage(error.message), this.where);
    });
  }

  read(xml: string, where: { part?: string; bar?: string }): readonly XmlElement[] {
    const root = emptyRoot();
    this.current = root;
    this.stack.length = 0;
    this.where = where;
    this.parser.write(xml).close();
    return root.children;
  }
}

function emptyRoot(): OpenElement {
  return { name: "", attributes: NO_ATTRIBUTES, children: [], text: "" };
}

/** The parser's message without its position, which counts from the start of the piece. */
function plainMessage(message: string): string {
  return message.replace(/^[^:]*\d+:\d+: /, "").replace(/\.$/, "");
}

/** The first child of that name. */
export function child(element: XmlElement, name: string): XmlElement | undefined {
  for (const each of element.children) if (each.name === name) return each;
  return undefined;
}

/** All children of that name. */
export function children(element: XmlElement, name: string): readonly XmlElement[] {
  return element.children.filter((each) => each.name === name);
}

/** The trimmed text of the first child of that name; undefined when there is none. */
export function childText(element: XmlElement, name: string): string | undefined {
  return child(element, name)?.text.trim();
}

/** Elements of that name at any depth, in document order. */
export function descendants(element: XmlElement, name: string): readonly XmlElement[] {
  return element.children.flatMap((each) => [
    ...(each.name === name ? [each] : []),
    ...descendants(each, name),
  ]);
}
