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
  const root: OpenElement = { name: "", attributes: NO_ATTRIBUTES, children: [], text: "" };
  const stack = [root];
  let current = root;
  const parser = new SaxesParser({ fragment: true, position: false, xmlns: false } as const);
  parser.on("opentag", (tag) => {
    const element: OpenElement = {
      name: tag.name,
      attributes: tag.attributes,
      children: [],
      text: "",
    };
    current.children.push(element);
    stack.push(element);
    current = element;
  });
  parser.on("closetag", () => {
    stack.pop();
    current = stack.at(-1) ?? root;
  });
  const addText = (text: string) => {
    current.text += text;
  };
  parser.on("text", addText);
  parser.on("cdata", addText);
  parser.on("error", (error) => {
    throw new InputError("not-well-formed", plainMessage(error.message), where);
  });
  parser.write(xml).close();
  return root.children;
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
