import type { AnalysisContext } from "../analyses/context.js";
import { laterEndings } from "../analyses/endings.js";
import { readChangeWords } from "../instruments/change-words.js";
import { instrumentsNamed, readInstrumentName } from "../instruments/names.js";
import { instrumentsForSound } from "../instruments/table.js";
import type { Fraction } from "../model/fraction.js";
import type { PartTimeline, Position, PrintedInstruction } from "../model/score.js";
import { maxFraction, toNumber, ZERO } from "../theory/fraction.js";
import type { PlannedNote } from "./plan-page.js";
import type { BarWords } from "./rewrite-part.js";
import { changeText, firstSilence, isRightFor, partNames, type Boundary } from "./rewrite-words.js";

/** Where a plan has a change, or has none any more, beside notes that are written anew. */
interface PlanBoundary extends Boundary {
  /** The first note after it, by its place among the planned ones. */
  readonly entry: number;
  /** Quarters of the page: words for it may stand over the note before as well. */
  readonly lastNoteQuarters: Fraction;
}

type Instruction = Pick<PrintedInstruction, "kind" | "text" | "scoreInstrumentId" | "at">;

/** What the page says of instruments where a plan is written out, and what it is to say. */
export class PlanWords {
  readonly bars: ReadonlyMap<number, BarWords>;
  private readonly boundaries: readonly PlanBoundary[];
  /** First notes, among the planned ones, of the printed changes that something on the page stands for. */
  private readonly entriesOf = new Map<string, number[]>();
  private readonly timeline: PartTimeline;
  private readonly announcedLate: ReadonlySet<PlanBoundary>;

  constructor(
    { timeline, inHand }: Pick<AnalysisContext, "timeline" | "inHand">,
    private readonly planned: readonly PlannedNote[],
  ) {
    this.timeline = timeline;
    this.boundaries = planBoundaries(timeline, planned);
    planned.forEach(({ noteIndex }, k) => {
      for (const { barIndex, text } of inHand.switches.get(noteIndex)?.evidence ?? []) {
        const key = `${barIndex} ${text}`;
        this.entriesOf.set(key, [...(this.entriesOf.get(key) ?? []), k]);
      }
    });
    const changes = this.boundaries.filter(({ isChange }) => isChange);
    const unsaid = changes.filter((place) => !this.isSaidInTime(place));
    this.announcedLate = new Set(unsaid);
    const concerned = [
      ...unsaid.map(({ words }) => words.barIndex),
      ...timeline.instructions.filter((each) => this.isWrong(each)).map(({ at }) => at.barIndex),
    ];
    this.bars = new Map(
      [...new Set(concerned)].map((barIndex) => [barIndex, this.barWords(barIndex, unsaid)]),
    );
  }

  /** What stays on the page though it seems wrong now, or could not be understood. */
  left(hasRemoved: (barIndex: number, text: string) => boolean) {
    return this.timeline.instructions.filter(
      (each) =>
        (this.isWrong(each) || this.isUnclear(each)) && !hasRemoved(each.at.barIndex, each.text),
    );
  }

  /** Whether it asks for a change to something unknown, where the plan is written out. */
  private isUnclear(said: Instruction): boolean {
    const { barIndex, offset } = said.at;
    return (
      said.kind === "words" &&
      readChangeWords(said.text).kind === "unclear" &&
      this.concerning(said, barIndex, toNumber(offset)).length > 0
    );
  }

  private barWords(barIndex: number, unsaid: readonly PlanBoundary[]): BarWords {
    const at = (quarters: number) => ({ barIndex, quarters });
    return {
      added: unsaid.flatMap(({ words, instrument }) =>
        words.barIndex === barIndex
          ? [{ at: toNumber(words.offset), over: words.over, text: changeText(instrument) }]
          : [],
      ),
      isStale: (text, quarters) =>
        !namesOthers(text) && this.isWrongAt({ kind: "words", text }, at(quarters)),
      isStaleName: (text, quarters) =>
        this.isWrongAt({ kind: "part-name-display", text }, at(quarters)),
      isStaleSound: ({ sound, id }, quarters) =>
        this.isWrongAt(
          {
            kind: "instrument-change",
            text: sound,
            ...(id !== undefined && { scoreInstrumentId: id }),
          },
          at(quarters),
        ),
    };
  }

  private isWrong({ at: { barIndex, offset }, ...said }: Instruction): boolean {
    return this.isWrongAt(said, { barIndex, quarters: toNumber(offset) });
  }

  /** Whether something on the page, where the plan is written out, does not say what it has to. */
  private isWrongAt(
    said: Omit<Instruction, "at">,
    { barIndex, quarters }: { readonly barIndex: number; readonly quarters: number },
  ): boolean {
    if (!this.asks(said)) return false;
    const places = this.concerning(said, barIndex, quarters);
    const isRight = (place: PlanBoundary | "inside") =>
      place !== "inside" &&
      !(said.kind === "words" && this.announcedLate.has(place)) &&
      this.isRight(said, place);
    return places.length > 0 && !places.some(isRight);
  }

  /** The places it stands for; "inside" where nothing changes any more; none where it is not about the plan. */
  private concerning(
    said: Omit<Instruction, "at">,
    barIndex: number,
    quarters: number,
  ): readonly (PlanBoundary | "inside")[] {
    const entries = this.entriesOf.get(`${barIndex} ${this.evidenceText(said)}`);
    if (entries) {
      return entries
        .filter((k) => this.planned[k]?.isWritten || this.planned[k - 1]?.isWritten)
        .map((k) => this.boundaries.find(({ entry }) => entry === k) ?? "inside");
    }
    const start = toNumber(this.timeline.bars[barIndex]?.writtenQuarters ?? ZERO) + quarters;
    const near = this.boundaries.filter(
      ({ lastNoteQuarters, enterQuarters }) =>
        toNumber(lastNoteQuarters) <= start && start <= toNumber(enterQuarters),
    );
    if (near.length > 0) return near;
    const before = this.planned.findLast((each) => toNumber(each.start) <= start);
    return before?.isWritten ? ["inside"] : [];
  }

