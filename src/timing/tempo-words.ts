import type { TempoRange } from "../model/time.js";
import {
  bearing,
  inCompany,
  towardsModerate,
  type BeatsPerMinute,
  type Qualified,
  type Strength,
} from "./tempo-figures.js";
import {
  inContext,
  itemize,
  type Entry,
  type Item,
  type PlainKind,
  type ReturnGoal,
} from "./tempo-phrases.js";
import * as data from "./tempo-words-data.js";
import type { Degrees, Direction, Modifier, TempoRow } from "./tempo-words-data.js";

/**
 * One thing that printed words say of the tempo; `term` is how they say it. Factors below 1 are slower:
 * of the tempo before (`step`), or of that at the start of a change without a goal (`gradual`).
 */
// prettier-ignore
export type TempoTerm =
  | { readonly kind: "tempo"; readonly term: string; readonly beatsPerMinute: BeatsPerMinute }
  | { readonly kind: "step"; readonly term: string; readonly factor: TempoRange }
  | { readonly kind: "gradual"; readonly term: string; readonly direction: Direction; readonly factor: TempoRange }
  | { readonly kind: "return"; readonly term: string; readonly to: ReturnGoal }
  | { readonly kind: PlainKind; readonly term: string };

/** No mark is longer; what is is a preface, not a tempo. In characters. */
const LONGEST = 120;

/** What is said of a word that is still to come. */
interface Pending {
  readonly start?: number;
  readonly end?: number;
  readonly strength?: Strength;
  /** "Più" or "meno". */
  readonly more?: 1 | -1;
  readonly tempering?: true;
  readonly negated?: true;
  readonly elsewhere?: true;
  readonly gradually?: true;
  readonly always?: true;
  /** Joined by "and" to a comparative, to which a tempo word then adds nothing: "più lento e calmo". */
  readonly joined?: true;
}
const NOTHING: Pending = {};
const EFFECTS: Readonly<Record<Exclude<Modifier, "goal" | "becoming">, Pending>> = {
  more: { more: 1 },
  less: { more: -1 },
  evermore: { more: 1, always: true },
  everless: { more: -1, always: true },
  strong: { strength: 1 },
  weak: { strength: -1 },
  tempering: { tempering: true },
  negated: { negated: true },
  elsewhere: { elsewhere: true },
  gradually: { gradually: true },
  always: { always: true },
};

type Head =
  | { readonly kind: "tempo"; readonly row: TempoRow; readonly company: Qualified[] }
  | { readonly kind: "exact"; readonly factor: number }
  | { readonly kind: "bend"; readonly change: Direction | "fading"; gradual: boolean }
  | { readonly kind: "return"; readonly to: ReturnGoal }
  | { readonly kind: PlainKind };
/** A term in the making: words after it may still qualify it. */
interface Draft {
  readonly head: Head;
  readonly start: number;
  end: number;
  strength: Strength;
  tempered: number;
}

const OPPOSITE = { slower: "faster", faster: "slower" } as const;
/** Goes through the phrases once; words before a term wait for it, words after it qualify it. */
class Reader {
  readonly drafts: Draft[] = [];
  private pending = NOTHING;
  /** The term that words after it qualify. */
  private open: Draft | undefined;
  /** Whether nothing but modifiers has come since that term, and since the sentence began. */
  private adjacent = false;
  private clean = true;
  /** Whether the sentence begins with a capital; undefined until it has begun. */
  private capital: boolean | undefined;
  /** What "and" takes over from the term before: "senza rit. e accel.". */
  private carried = NOTHING;

  take(item: Item): void {
    const { entry } = item;
    const carried = this.carried;
    this.carried = NOTHING;
    switch (entry.role) {
      case "stop":
      case "comma":
        this.settle();
        this.pending = NOTHING;
        if (entry.role === "stop") this.beginSentence();
        return;
      case "unknown":
      case "number":
        this.pending = NOTHING;
        this.pass();
        break;
      case "link":
        if (entry.link === "and" || entry.link === "but") this.settle();
        else this.pending = { start: item.from, ...this.pending };
        if (entry.link === "and") this.pending = { ...this.pending, ...carried };
        break;
      case "modifier":
        this.modify(entry.modifier, item);
        break;
      case "tempo":
      case "step":
      case "exact":
      case "gradual":
      case "return":
      case "plain":
        this.head(entry, item);
    }
    this.capital ??= item.capital;
  }

