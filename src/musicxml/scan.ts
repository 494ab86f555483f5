import { InputError } from "../model/input-error.js";
import { BarSliceList } from "./bar-slices.js";
import {
  APOSTROPHE,
  BANG,
  GREATER,
  isBlank,
  LESS,
  matches,
  nameSet,
  placeOf,
  OPEN_BRACKET,
  QUESTION,
  QUOTE,
  SLASH,
} from "./byte-text.js";
import type { DivisionsMark, DocumentIndex } from "./document-index.js";
import { tagAttribute } from "./tag.js";

interface OpenPart {
  id: string;
  bars: BarSliceList;
  sharedMarks: number[];
  divisions: DivisionsMark[];
  transposeBars: number[];
  keyBars: number[];
}

/** No MusicXML element nests deeper than a dozen; more is an attack on whoever recurses. */
const MAX_DEPTH = 200;

/** Elements that concern every player, whatever part they are printed in. */
const SHARED = nameSet([
  "metronome",
  "fermata",
  "caesura",
  "repeat",
  "ending",
  "rehearsal",
  "coda",
]);
const NO_NAMES: readonly Buffer[] = [];
/** Exact sums over divisions that have nothing in common grow with each; no score needs many. */
const MOST_DIVISIONS = 200;

const DOCTYPE = "<!DOCTYPE";
const PART = Buffer.from("part");
const MEASURE = Buffer.from("measure");
const WORDS = Buffer.from("words");
const DASHES = Buffer.from("dashes");
const SOUND = Buffer.from("sound");
const SEGNO = Buffer.from("segno");
const DIVISIONS = Buffer.from("divisions");
const TRANSPOSE = Buffer.from("transpose");
const KEY = Buffer.from("key");
/** What a `<sound>` says to all: the dynamics and pedal attributes are not among it. */
const SHARED_SOUND = /\s(?:tempo|dacapo|segno|dalsegno|coda|tocoda|fine|forward-repeat)\s*=/;

/**
 * Finds the parts and bars of a document and checks that its tags nest, without building anything
 * for the parts that will not be read: that is what lets one part be cut out of a full score
 * in less time than a general XML parser needs to pass over it.
 *
 * Text and attributes are not checked here; the bars that are read go through the XML parser.
 *
 * @param bytes the document as UTF-8
 * @throws InputError `not-well-formed`, `truncated`, `not-musicxml`, `entity-declaration`,
 *   `too-deep` or `no-parts`, naming the part and bar where it can
 */
export function scanDocument(bytes: Buffer): DocumentIndex {
  return new DocumentScanner(bytes).scan();
}

class DocumentScanner {
  private readonly nameStarts = new Int32Array(MAX_DEPTH);
  private readonly nameEnds = new Int32Array(MAX_DEPTH);
  private depth = 0;
  private rootSeen = false;
  private layout: "partwise" | "timewise" = "partwise";
  private version = "1.0";
  private headerStart = 0;
  private headerEnd = -1;
  private readonly parts: OpenPart[] = [];
  private readonly partsById = new Map<string, OpenPart>();
  private part: OpenPart | undefined;
  private barLabel = "";
  private barIndex = -1;
  private barStart = 0;

  constructor(private readonly bytes: Buffer) {}

  scan(): DocumentIndex {
    const { bytes } = this;
    let position = placeOf(bytes, LESS, 0);
    if (position >= bytes.length || !isBlank(bytes, 0, position)) {
      throw this.fault("not-musicxml", "no XML");
    }
    while (position < bytes.length) {
      const next = bytes[position + 1];
      let end: number;
      if (next === SLASH) end = this.closeTag(position);
      else if (next === BANG) end = this.skipDeclaration(position);
      else if (next === QUESTION) end = this.skipTo("?>", position);
      else end = this.openTag(position);
      position = placeOf(bytes, LESS, end);
      if (this.depth === 0 && !isBlank(bytes, end, position)) {
        throw this.fault("not-well-formed", "text outside the root element");
      }
    }
    if (!this.rootSeen) throw this.fault("not-musicxml", "no root element");
    if (this.depth > 0) {
      throw this.fault("truncated", `the file ends inside <${this.nameAt(this.depth - 1)}>`);
    }
    if (this.parts.length === 0) throw this.fault("no-parts", "the document has no part");
    return {
      layout: this.layout,
      version: this.version,
      header: { start: this.headerStart, end: this.headerEnd },
      parts: this.parts,
    };
  }