  /** As the evidence of a change names it (see `page-evidence.ts`). */
  private evidenceText({ kind, text, scoreInstrumentId: id }: Omit<Instruction, "at">): string {
    if (kind !== "instrument-change" || text !== "") return text;
    const declared = this.timeline.part.scoreInstruments.find((each) => each.id === id);
    return declared?.sound ?? declared?.name ?? "";
  }

  /** Whether it is about instruments at all, and about this player's. */
  private asks({ kind, text }: Omit<Instruction, "at">): boolean {
    if (kind === "instrument-change") return true;
    if (kind === "part-name-display") return readInstrumentName(text) !== undefined;
    const words = readChangeWords(text);
    if (words.kind !== "change") return false;
    const named = words.players ?? words.name.players;
    const { part } = this.timeline;
    const own = part.player === undefined ? readInstrumentName(part.name)?.players : [part.player];
    return !named || !own || own.some((player) => named.includes(player));
  }

  private isRight(said: Omit<Instruction, "at">, place: PlanBoundary): boolean {
    const { kind, text, scoreInstrumentId: id } = said;
    if (kind === "words") return isRightFor(text, place);
    if (kind === "part-name-display") {
      const name = readInstrumentName(text);
      return !name || instrumentsNamed(name).includes(place.instrument);
    }
    if (!place.isChange) return false;
    if (text !== "") return instrumentsForSound(text).some((each) => each.id === place.instrument);
    const declared = this.timeline.part.scoreInstruments.find((each) => each.id === id);
    const name = readInstrumentName(declared?.name ?? "");
    if (name) return instrumentsNamed(name).includes(place.instrument);
    return instrumentsForSound(declared?.sound ?? "").some((each) => each.id === place.instrument);
  }

  /** Whether the page has the words where the rest begins, or before. */
  private isSaidInTime(place: PlanBoundary): boolean {
    const limit = quartersOf(this.timeline, place.words);
    return this.timeline.instructions.some(
      (said) =>
        said.kind === "words" &&
        isRightFor(said.text, place) &&
        quartersOf(this.timeline, said.at).compare(limit) <= 0 &&
        this.concerning(said, said.at.barIndex, toNumber(said.at.offset)).includes(place),
    );
  }
}

/** Whether words are for several players, one of whom may still have to change. */
function namesOthers(text: string): boolean {
  const words = readChangeWords(text);
  return words.kind === "change" && (words.others?.length ?? 0) > 0;
}

function quartersOf({ bars }: PartTimeline, { barIndex, offset }: Position): Fraction {
  return (bars[barIndex]?.writtenQuarters ?? ZERO).add(offset);
}

/** The places where the instrument changes, or changes no more, beside notes that are written anew. */
function planBoundaries(
  timeline: PartTimeline,
  planned: readonly PlannedNote[],
): readonly PlanBoundary[] {
  const rows = laterEndings(timeline.bars);
  const found: PlanBoundary[] = [];
  let leave = ZERO;
  planned.forEach((each, entry) => {
    const onPage = planned[entry - 1];
    const row = [...rows].findLast(
      ([bar]) => bar <= each.note.barIndex && bar > (onPage?.note.barIndex ?? Infinity),
    );
    // A later ending is reached from the bar before the first.
    const before = row ? planned.findLast(({ note }) => note.barIndex < row[1]) : onPage;
    const isWritten = [each, onPage, before].some((note) => note?.isWritten);
    const differs =
      before?.instrument !== each.instrument ||
      onPage?.instrument !== each.instrument ||
      onPage.isWritten !== each.isWritten;
    if (isWritten && differs) {
      const { barIndex, offset } = each.note;
      const ending = row?.[0] ?? ownEnding(rows, planned, onPage, each);
      const from =
        ending === undefined
          ? leave
          : maxFraction(leave, timeline.bars[ending]?.writtenQuarters ?? ZERO);
      const rest = firstSilence(timeline, from, each.start, "cues-too");
      const enter = { barIndex, offset };
      found.push({
        entry,
        instrument: each.instrument,
        isChange: before
          ? before.instrument !== each.instrument
          : !partNames(timeline, each.instrument),
        lastNoteQuarters: ending !== undefined ? from : (onPage?.start ?? ZERO),
        leaveQuarters: from,
        enterQuarters: each.start,
        enter,
        words: rest ?? { ...enter, over: "note" },
        bars: { from: onPage?.note.barIndex ?? 0, to: barIndex },
      });
    }
    leave = maxFraction(leave, each.end);
  });
  return found;
}

/** The first ending that a note is the first of, where words before it would be wrong for a later one. */
function ownEnding(
  rows: ReadonlyMap<number, number>,
  planned: readonly PlannedNote[],
  onPage: PlannedNote | undefined,
  { note: { barIndex }, instrument }: PlannedNote,
): number | undefined {
  const others = [...rows].filter(
    ([later, first]) =>
      first <= barIndex && barIndex < later && first > (onPage?.note.barIndex ?? Infinity),
  );
  const differs = others.some(
    ([later]) => planned.find(({ note }) => note.barIndex >= later)?.instrument !== instrument,
  );
  return differs ? others[0]?.[1] : undefined;
}