  private beginSentence(): void {
    this.open = undefined;
    this.clean = true;
    this.capital = undefined;
  }

  /** What is left of the modifiers is of the term before them. */
  settle(): void {
    const { open, pending } = this;
    if (!open) return;
    this.pending = NOTHING;
    const { strength, tempering, gradually, end } = pending;
    if (tempering) open.tempered += 1;
    if (strength && this.adjacent) open.strength = strength;
    if (gradually && this.adjacent && open.head.kind === "bend") open.head.gradual = true;
    if (end !== undefined && (tempering || this.adjacent)) open.end = end;
  }

  private pass(): void {
    this.adjacent = false;
    this.clean = false;
  }

  private modify(modifier: Modifier, { from, to }: Item): void {
    const { open } = this;
    if (modifier === "becoming") {
      if (open?.head.kind !== "bend") return;
      open.head.gradual = true;
      open.end = to;
    } else if (modifier === "goal") {
      this.settle();
      // "accel. al Presto": the Presto begins later, and has a mark of its own there.
      if (open?.head.kind === "bend" && open.head.gradual) this.pending = EFFECTS.elsewhere;
    } else {
      const { start = from } = this.pending;
      this.pending = { ...this.pending, ...EFFECTS[modifier], start, end: to };
    }
  }

  private head(entry: Exclude<Entry, { role: "modifier" | "link" }>, item: Item): void {
    const dropped = this.pending.negated ?? this.pending.elsewhere;
    // "rit. molto a tempo": nothing is said of the return.
    if (entry.role === "return" && !dropped) this.settle();
    const said = this.pending;
    this.pending = NOTHING;
    if (dropped) {
      this.adjacent = false;
      this.carried = said.elsewhere ? EFFECTS.elsewhere : EFFECTS.negated;
      // "Nicht schnell" by itself is a tempo all the same, if nearer to moderate.
      const named = entry.role === "tempo" && !said.elsewhere && !said.more;
      if (named && this.open?.head.kind !== "tempo") this.tempo(entry.row, said, item, 2);
      return;
    }
    switch (entry.role) {
      case "tempo":
        if (said.more || said.gradually) this.bend(bearing(entry.row), said, item);
        else this.tempo(entry.row, said, item, said.tempering ? 1 : 0);
        break;
      case "step":
        this.bend(entry.direction, said, item, entry.comparative);
        break;
      case "exact":
        this.add({ kind: "exact", factor: entry.factor }, said, item);
        break;
      case "gradual":
        // "meno rit." asks for less of what is not there.
        if (said.more !== -1)
          this.add({ kind: "bend", change: entry.change, gradual: true }, said, item);
        break;
      case "return":
        this.add({ kind: "return", to: entry.to }, said, item);
        break;
      case "plain":
        this.add({ kind: entry.kind }, said, item);
        break;
    }
  }

  /** "Più mosso", "langsamer", "poco a poco animato". */
  private bend(direction: Direction | undefined, said: Pending, item: Item, comparative = false) {
    const { more, always, gradually } = said;
    if (!direction) {
      this.pass();
      // "poco a poco cresc. e più mosso"
      if (gradually) this.pending = EFFECTS.gradually;
      return;
    }
    const change = more === -1 ? OPPOSITE[direction] : direction;
    const gradual = gradually ?? (always && (comparative || more !== undefined)) ?? false;
    this.add({ kind: "bend", change, gradual }, said, item);
    this.carried = { joined: true };
  }

