import type { Transposition } from "../model/score.js";
import { isSameTransposition, keyFifths, PageState, staffOfSign } from "./in-force.js";
import { childSpan, insertInOrder, newContent, removal, type Edit, type Span } from "./spans.js";

/** What the signs of a bar are to say. */
export interface WantedSigns {
  /** The transposition to print; undefined for that of the source. */
  readonly transposition: Transposition | undefined;
  /** What the source sounds by, where that is not what it prints. */
  readonly soundsBy?: Transposition | undefined;
  /** What a part that prints none transposes by. */
  readonly unprinted: Transposition;
  /** The signature to write for one of the source under its transposition. */
  readonly fifthsFor: (source: number, by: Transposition) => number;
}

/** The signs as the source has them and as the output has them, from the start of the part. */
export interface PageStates {
  readonly source: PageState;
  readonly output: PageState;
}

// Order of the children of <attributes>: MusicXML 4.0.
const BEFORE_KEY = new Set(["footnote", "level", "divisions", "key"]);
const BEFORE_TRANSPOSE = new Set([
  ...BEFORE_KEY,
  "time",
  "staves",
  "part-symbol",
  "instruments",
  "clef",
  "staff-details",
  "transpose",
]);

/**
 * The edits that make one `<attributes>` say what is wanted. A sign of the source that changes nothing any more
 * is taken out, so that a passage written back is as it was.
 * @param leads whether it stands at the beginning of its bar, where missing signs are put in
 */
export function attributeEdits(
  text: string,
  attributes: Span,
  states: PageStates,
  wanted: WantedSigns,
  leads: boolean,
): readonly Edit[] {
  const { source, output } = states;
  const edits: Edit[] = [];
  const removed = new Set<Span>();
  // The transposition goes first: the key depends on it, though it stands behind.
  const inOrder = [...attributes.children].sort(
    (a, b) => Number(b.name === "transpose") - Number(a.name === "transpose"),
  );
  for (const sign of inOrder) {
    const staff = staffOfSign(text, sign);
    if (sign.name === "transpose") {
      const before = source.transpositions.get(staff);
      source.read(text, sign);
      const own = source.transpositions.get(staff);
      if (!own) continue;
      const to = wanted.transposition ?? own;
      const said = output.transpositions.get(staff);
      const isIdle = said !== undefined && isSameTransposition(said, to);
      if (isIdle && !(before && isSameTransposition(before, own))) removed.add(sign);
      else edits.push(...transposeEdits(text, sign, to));
      output.transpositions.set(staff, to);
    } else if (sign.name === "key") {
      const before = source.keys.get(staff);
      source.read(text, sign);
      const own = source.keys.get(staff);
      if (own === undefined || own === null) {
        output.keys.set(staff, null);
        continue;
      }
      const to = wantedFifths(own, staff, states, wanted);
      const said = output.keys.get(staff);
      if (said === to && before !== own) removed.add(sign);
      else edits.push(...keyEdits(text, sign, to, said));
      output.keys.set(staff, to);
    } else {
      source.read(text, sign);
    }
  }
  const missing = leads ? missingSigns(states, wanted) : [];
  const isEmptied = removed.size > 0 && removed.size === attributes.children.length;
  if (isEmptied && missing.length === 0) return [removal(text, attributes)];
  return [
    ...edits,
    ...[...removed].map((sign) => removal(text, sign)),
    ...missing.map(({ name, xml }) =>
      insertInOrder(text, attributes, name === "key" ? BEFORE_KEY : BEFORE_TRANSPOSE, xml),
    ),
  ];
}

/** What is to be said where the page says nothing itself; "" where nothing is. */
export function newAttributes(states: PageStates, wanted: WantedSigns): string {
  const missing = missingSigns(states, wanted).map(({ xml }) => xml);
  return missing.length === 0 ? "" : `<attributes>${missing.join("")}</attributes>`;
}

interface MissingSign {
  readonly name: "key" | "transpose";
  readonly xml: string;
}

