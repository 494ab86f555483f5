import { instrumentsInHand } from "../../src/analyses/instruments-in-hand.js";
import { pitchName, soundingPitch } from "../../src/theory/pitch.js";
import { scoreXml, timelineOf, type PartXml } from "../support/score-xml.js";

export const CONCERT_SCORE = "<defaults><concert-score/></defaults>";

export function clef(sign: "F" | "G"): string {
  return `<attributes><clef><sign>${sign}</sign><line>${sign === "F" ? 4 : 2}</line></clef></attributes>`;
}

/** How the part made from a score at sounding pitch will be transposed. */
export function forPart(diatonic: number, chromatic: number, octaves = 0): string {
  return (
    `<attributes><for-part><part-transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>` +
    `<octave-change>${octaves}</octave-change></part-transpose></for-part></attributes>`
  );
}

export function credit(text: string, type = ""): string {
  const kind = type && `<credit-type>${type}</credit-type>`;
  return `<credit page="1">${kind}<credit-words>${text}</credit-words></credit>`;
}

/** What sounds at every note of the first part, and what the page says of it. */
export function soundsOf(part: PartXml, others: readonly PartXml[] = [], header = "") {
  const timeline = timelineOf(scoreXml([part, ...others], header));
  const inHand = instrumentsInHand(timeline);
  return {
    sounds: timeline.notes.flatMap(({ pitches: [written] }, k) => {
      if (!written) return [];
      const octave = inHand.isOctaveLow(k) ? 1 : 0;
      const { step, alter, octave: low } = soundingPitch(written, inHand.transpositionOf(k));
      return [pitchName({ step, alter, octave: low + octave })];
    }),
    first: inHand.instrumentOf(0),
    changes: [...inHand.switches.values()].map(({ from, to }) => `${from} > ${to}`),
    disagreements: [...inHand.switches.values()].flatMap((each) => each.disagreements),
    notices: inHand.notices,
  };
}