  private tempo(row: TempoRow, said: Pending, item: Item, tempered: number): void {
    const { open } = this;
    if (open?.head.kind === "tempo") {
      // "Lebhaft, nicht zu schnell" takes something off the first word, and adds no second.
      if (tempered) open.tempered += 1;
      else open.head.company.push({ row, strength: said.strength ?? 0 });
      open.end = item.to;
      this.adjacent = false;
    } else if ((row.as || row.memory) && !said.joined && this.mayStand(row, item)) {
      this.add({ kind: "tempo", row, company: [] }, said, item, tempered);
    } else this.pass();
  }

  /** Whether a word is a tempo by itself here; some are expressions in most places. */
  private mayStand(row: TempoRow, { capital }: Item): boolean {
    if (row.aside === undefined) return true;
    if (this.open) return this.open.head.kind !== "return" && capital;
    return this.clean && (!row.capital || (this.capital ?? capital));
  }

  private add(head: Head, said: Pending, { from, to }: Item, tempered = 0): void {
    const { open } = this;
    this.adjacent = true;
    const [now, before] = [head, open?.head];
    if (open && now.kind === "bend" && before?.kind === "bend") {
      // "Langsamer und ruhiger" is one step, not two.
      if (now.change === before.change && now.gradual === before.gradual) {
        open.end = to;
        return;
      }
    }
    const { start = from, strength = 0, tempering } = said;
    const softened = tempering ? 1 : tempered;
    this.open = { head, start, end: to, strength, tempered: softened };
    this.drafts.push(this.open);
  }
}

/** "Non troppo" makes a change a small one. */
function degree([weak, plain, strong]: Degrees, { tempered, strength }: Draft): TempoRange {
  if (tempered > 0 || strength < 0) return weak;
  return strength > 0 ? strong : plain;
}

function termOf(draft: Draft, text: string): TempoTerm {
  const { head, start, end, strength } = draft;
  const term = text
    .slice(start, end)
    .replace(/[()[\]]/g, "")
    .replace(/\s+/g, " ");
  switch (head.kind) {
    case "tempo": {
      let beatsPerMinute = inCompany({ row: head.row, strength }, head.company);
      for (let k = 0; k < draft.tempered; k += 1) beatsPerMinute = towardsModerate(beatsPerMinute);
      return { kind: "tempo", term, beatsPerMinute };
    }
    case "exact": {
      const { factor } = head;
      return { kind: "step", term, factor: { slow: factor, likely: factor, fast: factor } };
    }
    case "bend": {
      const direction = head.change === "faster" ? "faster" : "slower";
      if (!head.gradual)
        return { kind: "step", term, factor: degree(data.STEP_FACTORS[direction], draft) };
      const factor = degree(data.GRADUAL_FACTORS[head.change], draft);
      return { kind: "gradual", term, direction, factor };
    }
    case "return":
      return { kind: "return", term, to: head.to };
    case "same-beat":
    case "free":
    case "pause":
    case "alla-breve":
      return { kind: head.kind, term };
  }
}

/**
 * Reads printed words as instructions about the tempo, in the order of the text; none where it does not
 * speak of it.
 * @example readTempoWords("poco rit. - a tempo") // gradual slower, return to the tempo before
 */
export function readTempoWords(text: string): readonly TempoTerm[] {
  if (text.length > LONGEST && text.trim().length > LONGEST) return [];
  const known = readTexts.get(text);
  if (known) return known;
  const terms = readTerms(text);
  // Bounded: a hostile file could make every text a new one.
  if (readTexts.size < MOST_TEXTS) readTexts.set(text, terms);
  return terms;
}

/** A part says "dolce" and "cresc." again and again, and every sign is asked more than once. */
const readTexts = new Map<string, readonly TempoTerm[]>();
const MOST_TEXTS = 2000;

function readTerms(text: string): readonly TempoTerm[] {
  const reader = new Reader();
  itemize(text)
    .map(inContext)
    .forEach((item) => reader.take(item));
  reader.settle();
  return reader.drafts.map((draft) => termOf(draft, text));
}

/** Whether printed words speak of the tempo: "Più mosso", "poco rit.", "Langsamer". */
export function isTempoWords(text: string): boolean {
  return readTempoWords(text).length > 0;
}