  private openTag(start: number): number {
    const { bytes } = this;
    const nameStart = start + 1;
    let nameEnd = nameStart;
    let code = bytes[nameEnd];
    while (code !== undefined && code > 0x20 && code !== GREATER && code !== SLASH) {
      code = bytes[++nameEnd];
    }
    if (code === undefined) throw this.fault("truncated", "the file ends inside a tag");
    if (nameEnd === nameStart) throw this.fault("not-well-formed", "'<' without a tag name");
    let position = nameEnd;
    while (code !== GREATER) {
      if (code === QUOTE || code === APOSTROPHE) {
        position = placeOf(bytes, code, position + 1);
        if (position >= bytes.length) {
          throw this.fault("truncated", "the file ends inside an attribute");
        }
      } else if (code === LESS) {
        throw this.fault(
          "not-well-formed",
          `'<' inside the tag <${this.text(nameStart, nameEnd)}>`,
        );
      } else if (code === undefined) {
        throw this.fault("truncated", "the file ends inside a tag");
      }
      code = bytes[++position];
    }
    const end = position + 1;
    const selfClosing = bytes[position - 1] === SLASH && position > nameEnd;
    if (this.depth === 0) this.openRoot(nameStart, nameEnd, position);
    else if (this.depth <= 2) this.openStructure(start, nameStart, nameEnd, position, end);
    else if (this.barIndex >= 0) this.noteShared(nameStart, nameEnd, position, end);
    if (this.depth >= MAX_DEPTH) {
      throw this.fault("too-deep", `elements nest more than ${MAX_DEPTH} deep`);
    }
    this.nameStarts[this.depth] = nameStart;
    this.nameEnds[this.depth] = nameEnd;
    this.depth++;
    if (selfClosing) this.leave(end, end);
    return end;
  }

  private closeTag(start: number): number {
    const { bytes } = this;
    const end = placeOf(bytes, GREATER, start);
    if (end >= bytes.length) throw this.fault("truncated", "the file ends inside a closing tag");
    if (this.depth === 0)
      throw this.fault("not-well-formed", "a closing tag without an opening one");
    const from = this.nameStarts[this.depth - 1] ?? 0;
    const length = (this.nameEnds[this.depth - 1] ?? 0) - from;
    let same = isBlank(bytes, start + 2 + length, end);
    for (let k = 0; same && k < length; k++) same = bytes[from + k] === bytes[start + 2 + k];
    if (!same) {
      throw this.fault(
        "not-well-formed",
        `<${this.nameAt(this.depth - 1)}> is closed by </${this.text(start + 2, Math.min(end, start + 42))}>`,
      );
    }
    this.leave(start, end + 1);
    return end + 1;
  }

  private leave(contentEnd: number, tagEnd: number): void {
    this.depth--;
    const { part } = this;
    if (this.depth === 2 && part && this.barIndex >= 0) {
      const slice = { label: this.barLabel, start: this.barStart, end: contentEnd };
      part.bars.add(slice, this.parts[0]?.bars);
      this.barIndex = -1;
      if (this.layout === "partwise") this.barLabel = "";
      else this.part = undefined;
    } else if (this.depth === 1) {
      this.part = undefined;
      this.barLabel = "";
    } else if (this.depth === 0 && this.headerEnd < 0) {
      this.headerEnd = contentEnd;
    }
    if (tagEnd > this.bytes.length) throw this.fault("truncated", "the file ends inside a tag");
  }

