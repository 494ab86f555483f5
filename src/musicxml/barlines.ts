import type { EndingMark, Jumps, RepeatEnd } from "../model/score.js";
import type { Notify } from "./notices.js";
import { child, children, childText, type XmlElement } from "./elements.js";

/** How a bar is tied into the order of performance, gathered from all parts that were read. */
export interface BarFlow {
  repeatStart: boolean;
  repeatEnd?: RepeatEnd;
  endingStart?: EndingMark;
  endingStop: boolean;
  endingStopPasses?: readonly number[];
  /** Closed by a thin and a thick line without repeat dots. */
  finalBarline?: true;
  /** Closed by two thin lines. */
  doubleBarline?: true;
  jumps?: Jumps;
  /** Until the whole part is known: `settleBareSigns` turns it into `jumps`. */
  printed?: PrintedJumps;
}

/** Jumps that are printed in a bar without being encoded. */
export interface PrintedJumps {
  jumps: Partial<Jumps>;
  /** A coda sign by itself: where to leave for the coda, or the coda. */
  codaSign: boolean;
  /** Words of a jump that were not understood. */
  unread?: string;
}

/** The name of signs and jumps that are only printed. */
export const UNNAMED = "1";

const NO_JUMPS: Jumps = { daCapo: false, fine: false };

/** A bracket whose beginning has no number; its end may have one. */
const UNNUMBERED: EndingMark = { passes: [] };

const LARGEST_REPEAT = 99;

/**
 * Adds what a `<barline>` says to a bar.
 * @param before the bar before, which a double bar on the left closes; undefined at the first
 */
export function readBarline(
  barline: XmlElement,
  flow: BarFlow,
  notify: Notify,
  before?: BarFlow,
): void {
  const { segno, coda } = barline.attributes;
  if (segno !== undefined || coda !== undefined) {
    flow.jumps = {
      ...(flow.jumps ?? NO_JUMPS),
      ...(segno !== undefined && { segno }),
      ...(coda !== undefined && { coda }),
    };
  }
  if (child(barline, "segno")) addPrintedJumps(flow, { segno: UNNAMED });
  if (child(barline, "coda")) printedIn(flow).codaSign = true;
  const repeat = child(barline, "repeat");
  if (!repeat && childText(barline, "bar-style") === "light-heavy") flow.finalBarline = true;
  if (childText(barline, "bar-style") === "light-light") readDoubleBar(barline, flow, before);
  if (repeat?.attributes["direction"] === "forward") flow.repeatStart = true;
  if (repeat?.attributes["direction"] === "backward") {
    const text = repeat.attributes["times"];
    const given = text === undefined ? undefined : Number(text);
    const valid =
      given === undefined || (Number.isInteger(given) && given >= 1 && given <= LARGEST_REPEAT);
    if (!valid) notify({ kind: "odd-number", element: "repeat times", text: text ?? "" });
    flow.repeatEnd = {
      ...(given !== undefined && valid && { times: given }),
      afterJump: repeat.attributes["after-jump"] === "yes",
    };
  }
  for (const ending of children(barline, "ending")) readEnding(ending, flow);
}

/** In the middle of a bar it divides nothing that is counted. */
function readDoubleBar(barline: XmlElement, flow: BarFlow, before: BarFlow | undefined): void {
  const { location = "right" } = barline.attributes;
  const closed = location === "left" ? before : location === "right" ? flow : undefined;
  if (closed) closed.doubleBarline = true;
}

function readEnding(ending: XmlElement, flow: BarFlow): void {
  const passes = endingPasses(ending.attributes["number"] ?? "") ?? endingPasses(ending.text);
  if (ending.attributes["type"] !== "start") {
    flow.endingStop = true;
    if (passes) flow.endingStopPasses = passes;
  } else flow.endingStart = passes ? { passes } : UNNUMBERED;
}

/**
 * Gives brackets that begin without a number the number at their end.
 * Those that no number can be found for are left out with a notice.
 */
export function numberEndings(
  flows: readonly BarFlow[],
  notifyAt: (barIndex: number) => Notify,
): void {
  let end: BarFlow | undefined;
  for (let barIndex = flows.length - 1; barIndex >= 0; barIndex--) {
    const flow = flows[barIndex];
    if (flow?.endingStop) end = flow;
    if (flow?.endingStart !== UNNUMBERED) continue;
    const passes = end?.endingStopPasses;
    if (passes) flow.endingStart = { passes };
    else {
      delete flow.endingStart;
      notifyAt(barIndex)({ kind: "ending-unreadable", text: "" });
    }
  }
}

/** "1", "1, 2", "1-3" as the times through they name; undefined when they name none. */
function endingPasses(text: string): readonly number[] | undefined {
  const passes = new Set<number>();
  for (const [, from = "", to] of text.matchAll(/(\d{1,2})(?:\s*-\s*(\d{1,2}))?/g)) {
    const last = to === undefined ? Number(from) : Number(to);
    for (let pass = Number(from); pass <= last; pass++) passes.add(pass);
  }
  passes.delete(0);
  return passes.size > 0 ? [...passes].sort((a, b) => a - b) : undefined;
}

