import type { HeardFromOthers } from "../model/report.js";
import { toNumber, ZERO } from "../theory/fraction.js";
import type { Moment } from "../model/time.js";
import { checkedCues } from "./checked-cues.js";
import type { AnalysisContext } from "./context.js";
import { exposureOf } from "./exposure.js";
import { landmarksBefore } from "./landmarks.js";
import type { PlayedStretch } from "./stretches.js";

/**
 * What the other parts have to do with an entry. It takes reading: for entries that are reported, not for the
 * changes that a plan tries.
 * @param ready when the player can listen; null where the hands are busy up to the entry
 */
export function heardBefore(
  context: AnalysisContext,
  stretch: PlayedStretch,
  ready: Pick<Moment, "quarters"> | null,
): HeardFromOthers {
  const to = stretch.startQuarters;
  const entry = { from: stretch.silentFrom ?? ZERO, to };
  const exposure = exposureOf(context, stretch);
  return {
    landmarks: landmarksBefore(context, entry, toNumber(ready?.quarters ?? to)),
    cues: checkedCues(context, entry, stretch),
    ...(exposure && { exposure }),
  };
}
