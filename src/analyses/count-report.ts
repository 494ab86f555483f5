import type { CountReport } from "../model/count.js";
import type { ChangeoverProfile } from "../model/profile.js";
import type { PartTimeline } from "../model/score.js";
import type { PerformanceWishes } from "../model/tempo.js";
import { findChanges } from "./changes.js";
import { countRests } from "./counting.js";
import { headingOf } from "./heading.js";
import { allNotices, analysisContext, listenNotices, type PartSource } from "./index.js";

/**
 * The rests of a part, laid out to be counted.
 * @param fromBars shorter rests are left out, but for changes
 * @throws InputError as `analysePart`
 */
export function analyseCount(
  timeline: PartTimeline,
  profile: ChangeoverProfile,
  source: PartSource,
  { wishes = {}, fromBars }: { readonly wishes?: PerformanceWishes; readonly fromBars: number },
): CountReport {
  const { context, notices } = analysisContext(timeline, profile, wishes, source.orchestra);
  const changes = findChanges(context);
  const rests = countRests(context, changes, fromBars);
  const entries = rests.flatMap(({ entry }) => entry ?? []);
  return {
    ...headingOf(timeline, context, source),
    fromBars,
    rests,
    notices: [
      ...allNotices(notices, context, { changes, entries }),
      ...listenNotices(timeline, entries),
    ],
  };
}