/** Adds the jumps that a `<sound>` encodes. */
export function readJumps(sound: XmlElement, flow: BarFlow): void {
  const { segno, coda, dacapo, dalsegno, tocoda, fine } = sound.attributes;
  if ([segno, coda, dacapo, dalsegno, tocoda, fine].every((each) => each === undefined)) {
    if (sound.attributes["forward-repeat"] === "yes") flow.repeatStart = true;
    return;
  }
  const before = flow.jumps;
  flow.jumps = {
    ...before,
    ...(segno !== undefined && { segno }),
    ...(coda !== undefined && { coda }),
    ...(dalsegno !== undefined && { dalSegno: dalsegno }),
    ...(tocoda !== undefined && { toCoda: tocoda }),
    daCapo: (before?.daCapo ?? false) || dacapo === "yes",
    // `fine` is "yes" or the divisions of the last note.
    fine: (before?.fine ?? false) || (fine !== undefined && fine !== "no"),
  };
}

/** What is printed in a bar, to be added to. */
export function printedIn(flow: BarFlow): PrintedJumps {
  return (flow.printed ??= { jumps: {}, codaSign: false });
}

/** Notes what is printed; what another part prints there stays. */
export function addPrintedJumps(flow: BarFlow, jumps: Partial<Jumps>): void {
  const printed = printedIn(flow);
  printed.jumps = { ...jumps, ...printed.jumps };
}

/** What a file that encodes one of a kind encodes throughout. */
interface Encoded {
  readonly back: boolean;
  readonly segno: boolean;
  readonly toCoda: boolean;
  readonly coda: boolean;
  readonly fine: boolean;
}

/**
 * Turns words and signs that are only printed into jumps; to be called once all bars are read.
 *
 * A file that encodes any jump of a kind encodes them all: its words of that kind are for the eye.
 * A coda sign by itself is the coda where a D.C. or D.S. stands between it and the sign before, else
 * the place to leave for the coda; in a bar where the words say which, it adds nothing
 * (common practice, no source).
 */
export function settleBareSigns(
  flows: readonly BarFlow[],
  notifyAt: (barIndex: number) => Notify,
): void {
  const encoded = encodedKinds(flows);
  flows.forEach((flow, barIndex) => {
    const { printed } = flow;
    if (!printed) return;
    settleWords(flow, printed.jumps, encoded);
    if (printed.unread !== undefined && !encoded.back && !leadsBack(flow)) {
      notifyAt(barIndex)({ kind: "jump-unreadable", text: printed.unread });
    }
  });
  settleCodaSigns(flows, encoded);
  if (!encoded.segno) nameSegni(flows, encoded);
  for (const flow of flows) delete flow.printed;
}

function encodedKinds(flows: readonly BarFlow[]): Encoded {
  const some = (test: (jumps: Jumps) => boolean) =>
    flows.some(({ jumps }) => jumps !== undefined && test(jumps));
  return {
    back: flows.some(leadsBack),
    segno: some(({ segno }) => segno !== undefined),
    toCoda: some(({ toCoda }) => toCoda !== undefined),
    coda: some(({ coda }) => coda !== undefined),
    fine: some(({ fine }) => fine),
  };
}

function leadsBack({ jumps }: BarFlow): boolean {
  return jumps !== undefined && (jumps.daCapo || jumps.dalSegno !== undefined);
}

function settleWords(flow: BarFlow, words: Partial<Jumps>, encoded: Encoded): void {
  const { segno, coda, toCoda, dalSegno, daCapo, fine, withRepeats } = words;
  const added: Partial<Jumps> = {
    ...(!encoded.back && daCapo && { daCapo }),
    ...(!encoded.back && dalSegno !== undefined && { dalSegno }),
    ...(!encoded.segno && segno !== undefined && { segno }),
    ...(!encoded.toCoda && toCoda !== undefined && { toCoda }),
    ...(!encoded.coda && coda !== undefined && { coda }),
    ...(!encoded.fine && fine && { fine }),
    // No attribute says it, so the words beside an encoded jump are heeded.
    ...((!encoded.back || leadsBack(flow)) && withRepeats && { withRepeats }),
  };
  if (Object.keys(added).length > 0) flow.jumps = { ...NO_JUMPS, ...flow.jumps, ...added };
}

function settleCodaSigns(flows: readonly BarFlow[], encoded: Encoded): void {
  const lastBack = flows.findLastIndex(leadsBack);
  // Whether a sign to leave for the coda is waiting for it, and whether a D.C. or D.S. came since the last sign.
  let leaving = false;
  let back = false;
  flows.forEach((flow, barIndex) => {
    if (flow.printed?.codaSign && !isCodaPlace(flow)) {
      const isCoda = leaving ? back || lastBack < 0 : lastBack >= 0 && barIndex > lastBack;
      if (!encoded[isCoda ? "coda" : "toCoda"]) {
        const sign = isCoda ? { coda: UNNAMED } : { toCoda: UNNAMED };
        flow.jumps = { ...NO_JUMPS, ...flow.jumps, ...sign };
      }
    }
    if (isCodaPlace(flow)) {
      leaving = flow.jumps?.toCoda !== undefined;
      back = false;
    }
    if (leadsBack(flow)) back = true;
  });
}

function isCodaPlace({ jumps }: BarFlow): boolean {
  return jumps?.coda !== undefined || jumps?.toCoda !== undefined;
}

/** Signs without names: each has its own, and a printed D.S. leads to the last one before it. */
function nameSegni(flows: readonly BarFlow[], encoded: Encoded): void {
  let count = 0;
  for (const flow of flows) {
    if (flow.jumps?.segno !== undefined) flow.jumps = { ...flow.jumps, segno: String(++count) };
    if (!encoded.back && flow.jumps?.dalSegno !== undefined) {
      flow.jumps = { ...flow.jumps, dalSegno: String(Math.max(1, count)) };
    }
  }
}
