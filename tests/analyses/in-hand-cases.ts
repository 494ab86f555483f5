import { instrumentsInHand } from "../../src/analyses/instruments-in-hand.js";
import {
  A,
  attributes,
  B_FLAT,
  BASS,
  note,
  rest,
  scoreXml,
  timelineOf,
  words,
  type PartXml,
} from "../support/score-xml.js";

export const PLAYED = note("C5", 4);
export const SILENT = rest(4);
export const IN_B_FLAT = attributes({ meter: "4/4", transpose: B_FLAT });
export const IN_A = attributes({ transpose: A });
export const IN_BASS = attributes({ transpose: BASS });
export const LA = words("muta in La");
export const SIB = words("muta in Sib");

export type Part = Partial<PartXml>;

/** What the page says, in lines such as `3: clarinet-bflat > clarinet-a (words in 1)`. */
export function read(bars: readonly string[], part: Part = {}, header = "") {
  const timeline = timelineOf(scoreXml([{ ...part, bars }], header));
  const { switches, instrumentOf, notices } = instrumentsInHand(timeline);
  const label = (noteIndex: number) => timeline.bars[timeline.notes[noteIndex]!.barIndex]!.barLabel;
  const all = [...switches];
  return {
    changes: all.map(([noteIndex, { from, to, evidence }]) => {
      const why = evidence.map(({ kind, barLabel }) => `${kind} in ${barLabel}`).join(", ");
      return `${label(noteIndex)}: ${from} > ${to} (${why})`;
    }),
    disagreements: all.flatMap(([, each]) => each.disagreements),
    first: instrumentOf(0),
    switchedAt: all.map(([noteIndex]) => noteIndex),
    notices,
  };
}

/** A note, a bar of rest, a note; what else stands in the three bars comes before it. */
export function threeBars(
  [first, second, third]: readonly [string, string, string],
  part: Part = {},
) {
  return read([first + PLAYED, second + SILENT, third + PLAYED], { name: "Clarinet", ...part });
}

export function declared(id: string, name: string, sound: string): string {
  return `<score-instrument id="${id}"><instrument-name>${name}</instrument-name><instrument-sound>${sound}</instrument-sound></score-instrument>`;
}

export const TWO: Part = {
  extra:
    declared("I1", "Clarinet in Bb", "wind.reed.clarinet.bflat") +
    declared("I2", "Clarinet in A", "wind.reed.clarinet.a"),
};
export const SOUND_BY_ID = '<sound><instrument-change id="I2"/></sound>';
export const SOUND_OF_A =
  '<sound><instrument-change id="I1"><instrument-sound>wind.reed.clarinet.a</instrument-sound></instrument-change></sound>';

export function display(text: string): string {
  return `<print><part-name-display>${text}</part-name-display></print>`;
}
export const NAMED_A = display("<display-text>Clarinetto in La</display-text>");
export const NAMED_B_FLAT = display(
  "<display-text>Clarinet in B</display-text><accidental-text>flat</accidental-text>",
);

export function on(id: string): string {
  return note("C5", 4, `<instrument id="${id}"/>`);
}