  private openRoot(nameStart: number, nameEnd: number, tagEnd: number): void {
    if (this.rootSeen) throw this.fault("not-well-formed", "a second root element");
    this.rootSeen = true;
    const name = this.text(nameStart, nameEnd);
    if (name !== "score-partwise" && name !== "score-timewise") {
      throw this.fault(
        "not-musicxml",
        `the root element is <${name.slice(0, 40)}>, not a MusicXML score`,
      );
    }
    this.layout = name === "score-partwise" ? "partwise" : "timewise";
    this.version = tagAttribute(this.text(nameEnd, tagEnd), "version") ?? "1.0";
    this.headerStart = tagEnd + 1;
  }

  /** Depth 1 holds parts of bars (partwise) or bars of parts (timewise); depth 2 the other of the two. */
  private openStructure(
    start: number,
    nameStart: number,
    nameEnd: number,
    tagEnd: number,
    contentStart: number,
  ): void {
    const [outer, inner] = this.layout === "partwise" ? [PART, MEASURE] : [MEASURE, PART];
    const name = this.depth === 1 ? outer : inner;
    if (!this.isNamed(name, nameStart, nameEnd)) return;
    if (this.depth === 2 && !this.isNamed(outer, this.nameStarts[1] ?? 0, this.nameEnds[1] ?? 0)) {
      return;
    }
    if (this.headerEnd < 0) this.headerEnd = start;
    const attributes = this.text(nameEnd, tagEnd);
    if (name === PART) this.openPart(tagAttribute(attributes, "id") ?? "");
    else this.barLabel = tagAttribute(attributes, "number") ?? "";
    if (this.depth === 1 && name === MEASURE) this.timewiseBars++;
    if (this.depth === 2) {
      this.barIndex =
        this.layout === "partwise" ? (this.part?.bars.length ?? 0) : this.timewiseBars - 1;
      this.barStart = contentStart;
    }
  }

  private timewiseBars = 0;
  private readonly differentDivisions = new Set<string>();

  private openPart(id: string): void {
    const known = this.partsById.get(id);
    if (known && (this.layout === "timewise" || id !== "")) {
      if (this.layout === "partwise") {
        throw this.fault("not-musicxml", `two parts have the id "${id.slice(0, 40)}"`);
      }
      this.part = known;
    } else {
      const bars = new BarSliceList();
      this.part = { id, bars, sharedMarks: [], divisions: [], transposeBars: [], keyBars: [] };
      this.parts.push(this.part);
      this.partsById.set(id, this.part);
    }
    // A part that joins a timewise score late was silent until then.
    if (this.layout === "timewise") {
      if (this.part.bars.length >= this.timewiseBars) {
        throw this.fault("not-musicxml", "a part stands twice in a measure");
      }
      while (this.part.bars.length < this.timewiseBars - 1) {
        this.part.bars.add({ label: "", start: 0, end: 0 });
      }
    }
  }

  /** Remembers the bars that other parts, or a listing, will want to look into. Every tag passes here: it makes nothing. */
  private noteShared(
    nameStart: number,
    nameEnd: number,
    tagEnd: number,
    contentStart: number,
  ): void {
    const { part, barIndex } = this;
    if (!part) return;
    switch (this.bytes[nameStart] ?? 0) {
      case DIVISIONS[0]:
        if (this.isNamed(DIVISIONS, nameStart, nameEnd)) this.noteDivisions(part, contentStart);
        // The dashes of a "rit. - - -" stand over the top part, as its words do.
        if (!this.isNamed(DASHES, nameStart, nameEnd) || part !== this.parts[0]) return;
        break;
      case TRANSPOSE[0]:
        if (this.isNamed(TRANSPOSE, nameStart, nameEnd)) part.transposeBars.push(barIndex);
        return;
      case KEY[0]:
        if (this.isNamed(KEY, nameStart, nameEnd)) part.keyBars.push(barIndex);
        return;
      case SOUND[0]:
        if (this.isNamed(SEGNO, nameStart, nameEnd)) break;
        if (!this.isNamed(SOUND, nameStart, nameEnd)) return;
        if (!SHARED_SOUND.test(this.text(nameEnd, tagEnd))) return;
        break;
      case WORDS[0]:
        // Tempo words stand over the top part of a score.
        if (!this.isNamed(WORDS, nameStart, nameEnd) || part !== this.parts[0]) return;
        break;
      default:
        if (!this.isShared(nameStart, nameEnd)) return;
    }
    if (part.sharedMarks.at(-1) !== barIndex) part.sharedMarks.push(barIndex);
  }

