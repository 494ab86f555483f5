import type { LandmarkReason, LongSilence } from "../model/landmark.js";
import { fraction } from "../theory/fraction.js";
import { SAME, type InBar, type Listened } from "./heard-orchestra.js";
import type { HeardEvent } from "./landmark-events.js";
import { LANDMARK_WEIGHTS, loudness, novelty } from "./landmark-weights.js";

type Weighed = Omit<HeardEvent, "offset"> & {
  /** How many other parts there are. */
  readonly of: number;
  readonly barIndex: number;
};

/** What an event is noticed by, each with its points and its figure. */
export function reasonsOf(heard: Weighed): readonly LandmarkReason[] {
  const { event, parts, sounding, of } = heard;
  const { kind, alone } = LANDMARK_WEIGHTS;
  const reasons: LandmarkReason[] = [{ kind: "kind", points: kind[event.kind] }];
  const few = (others: number): LandmarkReason => ({
    kind: "few-play",
    points: of === 0 ? 0 : alone * (1 - others / of),
    sounding: sounding.length,
    of,
  });
  switch (event.kind) {
    case "entrance":
      reasons.push(
        ...groupReason(parts),
        ...loudnessReason(heard),
        ...registerReason(heard),
        silenceReason(event),
        few(sounding.length - parts.length),
      );
      break;
    case "solo":
      reasons.push(
        ...groupReason(parts),
        ...loudnessReason(heard),
        ...registerReason(heard),
        ...(event.silence ? [silenceReason(event.silence)] : []),
        few(sounding.length - parts.length),
      );
      break;
    case "tutti":
    case "many-start":
    case "loud-arrival":
      reasons.push(...loudnessReason(heard));
      break;
    case "many-stop":
      reasons.push(few(sounding.length));
      break;
    case "cadence":
      break;
  }
  return reasons;
}

function silenceReason({ silentBars: bars, sinceStart }: LongSilence): LandmarkReason {
  return {
    kind: "silence",
    points: LANDMARK_WEIGHTS.longSilence * novelty(bars),
    bars,
    sinceStart,
  };
}

function byGroup(parts: readonly Listened[]): readonly Listened[] {
  const { group } = LANDMARK_WEIGHTS;
  return [...parts].sort((a, b) => group[b.group] - group[a.group]);
}

function groupReason(parts: readonly Listened[]): readonly LandmarkReason[] {
  const [first] = byGroup(parts);
  const points = first ? LANDMARK_WEIGHTS.group[first.group] : 0;
  return first && points > 0 ? [{ kind: "group", points, group: first.group }] : [];
}

/** So many parts are asked for their level: those of the groups that carry furthest. */
const ASKED = 4;

function loudnessReason({ parts, barIndex, sounding, place }: Weighed): readonly LandmarkReason[] {
  const levels = byGroup(parts)
    .slice(0, ASKED)
    .flatMap((part) => {
      const sound = sounding
        .find(({ listened }) => listened === part)
        ?.sounds.find(({ start, end }) => start <= place + SAME && end > place + SAME);
      const offset = sound?.startOffset ?? fraction(0);
      return part.other.dynamicAt({ barIndex, offset }) ?? [];
    });
  const [loudest] = levels.sort((a, b) => loudness(b) - loudness(a));
  return loudest
    ? [{ kind: "loudness", points: LANDMARK_WEIGHTS.loudest * loudness(loudest), dynamic: loudest }]
    : [];
}

/** How far the line lies from the others, each by its highest note. */
function registerReason({ parts, sounding, place }: Weighed): readonly LandmarkReason[] {
  const { octaveAway, mostOctavesAway } = LANDMARK_WEIGHTS;
  const own = sounding.filter(({ listened }) => parts.includes(listened));
  const rest = sounding.filter(({ listened }) => !parts.includes(listened));
  const [ours, theirs] = [own, rest].map((group) =>
    group.flatMap((each) => highestAt(each, place)),
  );
  if (!ours || !theirs || ours.length === 0 || theirs.length === 0) return [];
  const above = Math.max(...ours) - Math.max(...theirs);
  const below = Math.min(...theirs) - Math.max(...ours);
  const semitones = Math.max(above, below);
  if (semitones < 12) return [];
  const points = octaveAway * Math.min(mostOctavesAway, semitones / 12);
  return [{ kind: "register", points, side: above >= below ? "above" : "below", semitones }];
}

function highestAt({ sounds }: InBar, place: number): readonly number[] {
  const pitches = sounds
    .filter(({ start, end }) => start <= place + SAME && end > place + SAME)
    .flatMap((sound) => sound.pitches);
  return pitches.length > 0 ? [Math.max(...pitches)] : [];
}