/** Signs that the output has not said yet; afterwards it has. */
function missingSigns(states: PageStates, wanted: WantedSigns): readonly MissingSign[] {
  const { source, output } = states;
  const missing: MissingSign[] = [];
  for (const [staff, own] of source.keys.entries()) {
    if (own === null) continue;
    const to = wantedFifths(own, staff, states, wanted);
    if (output.keys.get(staff) === to) continue;
    output.keys.set(staff, to);
    missing.push({ name: "key", xml: `<key${numberText(staff)}><fifths>${to}</fifths></key>` });
  }
  const printed = source.transpositions.entries();
  for (const [staff, own] of printed.length > 0
    ? printed
    : ([[undefined, wanted.unprinted]] as const)) {
    const to = wanted.transposition ?? own;
    if (isSameTransposition(output.transpositions.get(staff) ?? wanted.unprinted, to)) continue;
    output.transpositions.set(staff, to);
    missing.push({ name: "transpose", xml: transposeXml(to, staff) });
  }
  return missing;
}

function wantedFifths(
  own: number,
  staff: number | undefined,
  { source }: PageStates,
  wanted: WantedSigns,
): number {
  if (wanted.transposition === undefined) return own;
  const by = wanted.soundsBy ?? source.transpositions.get(staff) ?? wanted.unprinted;
  return wanted.fifthsFor(own, by);
}

function numberText(staff: number | undefined): string {
  return staff === undefined ? "" : ` number="${staff}"`;
}

function transposeXml(by: Transposition, staff: number | undefined): string {
  const octaves = by.octaveChange === 0 ? "" : octaveXml(by);
  return `<transpose${numberText(staff)}><diatonic>${by.diatonic}</diatonic><chromatic>${by.chromatic}</chromatic>${octaves}</transpose>`;
}

function octaveXml({ octaveChange }: Transposition): string {
  return `<octave-change>${octaveChange}</octave-change>`;
}

const BEFORE_CHROMATIC = new Set(["diatonic"]);
const BEFORE_OCTAVES = new Set(["diatonic", "chromatic"]);

function transposeEdits(text: string, sign: Span, to: Transposition): readonly Edit[] {
  const own = new PageState();
  own.read(text, sign);
  const said = own.transpositions.entries()[0]?.[1];
  if (said && isSameTransposition(said, to)) return [];
  const diatonic = childSpan(sign, "diatonic");
  const chromatic = childSpan(sign, "chromatic");
  const octaves = childSpan(sign, "octave-change");
  return [
    ...(diatonic
      ? newContent(text, diatonic, String(to.diatonic))
      : [insertInOrder(text, sign, new Set(), `<diatonic>${to.diatonic}</diatonic>`)]),
    ...(chromatic
      ? newContent(text, chromatic, String(to.chromatic))
      : [insertInOrder(text, sign, BEFORE_CHROMATIC, `<chromatic>${to.chromatic}</chromatic>`)]),
    ...(octaves
      ? to.octaveChange === 0
        ? [removal(text, octaves)]
        : newContent(text, octaves, String(to.octaveChange))
      : to.octaveChange === 0
        ? []
        : [insertInOrder(text, sign, BEFORE_OCTAVES, octaveXml(to))]),
  ];
}

/** @param said the signature before, which a printed `<cancel>` takes back */
function keyEdits(
  text: string,
  key: Span,
  to: number,
  said: number | null | undefined,
): readonly Edit[] {
  const fifths = childSpan(key, "fifths");
  if (!fifths || keyFifths(text, key) === to) return [];
  const cancel = childSpan(key, "cancel");
  return [
    ...newContent(text, fifths, String(to)),
    ...(cancel ? (said ? newContent(text, cancel, String(said)) : [removal(text, cancel)]) : []),
  ];
}

/** Where signs for the whole bar go: behind the layout and the barline on the left. */
export function firstOfBar(text: string, spans: readonly Span[]): Span | undefined {
  return spans.find(
    (span) =>
      span.name !== "print" &&
      !(span.name === "barline" && /\slocation\s*=\s*["']left/.test(tagText(text, span))),
  );
}

function tagText(text: string, span: Span): string {
  return text.slice(span.start, span.contentStart);
}

/** A line of words over the staff, such as "to A clarinet". */
export function wordsXml(words: string, staff: string): string {
  const at = staff === "" ? "" : `<staff>${staff}</staff>`;
  return `<direction placement="above"><direction-type><words>${words}</words></direction-type>${at}</direction>`;
}