  private noteDivisions(part: OpenPart, contentStart: number): void {
    const end = this.bytes.indexOf(LESS, contentStart);
    const divisions = this.text(
      contentStart,
      Math.min(Math.max(end, contentStart), contentStart + 32),
    );
    part.divisions.push({ barIndex: this.barIndex, divisions: divisions.trim() });
    this.differentDivisions.add(divisions.trim());
    if (this.differentDivisions.size > MOST_DIVISIONS) {
      throw this.fault("too-large", `more than ${MOST_DIVISIONS} different divisions`);
    }
  }

  private skipDeclaration(start: number): number {
    const { bytes } = this;
    if (bytes.toString("latin1", start, start + 4) === "<!--") return this.skipTo("-->", start + 4);
    if (bytes.toString("latin1", start, start + 9) === "<![CDATA[") {
      if (this.depth === 0)
        throw this.fault("not-well-formed", "character data outside the root element");
      return this.skipTo("]]>", start);
    }
    if (
      bytes.length < start + DOCTYPE.length &&
      "<![CDATA[<!DOCTYPE".includes(bytes.toString("latin1", start))
    ) {
      throw this.fault("truncated", "the file ends inside a declaration");
    }
    if (this.rootSeen || bytes.toString("latin1", start, start + 9) !== DOCTYPE) {
      throw this.fault("not-well-formed", "a declaration in the wrong place");
    }
    return this.skipDoctype(start);
  }

  /** MusicXML's own document types are named and never fetched; declarations of one's own are refused. */
  private skipDoctype(start: number): number {
    const { bytes } = this;
    for (let position = start + 9; position < bytes.length; position++) {
      const code = bytes[position];
      if (code === GREATER) return position + 1;
      if (code === QUOTE || code === APOSTROPHE) {
        position = bytes.indexOf(code, position + 1);
        if (position < 0) break;
      } else if (code === OPEN_BRACKET) {
        throw this.fault(
          "entity-declaration",
          "the document declares its own types or entities, which are refused for safety",
        );
      }
    }
    throw this.fault("truncated", "the file ends inside the document type");
  }

  private skipTo(mark: string, start: number): number {
    const at = this.bytes.indexOf(mark, start, "latin1");
    if (at < 0) throw this.fault("truncated", `the file ends before '${mark}'`);
    return at + mark.length;
  }

  private isShared(nameStart: number, nameEnd: number): boolean {
    for (const name of SHARED.get(this.bytes[nameStart] ?? 0) ?? NO_NAMES) {
      if (this.isNamed(name, nameStart, nameEnd)) return true;
    }
    return false;
  }

  private isNamed(name: Buffer, start: number, end: number): boolean {
    return name.length === end - start && matches(this.bytes, start, name);
  }

  private text(start: number, end: number): string {
    return this.bytes.toString("utf8", start, end);
  }

  private nameAt(depth: number): string {
    const start = this.nameStarts[depth] ?? 0;
    return this.text(start, Math.min(this.nameEnds[depth] ?? 0, start + 40));
  }

  private fault(code: ConstructorParameters<typeof InputError>[0], message: string): InputError {
    const where = {
      ...(this.part && { part: this.part.id }),
      ...(this.barLabel !== "" && { bar: this.barLabel }),
    };
    return new InputError(code, message, where);
  }
}
