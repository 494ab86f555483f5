import { performPart } from "../../src/analyses/performed.js";
import type { OtherPart } from "../../src/model/other-part.js";
import type { ScoreDocument } from "../../src/musicxml/document.js";
import { midiNumber } from "../../src/theory/pitch.js";
import type { Sound } from "./sounding-table.js";

/** A note of another part in the order of performance; `pitch` is NaN for a drum without pitch. */
export interface OtherSound extends Sound {
  readonly bar: string;
  readonly voice: string;
}

/** What other parts sound like by our reading, repeats unfolded; grace notes take no time. */
export function otherSounds(score: ScoreDocument, ownPartId: string) {
  const { performed } = performPart(score.timeline(ownPartId));
  const { visits } = performed.performance;
  const known = new Map<OtherPart, readonly OtherSound[]>();
  return (other: OtherPart): readonly OtherSound[] => {
    const sounds =
      known.get(other) ??
      visits.flatMap(({ barIndex, startQuarters }) =>
        other
          .notes(barIndex)
          .filter(({ grace }) => !grace)
          .map(({ offset, duration, pitches, voice }) => ({
            start: startQuarters.add(offset).valueOf(),
            end: startQuarters.add(offset).add(duration).valueOf(),
            pitch: pitches.length > 0 ? Math.max(...pitches.map(midiNumber)) : NaN,
            bar: other.barLabel(barIndex),
            voice,
          })),
      );
    known.set(other, sounds);
    return sounds;
  };
}
