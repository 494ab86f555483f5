import type { EndingMark, Jumps, RepeatEnd } from "../model/score.js";
import type { Notify } from "./notices.js";
import { child, children, type XmlElement } from "./elements.js";

/** How a bar is tied into the order of performance, gathered from all parts that were read. */
export interface BarFlow {
  repeatStart: boolean;
  repeatEnd?: RepeatEnd;
  endingStart?: EndingMark;
  endingStop: boolean;
  endingStopPasses?: readonly number[];
  jumps?: Jumps;
}

const NO_JUMPS: Jumps = { daCapo: false, fine: false };

/** A bracket whose beginning has no number; its end may have one. */
const UNNUMBERED: EndingMark = { passes: [] };

const LARGEST_REPEAT = 99;

/** Adds what a `<barline>` says to a bar. */
export function readBarline(barline: XmlElement, flow: BarFlow, notify: Notify): void {
  const { segno, coda } = barline.attributes;
  if (segno !== undefined || coda !== undefined) {
    flow.jumps = {
      ...(flow.jumps ?? NO_JUMPS),
      ...(segno !== undefined && { segno }),
      ...(coda !== undefined && { coda }),
    };
  }
  const repeat = child(barline, "repeat");
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
  flows.forEach((flow, barIndex) => {
    if (flow.endingStart !== UNNUMBERED) return;
    const end = flows.findIndex((each, k) => k >= barIndex && each.endingStop);
    const passes = flows[end]?.endingStopPasses;
    if (passes) flow.endingStart = { passes };
    else {
      delete flow.endingStart;
      notifyAt(barIndex)({ kind: "ending-unreadable", text: "" });
    }
  });
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
