import type { Bar } from "../../src/model/score.js";
import type { RepeatChoice } from "../../src/model/tempo.js";
import { performedOrder } from "../../src/timing/performed-order.js";
import { attributes, note, scoreXml, timelineOf } from "../support/score-xml.js";

const LEFT = { "|:": `<repeat direction="forward"/>` };
const SOUND_AT_START = /^(segno|coda)(?:=(\w+))?$/;
const SOUND_AT_END: Readonly<Record<string, string>> = {
  "D.C.": "dacapo",
  "D.S.": "dalsegno",
  toCoda: "tocoda",
  Fine: "fine",
};

/**
 * A bar of one quarter with the signs of a shorthand: `|:` and `:|` (`:|x3` three times in all,
 * `:|again` also after a jump), `[1,2` and `]` for a bracket, `segno`, `coda`, `toCoda`, `D.C.`,
 * `D.S.`, `Fine` as the file tells players of it; `segno=B` gives the sign a name.
 */
export function bar(signs: string): string {
  let left = "";
  let start = "";
  let end = "";
  let right = "";
  let last = "";
  for (const sign of signs.split(" ").filter(Boolean)) {
    const [word = "", name] = sign.split("=");
    const atStart = SOUND_AT_START.exec(sign);
    const atEnd = SOUND_AT_END[word];
    if (sign === "|:") left += LEFT[sign];
    else if (sign.startsWith("[")) left = `<ending number="${sign.slice(1)}" type="start"/>${left}`;
    else if (sign === "]") right = `<ending number="1" type="stop"/>${right}`;
    else if (sign.startsWith(":|")) {
      const times = /x(\d+)/.exec(sign)?.[1];
      const again = sign.endsWith("again") ? ` after-jump="yes"` : "";
      last = `<repeat direction="backward"${times === undefined ? "" : ` times="${times}"`}${again}/>`;
    } else if (atStart) start += `<sound ${atStart[1]}="${atStart[2] ?? "1"}"/>`;
    else if (atEnd) end += `<sound ${atEnd}="${name ?? "yes"}"/>`;
    else if (sign === "forward") start += `<sound forward-repeat="yes"/>`;
    else throw new Error(`no such sign: ${sign}`);
  }
  const barline = (location: string, content: string) =>
    content && `<barline location="${location}">${content}</barline>`;
  return `${barline("left", left)}${start}${note("C5", 1)}${end}${barline("right", right + last)}`;
}

/** The bars of a part, one shorthand each, as they are read. */
export function barsOf(shorthand: readonly string[]) {
  const [first = "", ...others] = shorthand.map(bar);
  return timelineOf(scoreXml([{ bars: [attributes({ meter: "1/4" }) + first, ...others] }]));
}

/** The labels of bars in the order of performance. */
export function labelsAsPlayed(bars: readonly Bar[], choice?: RepeatChoice): string {
  return performedOrder(bars, choice)
    .visits.map(({ barIndex }) => bars[barIndex]?.barLabel)
    .join(" ");
}

export function orderOf(shorthand: readonly string[], choice?: RepeatChoice) {
  const timeline = barsOf(shorthand);
  const { visits, notices } = performedOrder(timeline.bars, choice);
  const order = labelsAsPlayed(timeline.bars, choice);
  return { order, visits, notices: [...timeline.notices, ...notices] };
}
